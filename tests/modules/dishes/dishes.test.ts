import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { recipeBook, type RecipeBook } from '../../helpers/recipe-book.ts';
import { chefOf, LEAD, PURCHASING, startTestApp, type TestApp } from '../../helpers/test-app.ts';

// A small synthetic kitchen whose figures can be followed by hand. The clock: 2026-03-10T05:30Z.
let test: TestApp;
let book: RecipeBook;
let pier = '';
let harbour = '';
let sugar = '';
let plum = '';
let cream = '';
let salt = '';
let mill = '';
const compote = { recipeId: '', versionId: '' };
const plate = { recipeId: '', versionId: '' };

const site = async (name: string, currency: string, ruleSet: string) =>
  (
    await test
      .as(LEAD)
      .post('/v1/sites')
      .send({ name, zone: 'Europe/Rome', currency, ruleSet, hours: [] })
      .expect(201)
  ).body.id as string;

const supplier = async (name: string, currency: string, siteIds: string[]) =>
  (
    await test
      .as(PURCHASING)
      .post('/v1/suppliers')
      .send({
        name,
        zone: 'Europe/Rome',
        currency,
        deliveryWeekdays: [2],
        cutoff: { daysBefore: 1, time: '12:00' },
        siteIds,
      })
      .expect(201)
  ).body.id as string;

const sell = async (supplierId: string, ingredientId: string, kg: number, amount: string) => {
  const pack = await test
    .as(PURCHASING)
    .post(`/v1/suppliers/${supplierId}/packs`)
    .send({
      ingredientId,
      name: `${kg} kg`,
      sku: `${ingredientId}-${kg}`,
      content: { value: kg, unit: 'kg' },
    })
    .expect(201);
  await test
    .as(PURCHASING)
    .post(`/v1/packs/${pack.body.id}/prices`)
    .send({ validFrom: '2026-01-01', amount })
    .expect(201);
  return pack.body.id as string;
};

const menu = async (siteId: string, currency: string, dishId: string) =>
  test
    .as(LEAD)
    .post(`/v1/sites/${siteId}/menus`)
    .send({
      name: 'Card',
      activeFrom: '2026-03-01',
      activeTo: '2026-05-31',
      lines: [
        {
          dishId,
          share: 0.4,
          price: { amount: '11.00', currency },
          priceIncludesTax: true,
          taxRate: 0.1,
          targetCost: 0.25,
        },
      ],
    })
    .expect(201);

beforeAll(async () => {
  test = await startTestApp();
  book = recipeBook(test);
  pier = await site('Pier', 'EUR', 'eu');
  harbour = await site('Harbour', 'GBP', 'uk');
  const zero = {
    saturatesG: 0,
    sugarsG: 0,
    fibreG: 0,
    proteinG: 0,
    sodiumMg: 0,
    fatG: 0,
    carbohydrateG: 0,
  };
  sugar = await book.ingredient('Caster sugar', {
    nutrition: { source: 'synthetic', ...zero, carbohydrateG: 100, sugarsG: 100 },
  });
  plum = await book.ingredient('Plum', {
    trimYield: { fraction: 0.8 },
    nutrition: { source: 'synthetic', ...zero, carbohydrateG: 10, sugarsG: 10, fibreG: 2 },
  });
  cream = await book.ingredient('Whipping cream', {
    allergens: { contains: ['milk'] },
    nutrition: {
      source: 'synthetic',
      ...zero,
      energyKcal: 340,
      waterG: 58,
      fatG: 36,
      saturatesG: 22,
      carbohydrateG: 3,
    },
  });
  salt = await book.ingredient('Sea salt');
  Object.assign(
    compote,
    await book.published('Plum compote', 'component', [
      { ingredientId: plum, amount: '800 g' },
      { ingredientId: sugar, amount: '200 g' },
    ]),
  );
  Object.assign(
    plate,
    await book.published('Plum plate', 'dish', [
      { componentId: compote.recipeId, amount: '100 g' },
      { ingredientId: cream, amount: '50 g' },
    ]),
  );
  mill = await supplier('Valley stores', 'EUR', [pier, harbour]);
  await sell(mill, sugar, 10, '15.00');
  await sell(mill, plum, 5, '20.00');
  await sell(mill, cream, 1, '6.00');
  await menu(pier, 'EUR', plate.recipeId);
  await menu(harbour, 'GBP', plate.recipeId);
});
afterAll(() => test.close());

