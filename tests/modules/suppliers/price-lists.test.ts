import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { chefOf, LEAD, PURCHASING, startTestApp, type TestApp } from '../../helpers/test-app.ts';
import { servedMeanwhile } from '../../helpers/served-meanwhile.ts';

let test: TestApp;
let supplierId = '';
let ingredientId = '';
beforeAll(async () => {
  test = await startTestApp();
  const made = async (path: string, body: object) =>
    (await test.as(LEAD).post(path).send(body).expect(201)).body.id as string;
  ingredientId = await made('/v1/ingredients', { name: 'Plain flour', baseUnit: 'g' });
  supplierId = await made('/v1/suppliers', {
    name: 'Old Mill',
    zone: 'Europe/Rome',
    currency: 'EUR',
    deliveryWeekdays: [2],
    cutoff: { daysBefore: 1, time: '12:00' },
  });
  for (const [sku, kg, amount] of [
    ['M-1', 1, '1.20'],
    ['M-10', 10, '9.50'],
    ['M-25', 25, '21.00'],
  ] as const) {
    const id = await made(`/v1/suppliers/${supplierId}/packs`, {
      ingredientId,
      name: `Flour ${kg} kg`,
      sku,
      content: { value: kg, unit: 'kg' },
    });
    await made(`/v1/packs/${id}/prices`, { validFrom: '2026-01-01', amount });
  }
});
afterAll(() => test.close());

const at = () => `/v1/suppliers/${supplierId}`;
const send = (csv: string, query = 'validFrom=2026-04-01', actor = PURCHASING) =>
  test.as(actor).post(`${at()}/price-lists?${query}`).set('content-type', 'text/csv').send(csv);
const columns = {
  columns: {
    supplierCode: 'Art. no.',
    packName: 'Article',
    content: 'Content',
    price: 'Net price',
  },
  decimalComma: true,
};
const LIST = [
  'Art. no.;Article;Content;Net price',
  'M-1;Flour;1 kg;1,35',
  'M-10;Flour;8 kg;9,50',
  'M-25;Flour;25 kg;21,00',
  'M-50;Flour, sack;50 kg;38,00',
].join('\r\n');
const pricesOf = async (sku: string) => {
  const { items } = (await test.as(LEAD).get('/v1/packs?limit=50')).body;
  return items.find((pack: { sku: string }) => pack.sku === sku).prices as {
    validFrom: string;
    amount: string;
    source: string;
  }[];
};

