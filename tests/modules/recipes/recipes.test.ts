import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { recipeBook, versionBody, type RecipeBook } from '../../helpers/recipe-book.ts';
import { ADMIN, chefOf, LEAD, startTestApp, type TestApp } from '../../helpers/test-app.ts';

let test: TestApp;
let book: RecipeBook;
let sugar = '';
let flour = '';
beforeAll(async () => {
  test = await startTestApp();
  book = recipeBook(test);
  sugar = await book.ingredient('Caster sugar');
  flour = await book.ingredient('Plain flour');
});
afterAll(() => test.close());

describe('recipes', () => {
  it('are made, renamed against the version last read, listed by kind and archived', async () => {
    const body = { kind: 'component', name: 'Shortcrust', baseUnit: 'g', station: 'oven' };
    const made = await test.as(LEAD).post('/v1/recipes').send(body).expect(201);
    const path = `/v1/recipes/${made.body.id}`;
    expect(made.headers.location).toBe(path);
    const again = await test.as(LEAD).post('/v1/recipes').send(body).expect(409);
    expect(again.body.issues[0].pointer).toBe('/name');
    const renamed = { ...body, name: 'Sweet shortcrust' };
    await test.as(LEAD).put(path).send(renamed).expect(428);
    await test.as(LEAD).put(path).set('if-match', '"1"').send(renamed).expect(200);
    const lost = await test.as(ADMIN).put(path).set('if-match', '"1"').send(body).expect(412);
    expect(lost.body.context.current.name).toBe('Sweet shortcrust');
    await test.as(chefOf()).put(path).set('if-match', '"2"').send(body).expect(403);

    const dishes = await test.as(LEAD).get('/v1/recipes?kind=dish').expect(200);
    expect(dishes.body.items).toEqual([]);
    const found = await test.as(chefOf()).get('/v1/recipes?search=shortcrust').expect(200);
    expect(found.body.items).toHaveLength(1);
    await test.as(LEAD).post(`${path}/archive`).set('if-match', '"2"').expect(200);
    const gone = await test.as(LEAD).get('/v1/recipes?search=shortcrust').expect(200);
    expect(gone.body.items).toEqual([]);
    const draft = await test.as(LEAD).post(`${path}/versions`).send(versionBody([])).expect(409);
    expect(draft.body.type).toContain('wrong-state');
    await test.as(LEAD).post(`${path}/restore`).set('if-match', '"3"').expect(200);
  });

  it('that are dishes are counted in portions', async () => {
    const refused = await test
      .as(LEAD)
      .post('/v1/recipes')
      .send({ kind: 'dish', name: 'Weighed dish', baseUnit: 'g', station: 'pass' })
      .expect(400);
    expect(refused.body.issues[0].pointer).toBe('/baseUnit');
  });

  it('keep kind and base unit once they are written', async () => {
    const { recipeId } = await book.published('Fixed', 'component', [
      { ingredientId: sugar, amount: '1 kg' },
    ]);
    const refused = await test
      .as(LEAD)
      .put(`/v1/recipes/${recipeId}`)
      .set('if-match', '"1"')
      .send({ kind: 'component', name: 'Fixed', baseUnit: 'ml', station: 'larder' })
      .expect(400);
    expect(refused.body.issues[0].pointer).toBe('/baseUnit');
  });

  it('say where they are used, and are not archived until then', async () => {
    const dough = await book.published('Tart dough', 'component', [
      { ingredientId: flour, amount: '1 kg' },
    ]);
    const shell = await book.published(
      'Tart shell',
      'component',
      [{ componentId: dough.recipeId, amount: '1 kg' }],
      { output: { value: 20, unit: 'each' }, baseUnit: 'each', pieceMassG: 40 },
    );
    const dish = await book.published('Tart plate', 'dish', [
      { componentId: shell.recipeId, amount: '1 each' },
    ]);
    const used = await test
      .as(LEAD)
      .get(`/v1/recipes/${dough.recipeId}/used-in?on=2026-03-10`)
      .expect(200);
    expect(used.body.direct.map((r: { name: string }) => r.name)).toEqual(['Tart shell']);
    expect(used.body.all.map((r: { name: string }) => r.name)).toEqual([
      'Tart shell',
      'Tart plate',
    ]);
    const refused = await test
      .as(LEAD)
      .post(`/v1/recipes/${dough.recipeId}/archive`)
      .set('if-match', '"1"')
      .expect(409);
    expect(refused.body.context.usedBy).toEqual(['Tart shell']);
    await test
      .as(LEAD)
      .post(`/v1/recipes/${dish.recipeId}/archive`)
      .set('if-match', '"1"')
      .expect(200);
    const inIngredient = await test.as(LEAD).get(`/v1/ingredients/${flour}/used-in`).expect(200);
    expect(inIngredient.body.items[0]).toMatchObject({
      recipeName: 'Tart dough',
      versionNumber: 1,
    });
    const kept = await test
      .as(LEAD)
      .post(`/v1/ingredients/${flour}/archive`)
      .set('if-match', '"1"')
      .expect(409);
    expect(kept.body.context.usedBy).toEqual(['Tart dough']);
  });

  it('give by-products that other recipes use', async () => {
    const liquor = await book.recipe('Rhubarb liquor', 'component', 'ml');
    const rhubarb = await book.published(
      'Stewed rhubarb',
      'component',
      [{ ingredientId: sugar, amount: '100 g' }],
      { byProducts: [{ componentId: liquor, amount: '300 ml', shelfLifeMin: 4320 }] },
    );
    const made = await test.as(LEAD).get(`/v1/recipe-versions/${rhubarb.versionId}`).expect(200);
    expect(made.body.byProducts).toMatchObject([
      { itemName: 'Rhubarb liquor', quantity: 300, storage: 'chilled', mayStartBatch: false },
    ]);
    await book.published('Rhubarb granita plate', 'dish', [
      { componentId: liquor, amount: '60 ml' },
    ]);
    const copy = await test
      .as(LEAD)
      .post(`/v1/recipe-versions/${rhubarb.versionId}/copy`)
      .expect(201);
    await test
      .as(LEAD)
      .put(`/v1/recipe-versions/${copy.body.id}`)
      .set('if-match', '"1"')
      .send(versionBody([{ ingredientId: sugar, amount: '100 g' }]))
      .expect(200);
    await test
      .as(LEAD)
      .post(`/v1/recipe-versions/${copy.body.id}/submit`)
      .set('if-match', '"2"')
      .expect(200);
    const refused = await test
      .as(LEAD)
      .post(`/v1/recipe-versions/${copy.body.id}/publish`)
      .set('if-match', '"3"')
      .send({ firstServiceDate: '2026-04-01' })
      .expect(422);
    expect(refused.body.detail).toContain('Rhubarb liquor');
  });
});