const costAt = (siteId: string, query = '') =>
  test.as(chefOf(siteId)).get(`/v1/sites/${siteId}/dishes/${plate.recipeId}/cost${query}`);

describe('the cost of a plate', () => {
  it('adds up as-purchased prices at the site and date, with food cost, margin and what drives it', async () => {
    const cost = await costAt(pier, '?on=2026-03-15&rise=0.20').expect(200);
    // 100 g compote: 80 g plum edible = 100 g bought at 4.00/kg = 0.40; 20 g sugar at 1.50/kg = 0.03.
    // 50 g cream at 6.00/kg = 0.30. Together 0.73; price 11.00 with 10 % tax = 10.00 before it.
    expect(cost.body).toMatchObject({
      serviceDate: '2026-03-15',
      status: 'complete',
      cost: { amount: '0.73', currency: 'EUR' },
      missing: [],
      version: { number: 1 },
      menuLines: [
        { netPrice: { amount: '10.00' }, margin: { amount: '9.27' }, withinTarget: true },
      ],
    });
    expect(cost.body.menuLines[0].foodCostFraction).toBeCloseTo(0.073, 12);
    const drivers = cost.body.drivers as {
      name: string;
      quantity: number;
      shareFraction: number;
    }[];
    expect(drivers.map((driver) => driver.name)).toEqual([
      'Plum',
      'Whipping cream',
      'Caster sugar',
    ]);
    expect(drivers[0]?.quantity).toBeCloseTo(100, 9);
    expect(drivers[0]?.shareFraction).toBeCloseTo(0.4 / 0.73, 9);
    expect(cost.body.sensitivity).toMatchObject({
      riseFraction: '0.20',
      items: [{ name: 'Plum', change: { amount: '0.08' }, costAfter: { amount: '0.81' } }, {}, {}],
    });
  });

  it('takes the price of the date', async () => {
    const pack = (await test.as(LEAD).get(`/v1/packs?ingredientId=${cream}`)).body.items[0];
    await test
      .as(PURCHASING)
      .post(`/v1/packs/${pack.id}/prices`)
      .send({ validFrom: '2026-04-01', amount: '8.00' })
      .expect(201);
    expect((await costAt(pier, '?on=2026-03-31')).body.cost.amount).toBe('0.73');
    expect((await costAt(pier, '?on=2026-04-01')).body.cost.amount).toBe('0.83');
  });

  it('is incomplete, never zero, without a price or a rate, and names what is missing', async () => {
    const noRate = await costAt(harbour, '?on=2026-03-15').expect(200);
    expect(noRate.body).toMatchObject({
      status: 'incomplete',
      cost: null,
      menuLines: [{ foodCostFraction: null, margin: null }],
    });
    expect(noRate.body.missing.map((m: { reason: string }) => m.reason)).toEqual(
      Array.from({ length: 3 }, () => 'no-rate'),
    );
    await test
      .as(PURCHASING)
      .post('/v1/exchange-rates')
      .send({ from: 'EUR', to: 'GBP', validFrom: '2026-03-10', rate: '0.80' })
      .expect(201);
    const before = await costAt(harbour, '?on=2026-03-09').expect(200);
    expect(before.body.status).toBe('incomplete');
    const converted = await costAt(harbour, '?on=2026-03-15').expect(200);
    expect(converted.body).toMatchObject({
      status: 'complete',
      cost: { amount: '0.58', currency: 'GBP' }, // 0.73 × 0.80 = 0.584
    });
    expect(converted.body.drivers[0].rate).toEqual({ rate: '0.8', validFrom: '2026-03-10' });
    const early = await costAt(pier, '?on=2025-12-31');
    expect(early.status).toBe(404);
  });

  it('is listed for every dish a site offers, to its own chefs only', async () => {
    const listed = await test
      .as(chefOf(pier))
      .get(`/v1/sites/${pier}/dishes?on=2026-03-15`)
      .expect(200);
    expect(listed.body.items).toMatchObject([
      { name: 'Plum plate', cost: { amount: '0.73' }, menuLines: [{ menuName: 'Card' }] },
    ]);
    const closed = await test.as(LEAD).get(`/v1/sites/${pier}/dishes?on=2026-06-01`).expect(200);
    expect(closed.body.items).toEqual([]);
    await test.as(chefOf(harbour)).get(`/v1/sites/${pier}/dishes`).expect(403);
    await costAt('site_none').expect(404);
    const notDish = await test
      .as(LEAD)
      .get(`/v1/sites/${pier}/dishes/${compote.recipeId}/cost`)
      .expect(404);
    expect(notDish.body.type).toContain('not-found');
    const bad = await costAt(pier, '?rise=lots').expect(400);
    expect(bad.body.issues[0].pointer).toBe('/querystring/rise');
  });
});

