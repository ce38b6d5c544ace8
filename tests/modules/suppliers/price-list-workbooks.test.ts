import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  calcFile,
  workbook,
  workbookOfSheets,
  XLSX,
  type Cell,
} from '../../helpers/make-workbook.ts';
import { servedMeanwhile } from '../../helpers/served-meanwhile.ts';
import { chefOf, LEAD, PURCHASING, startTestApp, type TestApp } from '../../helpers/test-app.ts';

let test: TestApp;
let at = '';
beforeAll(async () => {
  test = await startTestApp();
  const made = async (path: string, body: object) =>
    (await test.as(LEAD).post(path).send(body).expect(201)).body.id as string;
  const ingredientId = await made('/v1/ingredients', { name: 'Butter', baseUnit: 'g' });
  const supplierId = await made('/v1/suppliers', {
    name: 'Lakeside Dairy',
    zone: 'Europe/Rome',
    currency: 'EUR',
    deliveryWeekdays: [2],
    cutoff: { daysBefore: 1, time: '12:00' },
  });
  at = `/v1/suppliers/${supplierId}`;
  for (const [sku, kg] of [
    ['000417', 6],
    ['LD-200', 2.5],
    ['LD-300', 1],
  ] as const) {
    const id = await made(`${at}/packs`, {
      ...{ ingredientId, name: `Butter ${kg} kg`, sku },
      content: { value: kg, unit: 'kg' },
    });
    await made(`/v1/packs/${id}/prices`, { validFrom: '2026-01-01', amount: '20' });
  }
});
afterAll(() => test.close());

const mapping = (decimalComma = false, more = {}) => ({
  columns: {
    supplierCode: 'Art. no.',
    packName: 'Article',
    content: 'Content',
    price: 'Net price',
    ...more,
  },
  decimalComma,
});
const keep = (body: object) =>
  test.as(PURCHASING).put(`${at}/price-columns`).send(body).expect(200);
const post = (path: string, file: Buffer | string, actor = PURCHASING) =>
  test
    .as(actor)
    .post(`${at}/${path}`)
    .set('content-type', typeof file === 'string' ? 'text/csv' : XLSX)
    .send(file);
const send = (file: Buffer | string, query = 'validFrom=2026-04-01&dryRun=true') =>
  post(`price-lists?${query}`, file);
const priceOf = async (sku: string) => {
  const { items } = (await test.as(LEAD).get('/v1/packs?limit=50')).body;
  return items.find((pack: { sku: string }) => pack.sku === sku).prices[0] as {
    validFrom: string;
    amount: string;
  };
};
const HEAD = ['Art. no.', 'Article', 'Content', 'Net price'];