describe('the difference of two versions', () => {
  it('is told in a cook’s words', async () => {
    const honey = await book.ingredient('Honey');
    const recipeId = await book.recipe('Oat crumble', 'component');
    const steps = [
      { text: 'Rub butter into flour.', workingMin: 15 },
      { text: 'Bake.', kind: 'bake', workingMin: 5, waitingMin: 20, temperatureC: 160 },
    ];
    const first = await book.draft(
      recipeId,
      [
        { ingredientId: sugar, amount: '250 g' },
        { ingredientId: flour, amount: '500 g' },
      ],
      { steps },
    );
    const second = await book.draft(
      recipeId,
      [
        { ingredientId: sugar, amount: '200 g' },
        { ingredientId: honey, amount: '30 g' },
      ],
      {
        shelfLifeMin: 4320,
        steps: [
          steps[0],
          { text: 'Rest in the chiller.', kind: 'chill', workingMin: 0, waitingMin: 90 },
          { ...steps[1], temperatureC: 170 },
        ],
      },
    );
    const told = await test
      .as(chefOf())
      .get(`/v1/recipe-versions/${second}/difference`)
      .expect(200);
    expect(told.body).toMatchObject({ from: { id: first, number: 1 }, to: { number: 2 } });
    expect(told.body.changes).toEqual([
      { area: 'lines', text: 'Caster sugar: 250 g becomes 200 g (20 % less in proportion).' },
      { area: 'lines', text: 'New: 30 g Honey.' },
      { area: 'lines', text: 'Left out: 500 g Plain flour.' },
      { area: 'steps', text: 'New step 2: Rest in the chiller.' },
      { area: 'steps', text: 'Step 3: at 170 °C instead of 160 °C.' },
      { area: 'keeping', text: 'Keeps 3 days instead of 2 days.' },
    ]);
    const back = await test
      .as(LEAD)
      .get(`/v1/recipe-versions/${first}/difference?from=${second}`)
      .expect(200);
    expect(back.body.changes[0].text).toBe(
      'Caster sugar: 200 g becomes 250 g (25 % more in proportion).',
    );
    await test.as(LEAD).get(`/v1/recipe-versions/${first}/difference`).expect(404);
    const other = await book.published('Other', 'component', [
      { ingredientId: sugar, amount: '1 g' },
    ]);
    const wrong = await test
      .as(LEAD)
      .get(`/v1/recipe-versions/${second}/difference?from=${other.versionId}`)
      .expect(400);
    expect(wrong.body.issues[0].pointer).toBe('/querystring/from');
  });

  it('sees a doubled recipe as the same in proportion', async () => {
    const recipeId = await book.recipe('Doubled', 'component');
    await book.draft(recipeId, [{ ingredientId: sugar, amount: '250 g' }]);
    const twice = await book.draft(recipeId, [{ ingredientId: sugar, amount: '500 g' }], {
      output: '2 kg',
    });
    const told = await test.as(LEAD).get(`/v1/recipe-versions/${twice}/difference`).expect(200);
    expect(told.body.changes).toEqual([
      { area: 'yield', text: 'One batch gives 2 kg instead of 1000 g.' },
      { area: 'lines', text: 'Caster sugar: 250 g becomes 500 g (the same in proportion).' },
    ]);
  });
});