describe('the allergens of a site', () => {
  it('stand as dishes by groups with the way each comes in and the versions it rests on', async () => {
    const matrix = await test
      .as(chefOf(pier))
      .get(`/v1/sites/${pier}/allergens?on=2026-03-15`)
      .expect(200);
    expect(matrix.body).toMatchObject({ rules: 'eu', serviceDate: '2026-03-15' });
    expect(matrix.body.groups).toHaveLength(14);
    const [row] = matrix.body.rows;
    const statusOf = (group: string) =>
      row.cells.find((cell: { groupId: string }) => cell.groupId === group).status;
    expect(statusOf('milk')).toBe('contains');
    expect(statusOf('eggs')).toBe('none-declared');
    expect(row.detail.contains).toMatchObject([
      { code: 'milk', ways: [['Plum plate', 'Whipping cream']] },
    ]);
    expect(row.detail.versions.map((v: { recipeName: string }) => v.recipeName).sort()).toEqual([
      'Plum compote',
      'Plum plate',
    ]);
    expect(matrix.body.notice).toContain('never says that a dish is free from');
    const us = await test.as(LEAD).get(`/v1/sites/${pier}/allergens?on=2026-03-15&rules=us`);
    expect(us.body.groups).toHaveLength(9);
    const one = await test
      .as(LEAD)
      .get(`/v1/sites/${pier}/dishes/${plate.recipeId}/allergens?on=2026-03-15`)
      .expect(200);
    expect(one.body.dish).toEqual(row.detail);
  });

  it('are not declared while one ingredient is not', async () => {
    await test
      .as(LEAD)
      .put(`/v1/ingredients/${plum}`)
      .set('if-match', '"1"')
      .send({ name: 'Plum', baseUnit: 'g', trimYield: { fraction: 0.8 } })
      .expect(200);
    const matrix = await test.as(LEAD).get(`/v1/sites/${pier}/allergens?on=2026-03-15`);
    const [row] = matrix.body.rows;
    expect(row.status).toBe('not-declared');
    expect(row.cells.map((cell: { status: string }) => cell.status)).not.toContain('none-declared');
    expect(row.detail.notDeclared).toEqual([['Plum plate', 'Plum compote', 'Plum']]);
  });
});

