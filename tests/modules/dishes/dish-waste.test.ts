import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { recipeBook } from '../../helpers/recipe-book.ts';
import { chefOf, LEAD, PURCHASING, startTestApp, type TestApp } from '../../helpers/test-app.ts';

// A portion: 100 g compote at 4.00/kg and 50 g cream at 6.00/kg, so 0.40 + 0.30 without waste.
// The clock stands on 2026-03-10.
let test: TestApp;
let pier = '';
let cream = '';
let compote = '';
let plate = '';

const costOn = async (on: string) =>
  (await test.as(LEAD).get(`/v1/sites/${pier}/dishes/${plate}/cost?on=${on}`).expect(200)).body;
const state = (body: object, actor = LEAD, siteId = pier) =>
  test.as(actor).post(`/v1/sites/${siteId}/waste-expectations`).send(body);

/** 100 plates sold on a date, and compote thrown away that evening. */
async function trade(date: string, thrownG: number): Promise<void> {
  const { prisma } = test.database;
  const key = date.replaceAll('-', '');
  await prisma.dishSale.create({
    data: {
      id: `sale_${key}`,
      siteId: pier,
      serviceId: 'svc_x',
      serviceDate: new Date(`${date}T00:00:00Z`),
      dishId: plate,
      portions: 100,
    },
  });
  await prisma.stockLot.create({
    data: {
      id: `lot_${key}`,
      siteId: pier,
      itemKind: 'component',
      itemId: compote,
      quantity: 0,
      madeAt: new Date(`${date}T06:00:00Z`),
      useBy: new Date(`${date}T22:00:00Z`),
      sourceKind: 'found',
      movements: {
        create: {
          id: `mov_${key}`,
          kind: 'wasted',
          quantity: -thrownG,
          at: new Date(`${date}T21:00:00Z`),
          actorId: 'usr_x',
          reason: 'over-made',
        },
      },
    },
  });
}

beforeAll(async () => {
  test = await startTestApp();
  const book = recipeBook(test);
  const site = { name: 'Pier', zone: 'Europe/Rome', currency: 'EUR', ruleSet: 'eu', hours: [] };
  pier = (await test.as(LEAD).post('/v1/sites').send(site).expect(201)).body.id;
  const plum = await book.ingredient('Plum');
  cream = await book.ingredient('Whipping cream');
  ({ recipeId: compote } = await book.published('Compote', 'component', [
    { ingredientId: plum, amount: '1 kg' },
  ]));
  ({ recipeId: plate } = await book.published('Plum plate', 'dish', [
    { componentId: compote, amount: '100 g' },
    { ingredientId: cream, amount: '50 g' },
  ]));
  const mill = await test
    .as(PURCHASING)
    .post('/v1/suppliers')
    .send({
      name: 'Valley stores',
      zone: 'Europe/Rome',
      currency: 'EUR',
      deliveryWeekdays: [2],
      cutoff: { daysBefore: 1, time: '12:00' },
      siteIds: [pier],
    })
    .expect(201);
  for (const [ingredientId, amount] of [
    [plum, '4.00'],
    [cream, '6.00'],
  ] as const) {
    const pack = await test
      .as(PURCHASING)
      .post(`/v1/suppliers/${mill.body.id}/packs`)
      .send({ ingredientId, name: '1 kg', sku: ingredientId, content: { value: 1, unit: 'kg' } })
      .expect(201);
    await test
      .as(PURCHASING)
      .post(`/v1/packs/${pack.body.id}/prices`)
      .send({ validFrom: '2026-01-01', amount })
      .expect(201);
  }
});
afterAll(() => test.close());

