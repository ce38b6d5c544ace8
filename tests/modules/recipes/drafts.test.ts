import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { recipeBook, versionBody, type RecipeBook } from '../../helpers/recipe-book.ts';
import { ADMIN, chefOf, LEAD, startTestApp, type TestApp } from '../../helpers/test-app.ts';

let test: TestApp;
let book: RecipeBook;
let sugar = '';
let cream = '';
let gelatine = '';
let plum = '';
beforeAll(async () => {
  test = await startTestApp();
  book = recipeBook(test);
  sugar = await book.ingredient('Caster sugar', { measures: [{ name: 'tsp', massG: 4 }] });
  cream = await book.ingredient('Whipping cream', { density: { gPerMl: 0.99 } });
  gelatine = await book.ingredient('Gelatine leaf', { measures: [{ name: 'sheet', massG: 2 }] });
  plum = await book.ingredient('Plum', { trimYield: { fraction: 0.9 } });
});
afterAll(() => test.close());

const versions = async (recipeId: string) =>
  (await test.as(LEAD).get(`/v1/recipes/${recipeId}/versions`).expect(200)).body.items as {
    id: string;
    rev: number;
  }[];

describe('a draft', () => {
  it('takes amounts as numbers or as cooks write them and keeps both what was written and base units', async () => {
    const recipeId = await book.recipe('Plum curd', 'component');
    const id = await book.draft(recipeId, [
      { ingredientId: sugar, amount: '1½ tsp' },
      { ingredientId: cream, amount: { value: 0.5, unit: 'L' } },
      { ingredientId: gelatine, amount: '3 sheets', perBatch: true },
      { ingredientId: plum, amount: '2 x 400 g tin', trimYield: 0.8, cookingYield: 1.1 },
    ]);
    const read = await test.as(chefOf()).get(`/v1/recipe-versions/${id}`).expect(200);
    expect(read.body).toMatchObject({ number: 1, status: 'draft', firstServiceDate: null });
    expect(read.body.lines).toMatchObject([
      { itemName: 'Caster sugar', amount: { value: 1.5 }, quantity: 6 },
      { itemName: 'Whipping cream', amount: { value: 0.5, unit: 'L' }, quantity: 495 },
      { amount: { value: 3, unit: 'sheet' }, quantity: 6, perBatch: true },
      { amount: { value: 800, unit: 'g' }, quantity: 800, trimYield: 0.8, cookingYield: 1.1 },
    ]);
  });

  it('is edited against the version last read; the second editor sees what stands', async () => {
    const recipeId = await book.recipe('Edited sauce', 'component');
    const id = await book.draft(recipeId, [{ ingredientId: sugar, amount: '100 g' }]);
    const path = `/v1/recipe-versions/${id}`;
    const body = versionBody([{ ingredientId: sugar, amount: '120 g' }]);
    await test.as(LEAD).put(path).send(body).expect(428);
    const saved = await test.as(LEAD).put(path).set('if-match', '"1"').send(body).expect(200);
    expect(saved.body).toMatchObject({ rev: 2, lines: [{ quantity: 120 }] });
    const lost = await test.as(ADMIN).put(path).set('if-match', '"1"').send(body).expect(412);
    expect(lost.body.context.current.lines[0].quantity).toBe(120);
    expect(lost.body.context).toMatchObject({
      expectedRevision: 1,
      currentRevision: 2,
      changes: [
        { area: 'lines', text: 'Caster sugar: 100 g becomes 120 g (20 % more in proportion).' },
      ],
      changedBy: ['Lena Lead'],
      changedAt: '2026-03-10T05:30:00.000Z',
      currentAt: path,
    });
    // Read once more and saved, the third editor who still holds the first reading sees both changes.
    const third = versionBody([{ ingredientId: sugar, amount: '120 g' }], { shelfLifeMin: 1440 });
    await test.as(ADMIN).put(path).set('if-match', '"2"').send(third).expect(200);
    const late = await test.as(LEAD).put(path).set('if-match', '"1"').send(body).expect(412);
    expect(late.body.context.changes.map((c: { area: string }) => c.area)).toEqual([
      'lines',
      'keeping',
    ]);
    expect(late.body.context.changedBy).toEqual(['Lena Lead', 'Ada Admin']);
    const fromSecond = await test.as(LEAD).put(path).set('if-match', '"2"').send(body).expect(412);
    expect(fromSecond.body.context.changes).toEqual([
      { area: 'keeping', text: 'Keeps 1 day instead of 2 days.' },
    ]);
    await test.as(LEAD).delete(path).set('if-match', '"1"').expect(412);
    await test.as(LEAD).delete(path).set('if-match', '"3"').expect(204);
    await test.as(LEAD).get(path).expect(404);
  });

  it('lists losses one by one with their sources; the two yields of a line follow from them', async () => {
    const recipeId = await book.recipe('Listed losses', 'component');
    const yields = [
      { kind: 'stone', fraction: 0.9, source: 'test day' },
      { kind: 'peel', fraction: 0.8, source: 'test day' },
      { kind: 'cooking', fraction: 0.5, source: 'habit' },
    ];
    const line = { ingredientId: plum, amount: '100 g', siteMay: ['ingredient', 'yield'] };
    const steps = [
      {
        text: 'Boil down.',
        workingMin: 5,
        yields: [{ kind: 'evaporation', fraction: 0.92, source: 'test day' }],
        siteMay: ['time'],
      },
    ];
    const id = await book.draft(recipeId, [{ ...line, yields }], { steps });
    const path = `/v1/recipe-versions/${id}`;
    const read = (await test.as(LEAD).get(path)).body;
    expect(read.lines[0]).toMatchObject({ yields, siteMay: ['ingredient', 'yield'] });
    expect(read.lines[0].trimYield).toBeCloseTo(0.72, 12);
    expect(read.lines[0].cookingYield).toBe(0.5);
    expect(read.steps[0]).toMatchObject({ yields: steps[0]?.yields, siteMay: ['time'] });
    const copy = await test.as(LEAD).post(`${path}/copy`).expect(201);
    expect(copy.body.lines[0]).toMatchObject({ yields, cookingYield: 0.5 });
    const plain = versionBody([{ ingredientId: plum, amount: '100 g', trimYield: 0.72 }]);
    const copied = `/v1/recipe-versions/${copy.body.id}`;
    await test.as(LEAD).put(copied).set('if-match', '"1"').send(plain).expect(200);
    const told = (await test.as(LEAD).get(`${copied}/difference?from=${id}`)).body.changes;
    const texts = told.map((change: { text: string }) => change.text);
    expect(texts).toContain('Plum: a site may no longer use a local ingredient here.');
    expect(texts.join(' ')).toContain('the usual share is left when cooked, instead of 50 %');
    for (const [bad, pointer] of [
      [[{ kind: 'peel', fraction: 1.2, source: 'x' }], '/lines/0/yields/0/fraction'],
      [[{ kind: 'peel', fraction: 0, source: 'x' }], '/lines/0/yields/0/fraction'],
      [[{ kind: 'peel', fraction: 0.5, source: ' ' }], '/lines/0/yields/0/source'],
      [[{ kind: 'rinse', fraction: 0.5, source: 'x' }], '/lines/0/yields/0/kind'],
    ] as const) {
      const body = versionBody([{ ...line, yields: bad }]);
      const refused = await test.as(LEAD).put(copied).set('if-match', '"2"').send(body);
      expect([refused.body.issues?.[0]?.pointer, refused.status]).toEqual([
        pointer,
        pointer.endsWith('fraction') && bad[0].fraction > 1 ? 422 : 400,
      ]);
    }
    const both = versionBody([{ ...line, yields, trimYield: 0.7 }]);
    const refused = await test.as(LEAD).put(copied).set('if-match', '"2"').send(both).expect(400);
    expect(refused.body.issues[0].pointer).toBe('/lines/0/trimYield');
    expect((await test.as(LEAD).get(copied)).body.rev).toBe(2);
  });

  it('is written by the lead, read by chefs', async () => {
    const recipeId = await book.recipe('Lead’s sauce', 'component');
    await test
      .as(chefOf())
      .post(`/v1/recipes/${recipeId}/versions`)
      .send(versionBody([]))
      .expect(403);
  });

  it('is refused with a pointer where an amount makes no sense, and nothing changes', async () => {
    const recipeId = await book.recipe('Refused sauce', 'component');
    const id = await book.draft(recipeId, [{ ingredientId: sugar, amount: '100 g' }]);
    const before = (await test.as(LEAD).get(`/v1/recipe-versions/${id}`)).body;
    const flour = await book.ingredient('Flour without density');
    const dish = await book.recipe('Some dish', 'dish');
    const good = { ingredientId: sugar, amount: { value: 10, unit: 'g' } };
    const line = (...bad: object[]) => ({ lines: [good, good, good, ...bad] });
    const cases: [object, string, string][] = [
      [
        line({ ...good, amount: { value: 1, unit: 'firkin' } }),
        'unknown-unit',
        '/lines/3/amount/unit',
      ],
      [line({ ...good, amount: '12 firkins' }), 'unknown-unit', '/lines/3/amount'],
      [line({ ...good, amount: 'some' }), 'unreadable-amount', '/lines/3/amount'],
      [line({ ...good, amount: '2-3 tsp' }), 'unreadable-amount', '/lines/3/amount'],
      [line({ ingredientId: flour, amount: '1 cup_m' }), 'unknown-unit', '/lines/3/amount'],
      [
        line({ ingredientId: flour, amount: { value: 200, unit: 'mL' } }),
        'no-density',
        '/lines/3/amount',
      ],
      [
        line({ ingredientId: flour, amount: { value: 2, unit: 'each' } }),
        'no-piece-mass',
        '/lines/3/amount',
      ],
      [
        line({ ...good, amount: { value: -5, unit: 'g' } }),
        'invalid-input',
        '/lines/3/amount/value',
      ],
      [line({ ...good, amount: '-5 g' }), 'unreadable-amount', '/lines/3/amount'],
      [line({ ...good, amount: '0 g' }), 'out-of-range', '/lines/3/amount/value'],
      [
        line({ ...good, amount: { value: 9_999_999, unit: 'kg' } }),
        'out-of-range',
        '/lines/3/amount/value',
      ],
      [
        line({ ...good, amount: { value: 180, unit: 'Cel' } }),
        'dimension-mismatch',
        '/lines/3/amount',
      ],
      [line({ ...good, ingredientId: 'ing_none' }), 'missing-ingredient', '/lines/3/ingredientId'],
      [
        line({ componentId: 'rcp_none', amount: '1 g' }),
        'missing-component',
        '/lines/3/componentId',
      ],
      [line({ componentId: dish, amount: '1 each' }), 'missing-component', '/lines/3/componentId'],
      [line({ amount: '1 g' }), 'invalid-input', '/lines/3'],
      [line({ ...good, componentId: recipeId }), 'invalid-input', '/lines/3'],
      [line({ ...good, trimYield: 0 }), 'invalid-input', '/lines/3/trimYield'],
      [line({ ...good, trimYield: 1.5 }), 'invalid-input', '/lines/3/trimYield'],
      [line({ ...good, cookingYield: 11 }), 'invalid-input', '/lines/3/cookingYield'],
      [line({ ...good, scaleStep: -1 }), 'invalid-input', '/lines/3/scaleStep'],
      [{ output: { value: 0, unit: 'g' } }, 'invalid-input', '/output/value'],
      [{ output: { value: 1, unit: 'L' } }, 'no-density', '/output'],
      [{ output: '0 g' }, 'out-of-range', '/output/value'],
      [{ batch: { min: 3, max: 2, multiple: 1 } }, 'infeasible', '/batch'],
      [{ shelfLifeMin: 0 }, 'invalid-input', '/shelfLifeMin'],
      [{ steps: [{ text: 'Wait.', workingMin: -1 }] }, 'invalid-input', '/steps/0/workingMin'],
      [
        { byProducts: [{ componentId: recipeId, amount: '1 g', shelfLifeMin: 60 }] },
        'invalid-input',
        '/byProducts/0/componentId',
      ],
    ];
    for (const [part, kind, pointer] of cases) {
      const refused = await test
        .as(LEAD)
        .put(`/v1/recipe-versions/${id}`)
        .set('if-match', '"1"')
        .send(versionBody([good], part));
      const got = [refused.body.type, refused.body.issues?.[0]?.pointer];
      expect(got, JSON.stringify(part)).toEqual([
        `https://tamis.example/problems/${kind}`,
        pointer,
      ]);
      const created = await test
        .as(LEAD)
        .post(`/v1/recipes/${recipeId}/versions`)
        .send(versionBody([good], part));
      expect(created.status).toBe(refused.status);
    }
    expect((await test.as(LEAD).get(`/v1/recipe-versions/${id}`)).body).toEqual(before);
    expect(await versions(recipeId)).toHaveLength(1);
  });

  it('names the ingredient whose density is missing', async () => {
    const recipeId = await book.recipe('Nameless sauce', 'component');
    const starch = await book.ingredient('Potato starch');
    const refused = await test
      .as(LEAD)
      .post(`/v1/recipes/${recipeId}/versions`)
      .send(versionBody([{ ingredientId: starch, amount: '2 tbsp' }]))
      .expect(422);
    expect(refused.body.detail).toContain('Potato starch');
  });

  it('is refused when it would contain itself, with the way round by names', async () => {
    const [a, b, c] = [
      await book.recipe('Base A', 'component'),
      await book.recipe('Base B', 'component'),
      await book.recipe('Base C', 'component'),
    ];
    await book.draft(a, [{ componentId: b, amount: '100 g' }]);
    await book.draft(b, [
      { ingredientId: sugar, amount: '10 g' },
      { componentId: c, amount: '100 g' },
    ]);
    const closing = versionBody([
      { ingredientId: sugar, amount: '10 g' },
      { componentId: a, amount: '5 g' },
    ]);
    const refused = await test.as(LEAD).post(`/v1/recipes/${c}/versions`).send(closing).expect(422);
    expect(refused.body).toMatchObject({
      type: 'https://tamis.example/problems/recipe-cycle',
      issues: [{ pointer: '/lines/1/componentId' }],
    });
    const names = refused.body.context.names as string[];
    expect(names[0]).toBe(names.at(-1));
    expect(new Set(names)).toEqual(new Set(['Base A', 'Base B', 'Base C']));
    expect(await versions(c)).toHaveLength(0);

    const self = await test
      .as(LEAD)
      .post(`/v1/recipes/${c}/versions`)
      .send(versionBody([{ componentId: c, amount: '5 g' }]))
      .expect(422);
    expect(self.body.type).toBe('https://tamis.example/problems/recipe-cycle');
    expect(self.body.detail).toContain('Base C → Base C');
  });

  it('does not name archived ingredients or components', async () => {
    const old = await book.ingredient('Old essence');
    await test.as(LEAD).post(`/v1/ingredients/${old}/archive`).set('if-match', '"1"').expect(200);
    const oldBase = await book.recipe('Old base', 'component');
    await test.as(LEAD).post(`/v1/recipes/${oldBase}/archive`).set('if-match', '"1"').expect(200);
    const recipeId = await book.recipe('New base', 'component');
    for (const [line, pointer] of [
      [{ ingredientId: old, amount: '1 g' }, '/lines/0/ingredientId'],
      [{ componentId: oldBase, amount: '1 g' }, '/lines/0/componentId'],
    ] as const) {
      const refused = await test
        .as(LEAD)
        .post(`/v1/recipes/${recipeId}/versions`)
        .send(versionBody([line]))
        .expect(422);
      expect(refused.body.issues[0].pointer).toBe(pointer);
    }
    expect(await versions(recipeId)).toHaveLength(0);
  });

  it('of very many lines is taken, and past the limit refused', async () => {
    const recipeId = await book.recipe('Long list', 'component');
    const line = { ingredientId: sugar, amount: '1 g' };
    const many = Array.from({ length: 5000 }, () => line);
    await test
      .as(LEAD)
      .post(`/v1/recipes/${recipeId}/versions`)
      .send(versionBody(many, { output: { value: 5, unit: 'kg' } }))
      .expect(201);
    const short = { ingredientId: 'ing_1', amount: '1' };
    const tooMany = await test
      .as(LEAD)
      .post(`/v1/recipes/${recipeId}/versions`)
      .send(versionBody(Array.from({ length: 10_001 }, () => short)))
      .expect(400);
    expect(tooMany.body.issues[0].pointer).toBe('/lines');
    expect(await versions(recipeId)).toHaveLength(1);
  });
});