describe('a supplier’s price list in a workbook', () => {
  it('shows its headings and sheets before anything is read by them', async () => {
    const found = await post('price-list-headings', calcFile('calc-1900.xlsx')).expect(200);
    expect(found.body).toEqual({
      headings: [...HEAD, 'From', 'Cut off', 'Organic', 'Changed'],
      sheet: 'Spring list',
      sheets: ['Spring list', 'Terms'],
    });
    const csv = await post(
      'price-list-headings',
      '\ufeffArt;"Net; ""price""";Art;\n1;2;3;4',
    ).expect(200);
    expect(csv.body).toEqual({ headings: ['Art', 'Net; "price"'], sheet: null, sheets: [] });
    await post('price-list-headings', 'x', chefOf('site_x')).expect(403);
    await test
      .as(PURCHASING)
      .post('/v1/suppliers/sup_x/price-list-headings')
      .set('content-type', XLSX)
      .send(calcFile('calc-1900.xlsx'))
      .expect(404);
    expect((await post('price-list-headings', '').expect(400)).body.issues).toHaveLength(1);
  });

  it('made by a spreadsheet is tried, then taken in; article numbers keep their zeros', async () => {
    await keep(mapping());
    const file = calcFile('calc-1900.xlsx');
    const dry = await send(file).expect(200);
    // The error in its last column is nobody's concern: the column is not one that is read.
    expect(dry.body).toMatchObject({
      ...{ dryRun: true, rows: 2, prices: 2, problems: [] },
      counts: { new: 0, price: 2, content: 0, gone: 1, problems: 0 },
    });
    await keep(mapping(false, { packName: 'Changed' }));
    const refused = await send(file, 'validFrom=2026-03-01').expect(400);
    expect(refused.body.issues).toEqual([
      { pointer: '/rows/6/Changed', message: 'The cell H6 holds an error, not a value.' },
    ]);
    expect(await priceOf('000417')).toMatchObject({ validFrom: '2026-01-01' });
    await keep(mapping());
    await send(file, 'validFrom=2026-03-01').expect(200);
    expect(await priceOf('000417')).toMatchObject({ validFrom: '2026-03-01', amount: '1234.5' });
    expect(await priceOf('LD-200')).toMatchObject({ validFrom: '2026-03-01', amount: '17.9' });
  });

  it('says and does the same as the list in comma-separated values', async () => {
    const rows: readonly (readonly Cell[])[] = [
      HEAD,
      ['000417', 'Butter', '6 kg', 21.5],
      ['LD-200', 'Butter', '2 kg', '19.90'],
      ['LD-300', 'Butter', '1 kg', 20],
      ['LD-400', 'Butter', '1 kg', 7],
    ];
    const csv = rows.map((cells) => cells.map(String).join(',')).join('\n');
    const ofCsv = (await send(csv).expect(200)).body;
    expect(ofCsv).toMatchObject({
      rows: 4,
      prices: 1,
      unchanged: 1,
      counts: { price: 2, content: 1, new: 1 },
    });
    expect((await send(workbook(rows)).expect(200)).body).toEqual({
      ...ofCsv,
      ...{ sheet: 'List', sheets: ['List'] },
    });
    // Numbers are written by the mark that the texts of the list use.
    await keep(mapping(true));
    const commas = rows.map((cells) => cells.map((cell) => (cell === '19.90' ? '19,90' : cell)));
    expect((await send(workbook(commas)).expect(200)).body).toMatchObject({
      prices: 1,
      problems: [],
    });
    await keep(mapping());
    const done = await send(workbook(rows), 'validFrom=2026-04-01').expect(200);
    expect(done.body).toMatchObject({ dryRun: false, prices: 1 });
    expect(await priceOf('000417')).toMatchObject({ validFrom: '2026-04-01', amount: '21.5' });
    expect(await priceOf('LD-300')).toMatchObject({ validFrom: '2026-01-01' });
  });

  it('is refused cell by cell by the rows that the sheet shows, titles and empty rows counted', async () => {
    const file = workbook([
      ['Lakeside Dairy'],
      null,
      HEAD,
      ['LD-200', 'Butter', '2.5 kg', 21],
      null,
      ['LD-300', 'Butter', 'a lot', 21],
      ['LD-200', 'Butter', '2.5 kg', 22],
      ['LD-500', 'Butter', '1 kg', 1, 'and more'],
    ]);
    const refused = await send(file, 'validFrom=2026-05-01').expect(400);
    expect(refused.body.issues).toEqual([
      { pointer: '/rows/6/Content', message: 'Write the content as 2.5 kg or 10 x 250 g.' },
      { pointer: '/rows/7/Art. no.', message: 'The code is on row 4 already.' },
      { pointer: '/rows/8/Art. no.', message: 'The row has 5 cells, the header 4.' },
    ]);
    const none = await send(workbook([HEAD])).expect(400);
    expect(none.body.detail).toBe('The list has no rows.');
    const other = await send(
      workbook([
        ['Art', 'Holds', 'Net'],
        ['1', '1 kg', 2],
      ]),
    ).expect(422);
    expect(other.body.detail).toContain('no column "Net price"');
  });

  it('is read from the sheet that is asked for; one that is not there is named with those that are', async () => {
    const file = workbookOfSheets([
      { name: 'Cover', rows: [['Lakeside Dairy']] },
      { name: 'Prices, May', rows: [HEAD, ['LD-300', 'Butter', '1 kg', 22]] },
      { name: 'June', rows: [HEAD, ['LD-300', 'Butter', '1 kg', 23.5]] },
    ]);
    const sheets = ['Cover', 'Prices, May', 'June'];
    const on = (sheet: string) => `sheet=${encodeURIComponent(sheet)}`;
    const found = await post(`price-list-headings?${on('Prices, May')}`, file).expect(200);
    expect(found.body).toEqual({ headings: HEAD, sheet: 'Prices, May', sheets });
    // A cover page has no headings; what else there is is told all the same.
    const cover = await post('price-list-headings', file).expect(400);
    expect(cover.body.context).toEqual({ sheet: 'Cover', sheets });
    const dry = await send(file, `validFrom=2026-05-01&dryRun=true&${on('june')}`).expect(200);
    expect(dry.body).toMatchObject({ sheet: 'June', sheets, prices: 1 });
    expect(dry.body.changes[0]).toMatchObject({ supplierCode: 'LD-300', after: '23.5' });
    for (const path of ['price-list-headings?', 'price-lists?validFrom=2026-05-01&']) {
      const none = await post(`${path}${on('July')}`, file).expect(422);
      const message = 'The workbook has no sheet "July"; it has "Cover", "Prices, May", "June".';
      expect(none.body).toMatchObject({
        ...{ detail: message, context: { sheets } },
        issues: [{ pointer: '/querystring/sheet', message }],
      });
      for (const wrong of ['', ' ', 'x'.repeat(101)]) {
        const bad = await post(`${path}${on(wrong)}`, file).expect(400);
        expect(bad.body.issues[0].pointer).toBe('/querystring/sheet');
      }
      const csv = await post(`${path}${on('June')}`, `${HEAD.join(',')}\nLD-300,B,1 kg,24`);
      expect([csv.status, csv.body.detail]).toEqual([
        400,
        'Comma-separated values have no sheets.',
      ]);
    }
    expect(await priceOf('LD-300')).toMatchObject({ validFrom: '2026-01-01' });
    await send(file, `validFrom=2026-05-01&${on('Prices, May')}`).expect(200);
    expect(await priceOf('LD-300')).toMatchObject({ validFrom: '2026-05-01', amount: '22' });
  });

  it('sent again under its key is answered as before, another one under it is refused', async () => {
    const key = 'price-list-key-1';
    const again = (file: Buffer) => send(file, 'validFrom=2026-06-01').set('idempotency-key', key);
    const file = workbook([HEAD, ['LD-200', 'Butter', '2.5 kg', 23]]);
    const first = await again(file).expect(200);
    const second = await again(file).expect(200);
    expect(second.body).toEqual(first.body);
    expect(second.headers['idempotent-replay']).toBe('true');
    await again(workbook([HEAD, ['LD-200', 'Butter', '2.5 kg', 24]])).expect(409);
    await send(file, 'validFrom=2026-06-01&sheet=List').set('idempotency-key', key).expect(409);
  });

  it('of 200 000 rows is read while others get their answers, and a row more is refused', async () => {
    const rows = (count: number): Buffer =>
      workbook([
        HEAD,
        ...Array.from({ length: count }, (_, i) => [`M-${i}`, 'Butter', '25 kg', 20 + (i % 7)]),
      ]);
    const long = send(rows(200_000)).then((answer) => answer);
    const { result: report, answered } = await servedMeanwhile(test, long);
    expect(report.status).toBe(200);
    expect(report.body).toMatchObject({ rows: 200_000, counts: { new: 200_000, gone: 3 } });
    expect(answered).toBeGreaterThan(5);
    const more = await send(rows(200_001)).expect(400);
    expect(more.body.detail).toContain('more than 200000 rows');
  }, 240_000);
});