describe('the nutrition of a version', () => {
  it('is worked out in the legal order; what is not known is named, not zero', async () => {
    const incomplete = await test
      .as(LEAD)
      .get(`/v1/recipe-versions/${plate.versionId}/nutrition?on=2026-03-15`)
      .expect(200);
    expect(incomplete.body.status).toBe('incomplete');
    expect(incomplete.body.rows[0]).toMatchObject({ id: 'energy', missing: ['Plum'] });
    expect(incomplete.body.rows[0].per100g).toBeNull();
    expect(incomplete.body.ingredientList.notDeclared).toEqual(['Plum']);

    await test
      .as(LEAD)
      .put(`/v1/ingredients/${plum}`)
      .set('if-match', '"2"')
      .send({
        name: 'Plum',
        baseUnit: 'g',
        trimYield: { fraction: 0.8 },
        allergens: { contains: [] },
        nutrition: {
          source: 'synthetic',
          fatG: 0,
          saturatesG: 0,
          carbohydrateG: 10,
          sugarsG: 10,
          fibreG: 2,
          proteinG: 0,
          sodiumMg: 0,
        },
      })
      .expect(200);
    const full = await test
      .as(chefOf())
      .get(`/v1/recipe-versions/${plate.versionId}/nutrition?on=2026-03-15`)
      .expect(200);
    // 150 g: fat 50 × 0.36 = 18 g; carbohydrate 80 × 0.10 + 20 + 50 × 0.03 = 29.5 g; fibre 1.6 g.
    // Energy, Annex XIV of Regulation (EU) 1169/2011: 18 × 37 + 29.5 × 17 + 1.6 × 8 = 1180.3 kJ.
    expect(full.body).toMatchObject({ status: 'complete', portionMassG: 150 });
    expect(full.body.rows.map((row: { id: string }) => row.id)).toEqual([
      'energy',
      'fat',
      'saturates',
      'carbohydrate',
      'sugars',
      'fibre',
      'protein',
      'salt',
    ]);
    expect(full.body.rows[0].perPortion.value).toBe(1180);
    expect(full.body.rows[1].perPortion.text).toBe('18 g');
    expect(full.body.ingredientList).toMatchObject({
      text: 'Plum compote (Plum, Caster sugar), Whipping cream (MILK)',
      notDeclared: [],
    });
  });
});

describe('the impact of a version', () => {
  it('names each dish, site and date it changes, with cost and allergens, before it is published', async () => {
    const almond = await book.ingredient('Ground almonds', {
      allergens: { contains: ['nuts:almond'] },
    });
    await sell(mill, almond, 1, '10.00');
    const next = await book.draft(compote.recipeId, [
      { ingredientId: plum, amount: '750 g' },
      { ingredientId: sugar, amount: '200 g' },
      { ingredientId: almond, amount: '50 g' },
    ]);
    const later = await book.draft(compote.recipeId, [
      { ingredientId: plum, amount: '800 g' },
      { ingredientId: sugar, amount: '200 g' },
    ]);
    await book.publish(later, '2026-05-01');
    const path = `/v1/recipe-versions/${next}/impact?from=2026-03-20`;
    const impact = await test.as(LEAD).get(path).expect(200);
    // Plum 75 g edible = 93.75 g at 4.00/kg = 0.375; almonds 5 g at 10/kg = 0.05; so 0.73 − 0.025 + 0.05.
    expect(impact.body).toMatchObject({
      recipeName: 'Plum compote',
      from: '2026-03-20',
      to: '2026-04-30',
      addsAllergens: true,
      dishes: [
        {
          name: 'Plum plate',
          servedBefore: true,
          allergens: { addedContains: ['nuts:almond'], removedContains: [], addsRisk: true },
          sites: [
            {
              siteName: 'Pier',
              from: '2026-03-20',
              to: '2026-04-30',
              menuNames: ['Card'],
              costBefore: { cost: { amount: '0.73', currency: 'EUR' } },
              costAfter: { cost: { amount: '0.76', currency: 'EUR' } },
            },
            { siteName: 'Harbour', costAfter: { cost: { currency: 'GBP' } } },
          ],
        },
      ],
    });
    expect(impact.body.dishes[0].sites[0].costChange.currency).toBe('EUR');
    await test.as(chefOf(pier)).get(path).expect(403);
  });

  it('says what stands in the way where a component is not published', async () => {
    const glaze = await book.recipe('Glaze', 'component');
    const next = await book.draft(compote.recipeId, [
      { ingredientId: plum, amount: '800 g' },
      { componentId: glaze, amount: '20 g' },
      { ingredientId: salt, amount: '1 g' },
    ]);
    const refused = await test.as(LEAD).get(`/v1/recipe-versions/${next}/impact`).expect(422);
    expect(refused.body.type).toContain('missing-component');
    expect(refused.body.detail).toContain('Glaze');
  });
});