describe('the recipe card', () => {
  it('is scaled to permitted batches, with weights the scale can show', async () => {
    const gelatine = await book.ingredient('Gelatine leaf', {
      measures: [{ name: 'sheet', massG: 2 }],
    });
    const pod = await book.ingredient('Cinnamon stick', { baseUnit: 'each' });
    const recipeId = await book.recipe('Plum mousse', 'component');
    const id = await book.draft(
      recipeId,
      [
        { ingredientId: sugar, amount: '125 g', scaleStep: 1 },
        { ingredientId: gelatine, amount: '6 sheets' },
        { ingredientId: pod, amount: '1 each', perBatch: true },
      ],
      {
        batch: { min: 0.5, max: 2, multiple: 0.5 },
        steps: [
          {
            text: 'Set in moulds.',
            workingMin: 30,
            waitingMin: 240,
            equipment: { kind: 'mould', amount: 10 },
          },
        ],
      },
    );
    const card = await test
      .as(chefOf())
      .get(`/v1/recipe-versions/${id}/card?batches=2.7`)
      .expect(200);
    expect(card.body).toMatchObject({
      name: 'Plum mousse',
      requestedBatches: 2.7,
      gives: { quantity: 3000, text: '3 kg' },
      batches: [
        {
          count: 2,
          batches: 1.5,
          gives: { quantity: 1500 },
          lines: [
            { name: 'Caster sugar', amount: { baseUnit: 'g' }, asWritten: null },
            { name: 'Gelatine leaf', amount: { quantity: 18 }, asWritten: '9 sheets' },
            { name: 'Cinnamon stick', amount: { quantity: 1 }, perBatch: true },
          ],
          steps: [{ equipment: { kind: 'mould', amount: 15 } }],
        },
      ],
    });
    expect([187, 188]).toContain(card.body.batches[0].lines[0].amount.quantity);
    expect(card.body.notice).toContain('Cooling');
    const refused = await test
      .as(LEAD)
      .get(`/v1/recipe-versions/${id}/card?batches=-1`)
      .expect(400);
    expect(refused.body.issues[0].pointer).toBe('/querystring/batches');
  });
});