describe('packs, covers and ingredients in a workbook', () => {
  it('are taken in like their comma-separated values', async () => {
    const pack = workbook([
      ['supplier', 'sku', 'ingredient', 'name', 'content', 'price', 'price_from'],
      [
        'Lakeside Dairy',
        12_345,
        'butter',
        'Sack',
        '25 kg',
        180.4,
        { xml: '<c t="d"><v>2026-03-01</v></c>' },
      ],
    ]);
    const importTo = (path: string, file: Buffer) =>
      test.as(LEAD).post(path).set('content-type', XLSX).send(file);
    expect((await importTo('/v1/packs/import', pack).expect(200)).body).toMatchObject({ added: 1 });
    expect(await priceOf('12345')).toMatchObject({ validFrom: '2026-03-01', amount: '180.4' });
    const site = await test
      .as(LEAD)
      .post('/v1/sites')
      .send({ name: 'Quay', zone: 'Europe/Rome', currency: 'EUR', ruleSet: 'eu', hours: [] });
    expect(site.status, site.text).toBe(201);
    const covers = workbook([
      ['service', 'service_date', 'taken_at', 'booked'],
      ['Dinner', '2026-03-14', { xml: '<c t="d"><v>2026-03-10T05:00:00</v></c>' }, 12],
    ]);
    const dry = await importTo(
      `/v1/sites/${site.body.id}/covers-imports/snapshots?dryRun=true`,
      covers,
    ).expect(200);
    // No such service there, and a sheet's clock has no zone.
    expect(
      dry.body.problems.map(({ row, column }: { row: number; column: string }) => [row, column]),
    ).toEqual([
      [2, 'service'],
      [2, 'taken_at'],
    ]);
  });

  it('are taken from the sheet that is asked for, and every report names the sheets', async () => {
    const site = await test.as(LEAD).get('/v1/sites?limit=1').expect(200);
    const rows = [
      ['name', 'base_unit'],
      ['Rye flour', 'g'],
    ];
    const book = workbookOfSheets([
      { name: 'Cover', rows: [['Our goods']] },
      { name: 'Goods', rows },
    ]);
    const sheets = ['Cover', 'Goods'];
    for (const path of [
      '/v1/ingredients/import',
      '/v1/packs/import',
      `/v1/sites/${site.body.items[0].id}/covers-imports/snapshots`,
      `/v1/sites/${site.body.items[0].id}/covers-imports/outcomes`,
      `/v1/sites/${site.body.items[0].id}/covers-imports/sales`,
    ]) {
      const on = (sheet: string) =>
        test
          .as(LEAD)
          .post(`${path}?dryRun=true&sheet=${sheet}`)
          .set('content-type', XLSX)
          .send(book);
      expect((await on('Goods').expect(200)).body, path).toMatchObject({ sheet: 'Goods', sheets });
      expect((await on('cover').expect(200)).body, path).toMatchObject({ sheet: 'Cover', sheets });
      const none = await on('Other').expect(422);
      expect(none.body.issues[0].pointer, path).toBe('/querystring/sheet');
      expect(none.body.context, path).toEqual({ sheets });
    }
    const done = await test
      .as(LEAD)
      .post('/v1/ingredients/import?sheet=Goods')
      .set('content-type', XLSX)
      .send(book)
      .expect(200);
    expect(done.body).toMatchObject({ dryRun: false, added: 1, sheet: 'Goods', sheets });
  });
});