describe('a supplier’s price list', () => {
  it('is read as somebody has said once, and never guessed', async () => {
    const unsaid = await send(LIST).expect(409);
    expect(unsaid.body.detail).toContain('Say first which columns');
    const none = await test.as(PURCHASING).get(`${at()}/price-columns`).expect(200);
    expect(none.body).toEqual({ columns: null, decimalComma: false });
    await test
      .as(PURCHASING)
      .put(`${at()}/price-columns`)
      .send({ columns: { supplierCode: 'a', price: 'b' } })
      .expect(400);
    await test.as(chefOf('site_x')).put(`${at()}/price-columns`).send(columns).expect(403);
    await test.as(PURCHASING).put(`${at()}/price-columns`).send(columns).expect(200);
    const kept = await test.as(LEAD).get(`${at()}/price-columns`).expect(200);
    expect(kept.body).toEqual(columns);
  });

  it('is not taken in where the wish to look first is misspelt', async () => {
    const refused = await send(LIST, 'validFrom=2026-04-01&dryrun=true').expect(400);
    expect(refused.body.issues).toEqual([
      { pointer: '/querystring', message: 'Unrecognized key: "dryrun"' },
    ]);
    expect((await pricesOf('M-1')).map(({ amount }) => amount)).toEqual(['1.2']);
  });

  it('says first what it would change; then the prices of known packs are written, nothing else', async () => {
    const dry = await send(LIST, 'validFrom=2026-04-01&dryRun=true').expect(200);
    expect(dry.body).toMatchObject({
      dryRun: true,
      rows: 4,
      prices: 1,
      unchanged: 1,
      counts: { new: 1, price: 1, content: 1, gone: 0, problems: 0 },
      problems: [],
    });
    expect(dry.body.changes).toEqual([
      {
        supplierCode: 'M-1',
        what: 'price',
        before: '1.2',
        after: '1.35',
        changeFraction: 0.125,
      },
      {
        supplierCode: 'M-10',
        what: 'content',
        before: '10000',
        after: '8000',
        changeFraction: null,
      },
      { supplierCode: 'M-50', what: 'new', before: null, after: '38.00', changeFraction: null },
    ]);
    expect(await pricesOf('M-1')).toHaveLength(1);
    const done = await send(LIST).expect(200);
    expect(done.body).toMatchObject({ dryRun: false, prices: 1 });
    expect(await pricesOf('M-1')).toMatchObject([
      { validFrom: '2026-04-01', amount: '1.35', source: 'price list' },
      { validFrom: '2026-01-01', amount: '1.2' },
    ]);
    expect(await pricesOf('M-10')).toHaveLength(1);
    // The same list again changes nothing; a mended one of the same day stands in its place.
    expect((await send(LIST).expect(200)).body.prices).toBe(0);
    await send(LIST.replace('1,35', '1,30')).expect(200);
    expect(await pricesOf('M-1')).toMatchObject([{ amount: '1.3' }, { amount: '1.2' }]);
    const gone = await send(
      LIST.split('\r\n').slice(0, 2).join('\n'),
      'validFrom=2026-04-01&dryRun=true',
    );
    expect(gone.body.counts).toMatchObject({ gone: 2 });
  });

  it('with one bad cell is refused whole, each cell by its row and column', async () => {
    const before = await pricesOf('M-25');
    const bad = [
      'Art. no.;Article;Content;Net price',
      'M-25;Flour;25 kg;22,00',
      'M-1;Flour;0 kg;1,35',
      'M-2;Flour;1 kg;-3',
      'M-3;=1+1;1 kg;2',
      'M-4;Flour;1 bucket;2',
      'M-25;Flour;25 kg;23,00',
      ';Flour;1 kg;2',
      'M-6;Flour;1 kg',
    ].join('\n');
    const dry = await send(bad, 'validFrom=2026-04-01&dryRun=true').expect(200);
    expect(
      dry.body.problems.map((one: { row: number; column: string }) => [one.row, one.column]),
    ).toEqual([
      [3, 'Content'],
      [4, 'Net price'],
      [5, 'Article'],
      [6, 'Content'],
      [7, 'Art. no.'],
      [8, 'Art. no.'],
      [9, 'Art. no.'],
    ]);
    const refused = await send(bad).expect(400);
    expect(refused.body.issues).toHaveLength(7);
    expect(refused.body.issues[0].pointer).toBe('/rows/3/Content');
    expect(await pricesOf('M-25')).toEqual(before);
    for (const [csv, message, status] of [
      ['Art. no.;Article;Content\nM-1;Flour;1 kg\n', 'no column "Net price"', 422],
      ['Art. no.;Article;Content;Net price\n', 'no rows', 400],
      ['Art. no.;Article;Content;Net price\n"open;x;1 kg;2', 'Not readable', 400],
    ] as const) {
      const answer = await send(csv).expect(status);
      expect(JSON.stringify(answer.body)).toContain(message.replaceAll('"', '\\"'));
    }
    await send(LIST, 'validFrom=2026-02-30').expect(400);
    await send(LIST, 'validFrom=2026-04-01', chefOf('site_x')).expect(403);
  });

  it('in another currency than the supplier’s is refused', async () => {
    await test
      .as(PURCHASING)
      .put(`${at()}/price-columns`)
      .send({ ...columns, columns: { ...columns.columns, currency: 'Cur' } })
      .expect(200);
    const refused = await send('Art. no.;Article;Content;Net price;Cur\nM-1;Flour;1 kg;2;GBP\n');
    expect(refused.status).toBe(400);
    expect(refused.body.issues[0]).toMatchObject({ pointer: '/rows/2/Cur' });
    await test.as(PURCHASING).put(`${at()}/price-columns`).send(columns).expect(200);
  });

  it('of 200 000 rows is read while others get their answers, and a row more is refused', async () => {
    const rows = (count: number) =>
      [
        'Art. no.;Article;Content;Net price',
        ...Array.from({ length: count }, (_, i) => `M-${i + 25};Flour;25 kg;${20 + (i % 7)},50`),
      ].join('\n');
    const long = send(rows(200_000), 'validFrom=2026-05-01&dryRun=true').then((answer) => answer);
    const { result: report, answered } = await servedMeanwhile(test, long);
    expect(report.status).toBe(200);
    expect(report.body).toMatchObject({ rows: 200_000, counts: { new: 199_999, gone: 2 } });
    expect(report.body.changes).toHaveLength(500);
    expect(answered).toBeGreaterThan(5);
    await send(rows(200_001), 'validFrom=2026-05-01&dryRun=true').expect(400);
  }, 120_000);
});
