import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { figures, openCardPantry, type CardPantry } from '../../helpers/card-pantry.ts';
import { versionBody, type RecipeBook } from '../../helpers/recipe-book.ts';
import { ADMIN, chefOf, LEAD, PURCHASING, type TestApp } from '../../helpers/test-app.ts';

let test: TestApp;
let book: RecipeBook;
let site = '';
let item: CardPantry['item'];
let line: CardPantry['line'];
let cardOf: CardPantry['cardOf'];
let draftOf: CardPantry['draftOf'];

beforeAll(async () => {
  ({ test, book, item, line, cardOf, draftOf } = await openCardPantry());
  const made = await test
    .as(LEAD)
    .post('/v1/sites')
    .send({ name: 'Pier', zone: 'Europe/Rome', currency: 'EUR', ruleSet: 'eu', hours: [] })
    .expect(201);
  site = made.body.id;
});
afterAll(() => test.close());

describe('gelatine on a card', () => {
  it('is said in every form the group keeps, of equal firmness by Bloom', async () => {
    const id = await draftOf('Milk jelly', [line('milk', '1 kg'), line('gold', '6 sheets')]);
    const card = await cardOf(id, '?batches=2');
    const [gelatine] = card.batches[0].gelatine;
    expect(gelatine).toMatchObject({ massG: 24, bloom: 200 });
    // c₁·√B₁ = c₂·√B₂: 24 · √(200/225) = 22.63 g of powder.
    expect(gelatine.text).toBe(
      'use 12 sheets of gold (200 Bloom, 2 g each) or 22.6 g powder (225 Bloom)',
    );
    expect(gelatine.method).toContain('equal firmness');
    expect(card.gelatineCautions).toEqual([]);
  });

  it('cautions for acid, alcohol, raw fruit and boiling come with their source', async () => {
    const id = await draftOf(
      'Drunken jelly',
      [line('pineapple', '300 g'), line('rum', '600 g'), line('gold', '6 sheets')],
      { steps: [{ text: 'Boil.', workingMin: 5, temperatureC: 100 }] },
    );
    const { gelatineCautions } = await cardOf(id);
    expect(gelatineCautions.map((one: { id: string }) => one.id)).toEqual([
      'acid',
      'alcohol',
      'enzyme',
      'boiling',
    ]);
    for (const { source } of gelatineCautions) expect(source).not.toBe('');
  });
});

describe('a card for any batch, site and date', () => {
  it('counts trays over the loads that the site’s own equipment takes', async () => {
    await test
      .as(LEAD)
      .post(`/v1/sites/${site}/equipment`)
      .send({ kind: 'oven-deck', name: 'Deck oven', units: 4 })
      .expect(201);
    const id = await draftOf('Biscuits', [line('flour', '500 g'), line('water', '200 g')], {
      batch: { min: 0.5, max: 3, multiple: 0.5 },
      steps: [
        {
          text: 'Bake.',
          kind: 'bake',
          workingMin: 5,
          waitingMin: 20,
          temperatureC: 160,
          equipment: { kind: 'oven-deck', amount: 3 },
        },
        { text: 'Cool.', workingMin: 1, equipment: { kind: 'wire-rack', amount: 2 } },
      ],
    });
    const card = await cardOf(id, `?batches=3&site=${site}`);
    expect(card.site).toEqual({ id: site, name: 'Pier' });
    const [bake, cool] = card.batches[0].steps;
    expect(bake.equipment.amount).toBe(9);
    expect(bake.atSite).toEqual({ available: 4, loads: [{ count: 3, amount: 3 }] });
    expect(bake.oven).toEqual({ fanC: 160, stillC: 180 });
    expect(cool.atSite).toEqual({ available: 0, loads: [] });
    expect(card.batchSizes).toEqual({ min: 0.5, max: 3, multiple: 0.5 });
    expect((await cardOf(id)).batches[0].steps[0].atSite).toBeNull();
  });

  it('whole, half and more than the largest batch: lines per batch count once for each making', async () => {
    const id = await draftOf(
      'Infused cream',
      [line('milk', '1 kg', { scaleStep: 5 }), line('gold', '1 sheet', { perBatch: true })],
      { batch: { min: 0.5, max: 2, multiple: 0.5 } },
    );
    const half = await cardOf(id, '?batches=0.5');
    expect(half.batches).toHaveLength(1);
    expect(
      half.batches[0].lines.map((l: { amount: { quantity: number } }) => l.amount.quantity),
    ).toEqual([500, 2]);
    const five = await cardOf(id, '?batches=5');
    expect(
      five.batches.map((b: { count: number; batches: number }) => [b.count, b.batches]),
    ).toEqual([
      [1, 2],
      [2, 1.5],
    ]);
    const total = five.batches.reduce(
      (sum: number, b: { count: number; batches: number }) => sum + b.count * b.batches,
      0,
    );
    expect(total).toBe(5);
    for (const batch of five.batches) expect(batch.lines[1].amount.quantity).toBe(2);
  });

  it('is of the version in force on the date, and another site’s is kept from a chef', async () => {
    const { recipeId } = await book.published('Dated syrup', 'component', [line('sugar', '1 kg')]);
    const next = await book.draft(recipeId, [line('sugar', '900 g')]);
    await book.publish(next, '2026-06-01', ADMIN);
    const on = async (date: string) =>
      (await test.as(LEAD).get(`/v1/recipes/${recipeId}/card?on=${date}`).expect(200)).body;
    expect((await on('2026-05-31')).versionNumber).toBe(1);
    expect((await on('2026-06-01')).versionNumber).toBe(2);
    await test.as(LEAD).get(`/v1/recipes/${recipeId}/card?on=2025-01-01`).expect(404);
    await test.as(chefOf('elsewhere')).get(`/v1/recipes/${recipeId}/card?site=${site}`).expect(403);
    await test.as(LEAD).get(`/v1/recipes/${recipeId}/card?site=site_none`).expect(404);
  });

  it('says allergens with their kinds, and names what nobody has declared', async () => {
    const id = await draftOf('Nut paste', [line('nuts', '500 g'), line('secret', '1 g')]);
    const { allergens } = await cardOf(id);
    expect(allergens.status).toBe('not-declared');
    expect(allergens.contains).toEqual([
      expect.objectContaining({ code: 'nuts:hazelnut', kind: expect.any(String) }),
    ]);
    expect(allergens.mayContain).toHaveLength(1);
    expect(allergens.notDeclared).toEqual(['Spice mix']);
    expect(allergens.notice).toContain('never says');
  });

  it('costs what the site pays, and is incomplete while a price is missing', async () => {
    const seller = await test
      .as(PURCHASING)
      .post('/v1/suppliers')
      .send({
        name: 'Mill',
        zone: 'Europe/Rome',
        currency: 'EUR',
        deliveryWeekdays: [2],
        cutoff: { daysBefore: 1, time: '12:00' },
        siteIds: [site],
      })
      .expect(201);
    const pack = await test
      .as(PURCHASING)
      .post(`/v1/suppliers/${seller.body.id}/packs`)
      .send({
        ingredientId: item.sugar,
        name: '10 kg',
        sku: 's10',
        content: { value: 10, unit: 'kg' },
      })
      .expect(201);
    await test
      .as(PURCHASING)
      .post(`/v1/packs/${pack.body.id}/prices`)
      .send({ validFrom: '2026-01-01', amount: '12.00' })
      .expect(201);
    const id = await draftOf('Priced syrup', [line('sugar', '500 g'), line('water', '500 g')]);
    const { cost } = await cardOf(id, `?site=${site}&batches=2`);
    // 1 kg of sugar at 1.20 a kg in 2 kg of syrup.
    expect(cost).toMatchObject({
      status: 'complete',
      cost: { amount: '1.20', currency: 'EUR' },
      perUnit: { quantity: 100, cost: { amount: '0.06' } },
    });
    const dear = await draftOf('Unpriced syrup', [
      line('sugar', '500 g'),
      line('cordial', '500 g'),
    ]);
    const incomplete = await cardOf(dear, `?site=${site}`);
    expect(incomplete.cost).toMatchObject({ status: 'incomplete', cost: null, perUnit: null });
    expect(incomplete.cost.missing).toEqual([{ name: 'Cordial', reason: 'no-pack' }]);
    expect((await cardOf(dear)).cost).toBeNull();
  });
});