describe('the waste in a plate’s cost', () => {
  it('is said to be unknown, and left out, where nothing is recorded or stated', async () => {
    const { cost, waste, wasteCost } = await costOn('2026-03-15');
    expect(cost.amount).toBe('0.70');
    expect(wasteCost.amount).toBe('0');
    expect(waste).toMatchObject({ notKnown: true, items: [], costWithout: { amount: '0.70' } });
  });

  it('follows from what was recorded in the four weeks before against what the plates sold took', async () => {
    // 100 plates took 10 000 g of compote; 2500 g thrown away is 0.2 of what was made.
    await trade('2026-03-01', 2500);
    const { cost, waste, wasteCost } = await costOn('2026-03-15');
    // Compote 0.40 / 0.8 = 0.50, cream 0.30 with nothing of it recorded as thrown away.
    expect(cost.amount).toBe('0.80');
    expect(Number(wasteCost.amount)).toBeCloseTo(0.1, 9);
    expect(waste).toMatchObject({
      notKnown: false,
      costWithout: { amount: '0.70' },
      window: { from: '2026-02-15', to: '2026-03-14' },
    });
    expect(waste.items[0]).toMatchObject({ name: 'Compote', fraction: 0.2, from: 'recorded' });
    expect(waste.items[0].source).toContain('2500 g thrown away, 10000 g used');
    // The window moves with the date: five weeks later the record is too old to say anything.
    expect((await costOn('2026-04-05')).waste.notKnown).toBe(true);
    expect((await costOn('2026-03-01')).waste.notKnown).toBe(true);
  });

  it('takes a figure stated for an item before the record, from its date on, with its source', async () => {
    await state({
      itemId: cream,
      fraction: 0.25,
      source: 'whipped ends',
      validFrom: '2026-03-12',
    }).expect(201);
    expect((await costOn('2026-03-11')).cost.amount).toBe('0.80');
    const { cost, waste } = await costOn('2026-03-15');
    // Compote 0.50, cream 0.30 / 0.75 = 0.40.
    expect(cost.amount).toBe('0.90');
    const [first] = waste.items;
    expect(first).toMatchObject({ name: 'Whipping cream', fraction: 0.25, from: 'stated' });
    expect(first.source).toBe('Stated for this from 2026-03-12 by Lena Lead: whipped ends');
  });

  it('falls back on what is stated for everything where there is no record, or one past belief', async () => {
    await state({ fraction: 0.5, source: 'group habit', validFrom: '2026-04-01' }).expect(201);
    // Compote 0.40 / 0.5, the plums in it half once more: 1.60. Cream keeps its own 0.25: 0.40.
    const bare = await costOn('2026-04-15');
    expect(bare.cost.amount).toBe('2.00');
    await trade('2026-04-20', 20_000);
    const past = await costOn('2026-05-01');
    const item = past.waste.items.find((one: { name: string }) => one.name === 'Compote');
    expect(item).toMatchObject({ fraction: 0.5, from: 'stated' });
  });

  it('is stated by who buys or leads, once a date, with a source and a part that can be expected', async () => {
    const good = { itemId: cream, fraction: 0.1, source: 'test', validFrom: '2026-06-01' };
    await state(good, chefOf(pier)).expect(403);
    await state(good, { ...PURCHASING, siteIds: [] }).expect(403);
    for (const [bad, pointer] of [
      [{ ...good, fraction: 1.2 }, '/fraction'],
      [{ ...good, fraction: -0.1 }, '/fraction'],
      [{ ...good, source: ' ' }, '/source'],
      [{ ...good, itemId: 'ing_none' }, '/itemId'],
      [{ ...good, itemId: plate }, '/itemId'],
    ] as const) {
      const refused = await state(bad).expect(400);
      expect(refused.body.issues[0].pointer).toBe(pointer);
    }
    const made = await state(good).expect(201);
    const again = await state(good).expect(409);
    expect(again.body.issues[0].pointer).toBe('/validFrom');
    const listed = await test
      .as(chefOf(pier))
      .get(`/v1/sites/${pier}/waste-expectations`)
      .expect(200);
    expect(listed.body.items[0]).toEqual(made.body);
    await state(good, LEAD, 'site_none').expect(404);
  });
});
