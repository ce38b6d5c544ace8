import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { chefOf, LEAD, PURCHASING, startTestApp, type TestApp } from '../../helpers/test-app.ts';

let test: TestApp;
beforeAll(async () => {
  test = await startTestApp();
  for (const body of [
    { name: 'Plain flour', baseUnit: 'g' },
    { name: 'Whole milk', baseUnit: 'g', density: { gPerMl: 1.03 } },
    { name: 'Old flour', baseUnit: 'g' },
  ]) {
    await test.as(LEAD).post('/v1/ingredients').send(body).expect(201);
  }
  await test
    .as(PURCHASING)
    .post('/v1/suppliers')
    .send({
      name: 'Old Mill',
      zone: 'Europe/Rome',
      currency: 'EUR',
      deliveryWeekdays: [2],
      cutoff: { daysBefore: 1, time: '12:00' },
    })
    .expect(201);
});
afterAll(() => test.close());

const send = (csv: string, query = '') =>
  test.as(PURCHASING).post(`/v1/packs/import${query}`).set('content-type', 'text/csv').send(csv);
const packs = async () =>
  (await test.as(LEAD).get('/v1/packs?limit=200').expect(200)).body.items as {
    sku: string;
    rev: number;
  }[];
const pack = async (sku: string) => (await packs()).find((item) => item.sku === sku);

describe('an import of packs and prices', () => {
  it('adds packs with their price breaks, and later prices to packs that are known', async () => {
    const csv = [
      'supplier,sku,ingredient,name,content,gtin,is_default,price,price_from,price_min_packs',
      'Old Mill,FL25,Plain flour,Sack,25 kg,6291041500213,yes,18.40,2026-01-01,',
      'Old Mill,FL25,Plain flour,Sack,25 kg,6291041500213,yes,"17,90",2026-01-01,4',
      'old mill,MI6,Whole milk,Crate,6 x 1 l,,no,7.20,2026-01-01,1',
    ].join('\r\n');
    const dry = await send(csv, '?dryRun=true').expect(200);
    expect(dry.body).toMatchObject({ rows: 3, added: 2, replaced: 0, problems: [] });
    expect(await packs()).toEqual([]);
    await send(csv).expect(200);
    expect(await pack('FL25')).toMatchObject({
      quantityBase: 25_000,
      isDefault: true,
      prices: [
        { amount: '18.4', minPacks: 1 },
        { amount: '17.9', minPacks: 4 },
      ],
    });
    // 6 l of milk at 1.03 g/ml.
    expect(await pack('MI6')).toMatchObject({ quantityBase: 6180, content: { value: 6 } });
    expect((await send(csv).expect(200)).body).toMatchObject({
      added: 0,
      replaced: 0,
      unchanged: 2,
    });

    const given = await test.as(chefOf()).get('/v1/packs/export').expect(200);
    const back = await send(given.text).expect(200);
    expect(back.body).toMatchObject({ rows: 3, added: 0, replaced: 0, unchanged: 2, problems: [] });

    const later = [
      'supplier,sku,ingredient,name,content,price,price_from',
      'Old Mill,FL25,Plain flour,Sack,25 kg,19.10,2026-03-01',
    ].join('\n');
    expect((await send(later).expect(200)).body).toMatchObject({ added: 0, replaced: 1 });
    expect(await pack('FL25')).toMatchObject({
      gtin: '6291041500213',
      isDefault: true,
      rev: 1,
      prices: [{ amount: '19.1', validFrom: '2026-03-01' }, {}, {}],
    });
  });

  it('lands as a whole or not at all, and says what is wrong with every bad row by row and column', async () => {
    const before = await packs();
    const csv = [
      'supplier,sku,ingredient,name,content,gtin,is_default,price,price_from',
      'Old Mill,G1,Old flour,Bag,1 kg,,yes,1.20,2026-01-01',
      'Nobody,G2,Old flour,Bag,1 kg,,,,',
      'Old Mill,G3,Nothing,Bag,1 kg,,,,',
      'Old Mill,G4,Old flour,Bag,1 firkin,,,,',
      'Old Mill,G5,Old flour,Bag,1 l,,,,',
      'Old Mill,G6,Old flour,Bag,1 kg,6291041500214,,,',
      'Old Mill,G7,Old flour,Bag,1 kg,,,-2,2026-01-01',
      'Old Mill,G8,Old flour,Bag,1 kg,,,2,2026-02-30',
      'Old Mill,G9,Old flour,Bag,1 kg,,maybe,,',
      'Old Mill,G1,Old flour,Bag,2 kg,,yes,,',
      'Old Mill,FL25,Old flour,Sack,25 kg,,,,',
      'Old Mill,FL25,Plain flour,Sack,25 kg,,,20,2026-01-01',
      'Old Mill,G10,Old flour,Bag,5 kg,,yes,,',
      'Old Mill,G11,Old flour',
    ].join('\n');
    const expected = [
      [3, 'supplier'],
      [4, 'ingredient'],
      [5, 'content'],
      [6, 'content'],
      [7, 'gtin'],
      [8, 'price'],
      [9, 'price_from'],
      [10, 'is_default'],
      [11, 'sku'],
      [12, 'ingredient'],
      [13, 'price_from'],
      [14, 'is_default'],
      [15, null],
    ];
    const dry = await send(csv, '?dryRun=true').expect(200);
    expect(
      dry.body.problems.map((p: { row: number; column: string | null }) => [p.row, p.column]),
    ).toEqual(expected);
    const refused = await send(csv).expect(400);
    expect(refused.body.issues).toHaveLength(expected.length);
    expect(refused.body.issues[0].pointer).toBe('/rows/3/supplier');
    expect(await packs()).toEqual(before);
    await test
      .as(chefOf())
      .post('/v1/packs/import')
      .set('content-type', 'text/csv')
      .send(csv)
      .expect(403);
  });
});