describe('the card of a draft nobody has saved', () => {
  it('is worked out from what is typed, and nothing is kept', async () => {
    const recipeId = await book.recipe('Tried syrup', 'component');
    const body = versionBody([line('sugar', '1½ kg'), line('water', '1 l')], {
      output: { value: 2500, unit: 'g' },
    });
    // Litres of water need its density: the draft says so at its line.
    const refused = await test
      .as(LEAD)
      .post(`/v1/recipes/${recipeId}/draft-card`)
      .send(body)
      .expect(422);
    expect(refused.body.issues[0].pointer).toBe('/lines/1/amount');
    const good = versionBody([line('sugar', '1½ kg'), line('water', '1 kg')], {
      output: { value: 2500, unit: 'g' },
    });
    const tried = await test
      .as(LEAD)
      .post(`/v1/recipes/${recipeId}/draft-card`)
      .send(good)
      .expect(200);
    expect(figures(tried.body).get('brix')?.value).toBe(60);
    expect(tried.body.batches[0].mass).toMatchObject({ inG: 2500, outG: 2500, keptFraction: 1 });
    const kept = await test.as(LEAD).get(`/v1/recipes/${recipeId}/versions`).expect(200);
    expect(kept.body.items).toEqual([]);
    await test.as(chefOf(site)).post(`/v1/recipes/${recipeId}/draft-card`).send(good).expect(403);
  });

  it('points at the line and the character that cannot be read', async () => {
    const recipeId = await book.recipe('Misread syrup', 'component');
    const refused = await test
      .as(LEAD)
      .post(`/v1/recipes/${recipeId}/draft-card`)
      .send(versionBody([line('sugar', '1 kg'), line('water', '2 buckets')]))
      .expect(422);
    expect(refused.body.issues[0].pointer).toMatch(/^\/lines\/1\/amount/);
    expect(refused.body.context.position).toBe(2);
  });

  it('takes a component that is still a draft itself in its newest wording', async () => {
    const inner = await book.recipe('Half-written base', 'component');
    await book.draft(inner, [line('nuts', '1 kg')]);
    const outer = await book.recipe('On the half-written base', 'component');
    const tried = await test
      .as(LEAD)
      .post(`/v1/recipes/${outer}/draft-card`)
      .send(versionBody([{ componentId: inner, amount: '1 kg' }]))
      .expect(200);
    expect(tried.body.figuresMissing).toBeNull();
    expect(tried.body.allergens.contains[0].code).toBe('nuts:hazelnut');
  });
});
