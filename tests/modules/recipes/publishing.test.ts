import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { recipeBook, versionBody, type RecipeBook } from '../../helpers/recipe-book.ts';
import { ADMIN, chefOf, LEAD, startTestApp, SYSTEM, type TestApp } from '../../helpers/test-app.ts';

// The clock stands at 2026-03-10T05:30Z.
let test: TestApp;
let book: RecipeBook;
let sugar = '';
beforeAll(async () => {
  test = await startTestApp();
  book = recipeBook(test);
  sugar = await book.ingredient('Caster sugar');
});
afterAll(() => test.close());

const path = (versionId: string) => `/v1/recipe-versions/${versionId}`;
const read = async (versionId: string) => (await test.as(LEAD).get(path(versionId))).body;
const submit = async (versionId: string, by = LEAD) => {
  const { rev } = await read(versionId);
  const sent = await test
    .as(by)
    .post(`${path(versionId)}/submit`)
    .set('if-match', `"${rev}"`);
  expect(sent.status).toBe(200);
  return sent.body.rev as number;
};
const publish = async (versionId: string, firstServiceDate: string, by = ADMIN) => {
  const { rev } = await read(versionId);
  return test
    .as(by)
    .post(`${path(versionId)}/publish`)
    .set('if-match', `"${rev}"`)
    .send({ firstServiceDate });
};
const withdraw = async (versionId: string) => {
  const { rev } = await read(versionId);
  return test
    .as(LEAD)
    .post(`${path(versionId)}/withdraw`)
    .set('if-match', `"${rev}"`)
    .send({ reason: 'too sweet' });
};
const sweet = (grams: number) => [{ ingredientId: sugar, amount: `${grams} g` }];

describe('a version', () => {
  it('goes from draft through review to published, and drives dates until the next one begins', async () => {
    const recipeId = await book.recipe('Citrus syrup', 'component');
    const first = await book.draft(recipeId, sweet(300));
    expect((await publish(first, '2026-03-12')).status).toBe(409);
    await submit(first);
    const edit = await test
      .as(LEAD)
      .put(path(first))
      .set('if-match', '"2"')
      .send(versionBody(sweet(1)))
      .expect(409);
    expect(edit.body.type).toContain('wrong-state');
    expect((await publish(first, '2026-03-12')).body).toMatchObject({
      status: 'published',
      firstServiceDate: '2026-03-12',
      rev: 3,
    });
    const copied = await test
      .as(LEAD)
      .post(`${path(first)}/copy`)
      .expect(201);
    expect(copied.body).toMatchObject({ number: 2, status: 'draft', lines: [{ quantity: 300 }] });
    await test
      .as(LEAD)
      .put(path(copied.body.id))
      .set('if-match', '"1"')
      .send(versionBody(sweet(280)))
      .expect(200);
    await submit(copied.body.id);
    expect((await publish(copied.body.id, '2026-03-20')).status).toBe(200);

    const on = async (date: string) =>
      test.as(chefOf()).get(`/v1/recipes/${recipeId}/version?on=${date}`);
    expect((await on('2026-03-11')).status).toBe(404);
    expect((await on('2026-03-12')).body.number).toBe(1);
    expect((await on('2026-03-19')).body.number).toBe(1);
    expect((await on('2026-03-20')).body.number).toBe(2);
    expect((await on('2027-01-01')).body.lines[0].quantity).toBe(280);
    expect((await on('2026-02-30')).body.issues[0].pointer).toBe('/querystring/on');
  });

  it('is sent back from review to be written again', async () => {
    const recipeId = await book.recipe('Sent back', 'component');
    const id = await book.draft(recipeId, sweet(1));
    const rev = await submit(id);
    await test
      .as(LEAD)
      .post(`${path(id)}/send-back`)
      .set('if-match', '"1"')
      .expect(412);
    const back = await test
      .as(ADMIN)
      .post(`${path(id)}/send-back`)
      .set('if-match', `"${rev}"`)
      .expect(200);
    expect(back.body.status).toBe('draft');
  });

  it('is not published twice for one date, nor by people over dates already planned', async () => {
    const { versionId, recipeId } = await book.published('Steady', 'component', sweet(10));
    const copy = await test
      .as(LEAD)
      .post(`${path(versionId)}/copy`)
      .expect(201);
    const next = copy.body.id as string;
    await submit(next);
    const same = await publish(next, '2026-01-01');
    expect([same.status, same.body.issues[0].pointer]).toEqual([409, '/firstServiceDate']);
    const past = await publish(next, '2026-03-01');
    expect([past.status, past.body.issues[0].pointer]).toEqual([400, '/firstServiceDate']);
    expect((await read(next)).status).toBe('in_review');
    const { rev } = await read(next);
    const history = await test.services.versions.publish(SYSTEM, next, rev, '2026-03-01');
    expect(history.firstServiceDate).toBe('2026-03-01');
    const today = await test.services.recipes.versionOn(recipeId, '2026-03-10');
    expect(today.id).toBe(next);
  });

  it('without lines is not sent for review, without steps not published', async () => {
    const recipeId = await book.recipe('Empty', 'component');
    const empty = await book.draft(recipeId, []);
    const refused = await test
      .as(LEAD)
      .post(`${path(empty)}/submit`)
      .set('if-match', '"1"')
      .expect(400);
    expect(refused.body.issues[0].pointer).toBe('/lines');
    const noSteps = await book.draft(recipeId, sweet(1), { steps: [] });
    await submit(noSteps);
    const unpublished = await publish(noSteps, '2026-04-01');
    expect([unpublished.status, unpublished.body.issues[0].pointer]).toEqual([400, '/steps']);
  });

  it('naming a component that is not published by its first service date is refused, by date and name', async () => {
    const glaze = await book.recipe('Apricot glaze', 'component');
    const tart = await book.recipe('Glazed tart', 'dish');
    const tartVersion = await book.draft(
      tart,
      [...sweet(5), { componentId: glaze, amount: '20 g' }],
      { output: { value: 1, unit: 'each' } },
    );
    await submit(tartVersion);
    const missing = await publish(tartVersion, '2026-04-01');
    expect(missing.body).toMatchObject({
      status: 422,
      type: 'https://tamis.example/problems/missing-component',
      issues: [{ pointer: '/lines/1/componentId' }],
      context: { date: '2026-04-01' },
    });
    expect(missing.body.detail).toContain('Apricot glaze');
    expect((await read(tartVersion)).status).toBe('in_review');

    const glazeVersion = await book.draft(glaze, sweet(100));
    await book.publish(glazeVersion, '2026-04-05');
    expect((await publish(tartVersion, '2026-04-01')).status).toBe(422);
    expect((await publish(tartVersion, '2026-04-05')).status).toBe(200);
  });

  it('is not withdrawn while another recipe rests on it; then the version before takes over', async () => {
    const base = await book.published('Curd base', 'component', sweet(100));
    const dish = await book.published('Curd plate', 'dish', [
      { componentId: base.recipeId, amount: '50 g' },
    ]);
    const refused = await withdraw(base.versionId);
    expect(refused.body).toMatchObject({
      status: 422,
      type: 'https://tamis.example/problems/missing-component',
    });
    expect(refused.body.detail).toContain('Curd plate');
    expect((await read(base.versionId)).status).toBe('published');

    const copy = await test
      .as(LEAD)
      .post(`${path(base.versionId)}/copy`)
      .expect(201);
    await book.publish(copy.body.id, '2026-03-10');
    const gone = await withdraw(copy.body.id);
    expect(gone.body).toMatchObject({ status: 'withdrawn', withdrawnFrom: '2026-03-10' });
    const inForce = await test
      .as(LEAD)
      .get(`/v1/recipes/${base.recipeId}/version?on=2026-03-10`)
      .expect(200);
    expect(inForce.body.number).toBe(1);

    expect((await withdraw(dish.versionId)).status).toBe(200);
    expect((await withdraw(base.versionId)).status).toBe(200);
    const past = await test
      .as(LEAD)
      .get(`/v1/recipes/${base.recipeId}/version?on=2026-02-01`)
      .expect(200);
    expect(past.body.number).toBe(1);
  });

  it('reads its amounts once more when it is published', async () => {
    const syrup = await book.ingredient('Agave syrup', { density: { gPerMl: 1.3 } });
    const recipeId = await book.recipe('Agave dressing', 'component');
    const id = await book.draft(recipeId, [{ ingredientId: syrup, amount: '100 ml' }]);
    await test
      .as(LEAD)
      .put(`/v1/ingredients/${syrup}`)
      .set('if-match', '"1"')
      .send({
        name: 'Agave syrup',
        baseUnit: 'g',
        density: { gPerMl: 1.4 },
        allergens: { contains: [] },
      })
      .expect(200);
    await book.publish(id, '2026-04-01');
    expect((await read(id)).lines[0].quantity).toBeCloseTo(140, 9);
  });
});

describe('a change that adds an allergen to a published dish', () => {
  it('is published by somebody other than who submitted it', async () => {
    const almond = await book.ingredient('Ground almonds', {
      allergens: { contains: ['nuts:almond'], mayContain: ['nuts:hazelnut'] },
    });
    const mystery = await book.ingredient('Mystery crunch', { allergens: null });
    const base = await book.published('Crumb base', 'component', sweet(100));
    await book.published('Crumb plate', 'dish', [{ componentId: base.recipeId, amount: '30 g' }]);
    const next = await book.draft(base.recipeId, [
      ...sweet(60),
      { ingredientId: almond, amount: '40 g' },
    ]);
    await submit(next, LEAD);
    const alone = await publish(next, '2026-04-01', LEAD);
    expect(alone.body).toMatchObject({
      status: 403,
      context: {
        date: '2026-04-01',
        dishes: [{ dishName: 'Crumb plate', added: ['nuts:almond', 'may contain nuts:hazelnut'] }],
      },
    });
    expect((await read(next)).status).toBe('in_review');
    expect((await publish(next, '2026-04-01', ADMIN)).status).toBe(200);

    const less = await book.draft(base.recipeId, [
      ...sweet(65),
      { ingredientId: almond, amount: '35 g' },
    ]);
    await submit(less, LEAD);
    expect((await publish(less, '2026-04-10', LEAD)).status).toBe(200);

    const unknown = await book.draft(base.recipeId, [
      ...sweet(65),
      { ingredientId: almond, amount: '35 g' },
      { ingredientId: mystery, amount: '5 g' },
    ]);
    await submit(unknown, LEAD);
    const undeclared = await publish(unknown, '2026-04-20', LEAD);
    expect(undeclared.body.detail).toContain('nobody has declared');
  });

  it('does not hold up a new dish that nobody has been served', async () => {
    const milk = await book.ingredient('Milk', { allergens: { contains: ['milk'] } });
    const recipeId = await book.recipe('Milk plate', 'dish');
    const id = await book.draft(recipeId, [{ ingredientId: milk, amount: '100 g' }], {
      output: { value: 1, unit: 'each' },
    });
    await submit(id, LEAD);
    expect((await publish(id, '2026-04-01', LEAD)).status).toBe(200);
  });
});
