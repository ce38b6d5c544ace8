import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { recipeBook, type RecipeBook } from '../../helpers/recipe-book.ts';
import { ADMIN, chefOf, LEAD, startTestApp, type TestApp } from '../../helpers/test-app.ts';

let test: TestApp;
let other: TestApp;
let book: RecipeBook;
const ingredients = async (at: TestApp) => {
  const shelf = recipeBook(at);
  return {
    flour: await shelf.ingredient('Plain flour'),
    butter: await shelf.ingredient('Butter'),
    sugar: await shelf.ingredient('Caster sugar', { measures: [{ name: 'tsp', massG: 4 }] }),
    oats: await shelf.ingredient('Rolled oats', { density: { gPerMl: 0.4 } }),
  };
};
beforeAll(async () => {
  test = await startTestApp();
  other = await startTestApp();
  book = recipeBook(test);
  const shelf = await ingredients(test);
  await ingredients(other);
  const crumbs = await book.recipe('Loose crumbs', 'component');
  const crumble = await book.published(
    'Oat crumble',
    'component',
    [
      { ingredientId: shelf.flour, amount: '300 g' },
      { ingredientId: shelf.butter, amount: '200 g', note: 'cold' },
      { ingredientId: shelf.oats, amount: '250 ml' },
      { ingredientId: shelf.sugar, amount: '1½ tsp', perBatch: true },
    ],
    {
      output: { value: 560, unit: 'g' },
      batch: { min: 0.5, max: 4, multiple: 0.5 },
      byProducts: [{ componentId: crumbs, amount: '20 g', shelfLifeMin: 1440 }],
      steps: [
        { text: 'Rub butter into flour.', workingMin: 15 },
        {
          text: 'Bake.',
          kind: 'bake',
          workingMin: 5,
          waitingMin: 25,
          temperatureC: 160,
          equipment: { kind: 'oven deck', amount: 1 },
        },
      ],
    },
  );
  await book.published('Crumble plate', 'dish', [
    { componentId: crumble.recipeId, amount: '40 g' },
    { componentId: crumbs, amount: '2 g' },
  ]);
});
afterAll(async () => {
  await test.close();
  await other.close();
});

const exported = async () =>
  (await test.as(LEAD).get('/v1/recipes/export?on=2026-03-10').expect(200)).body;
const send = (at: TestApp, body: object, query = '') =>
  at.as(LEAD).post(`/v1/recipes/import${query}`).send(body);
const recipesAt = async (at: TestApp) =>
  (await at.as(LEAD).get('/v1/recipes?limit=200').expect(200)).body.items as {
    id: string;
    name: string;
  }[];

describe('recipes as a file', () => {
  it('come back from another group as they went, as drafts, components before or after their users', async () => {
    const file = await exported();
    expect(file.recipes.map((r: { name: string }) => r.name).sort()).toEqual([
      'Crumble plate',
      'Loose crumbs',
      'Oat crumble',
    ]);
    const turned = { ...file, recipes: [...file.recipes].reverse() };
    const dry = await send(other, turned, '?dryRun=true').expect(200);
    expect(dry.body.problems).toEqual([]);
    expect(await recipesAt(other)).toEqual([]);
    const done = await send(other, turned).expect(200);
    expect(done.body.recipes.every((r: { isNew: boolean }) => r.isNew)).toBe(true);

    const contents = async (at: TestApp, name: string) => {
      const recipe = (await recipesAt(at)).find((r) => r.name === name);
      const found = await at.as(LEAD).get(`/v1/recipes/${recipe?.id}/versions`).expect(200);
      const [version] = found.body.items;
      const bare = (row: object) => ({ ...row, id: '', ingredientId: '', componentId: '' });
      return {
        status: version.status,
        output: version.output,
        batch: version.batch,
        shelfLifeMin: version.shelfLifeMin,
        lines: version.lines.map(bare),
        steps: version.steps.map(bare),
        byProducts: version.byProducts.map(bare),
      };
    };
    for (const name of ['Oat crumble', 'Crumble plate']) {
      expect(await contents(other, name)).toEqual({
        ...(await contents(test, name)),
        status: 'draft',
      });
    }
    const again = await send(other, turned).expect(200);
    expect(again.body.recipes.map((r: { versionId: string | null }) => r.versionId)).toEqual([
      null,
      null,
      null,
    ]);
  });

  it('land as a whole or not at all, and every problem is told with its pointer', async () => {
    const before = await recipesAt(test);
    const version = (lines: object[]) => ({ output: '1 kg', shelfLifeMin: 60, lines });
    const recipe = (name: string, lines: object[], more: object = {}) => ({
      kind: 'component',
      name,
      baseUnit: 'g',
      station: 'larder',
      version: version(lines),
      ...more,
    });
    const file = {
      recipes: [
        recipe('Fine', [{ ingredient: 'Caster sugar', amount: '1 kg' }]),
        recipe('Unknown item', [{ ingredient: 'Moon dust', amount: '1 g' }]),
        recipe('Unknown unit', [{ ingredient: 'Butter', amount: { value: 1, unit: 'firkin' } }]),
        recipe('No density', [{ ingredient: 'Butter', amount: '100 ml' }]),
        recipe('Round one', [{ component: 'Round two', amount: '1 g' }]),
        recipe('Round two', [{ component: 'Round one', amount: '1 g' }]),
        recipe('Fine', []),
        recipe('Oat crumble', [], { baseUnit: 'ml' }),
        recipe('Weighed dish', [], { kind: 'dish' }),
      ],
    };
    const dry = await send(test, file, '?dryRun=true').expect(200);
    const pointers = dry.body.problems.map((p: { pointer: string }) => p.pointer);
    for (const pointer of [
      '/recipes/1/version/lines/0/ingredient',
      '/recipes/2/version/lines/0/amount/unit',
      '/recipes/3/version/lines/0/amount',
      '/recipes/4/version/lines/0/component',
      '/recipes/6/name',
      '/recipes/7/baseUnit',
      '/recipes/8/baseUnit',
    ]) {
      expect(pointers).toContain(pointer);
    }
    const refused = await send(test, file).expect(400);
    expect(refused.body.issues).toHaveLength(pointers.length);
    const badShape = await send(test, { recipes: [{ name: 'x' }] }).expect(400);
    expect(badShape.body.issues[0].pointer).toMatch(/^\/recipes\/0/);
    await test.as(chefOf()).post('/v1/recipes/import').send(file).expect(403);
    expect(await recipesAt(test)).toEqual(before);
  });
});

describe('sixty levels of components', () => {
  it('are taken from one file, and closing the ring is refused with the whole way round', async () => {
    const level = (i: number, lines: object[]) => ({
      kind: 'component',
      name: `Level ${i}`,
      baseUnit: 'g',
      station: 'larder',
      version: { output: '1 kg', shelfLifeMin: 60, lines },
    });
    const sugar = { ingredient: 'Caster sugar', amount: '1 g' };
    const on = (i: number) => [sugar, { component: `Level ${i}`, amount: '1 g' }];
    const chain = Array.from({ length: 60 }, (_, i) => level(i, i < 59 ? on(i + 1) : [sugar]));
    const done = await send(other, { recipes: chain }).expect(200);
    expect(done.body.recipes).toHaveLength(60);
    const closing = await send(other, { recipes: [level(59, on(0))] }).expect(400);
    expect(closing.body.issues[0].pointer).toBe('/recipes/0/version/lines/1/component');
    for (const i of [0, 30, 59]) expect(closing.body.issues[0].message).toContain(`Level ${i} →`);
  });
});

describe('schema.org recipes', () => {
  const put = (body: object, query: string) =>
    test
      .as(ADMIN)
      .post(`/v1/recipes/import/schema-org?${query}`)
      .set('content-type', 'application/ld+json')
      .send(JSON.stringify(body));

  it('are given out as JSON-LD with amounts, steps and times', async () => {
    const [crumble] = (await recipesAt(test)).filter((r) => r.name === 'Oat crumble');
    const version = await test
      .as(LEAD)
      .get(`/v1/recipes/${crumble?.id}/version?on=2026-03-10`)
      .expect(200);
    const given = await test
      .as(chefOf())
      .get(`/v1/recipe-versions/${version.body.id}/schema-org`)
      .buffer(true)
      .parse((response, done) => {
        let text = '';
        response.on('data', (chunk: Buffer) => (text += chunk.toString('utf8')));
        response.on('end', () => done(null, JSON.parse(text)));
      })
      .expect(200);
    expect(given.headers['content-type']).toContain('application/ld+json');
    expect(given.body).toEqual({
      '@context': 'https://schema.org',
      '@type': 'Recipe',
      identifier: version.body.id,
      name: 'Oat crumble',
      version: 1,
      datePublished: '2026-01-01',
      recipeYield: '560 g',
      recipeIngredient: [
        '300 g Plain flour',
        '200 g Butter',
        '250 ml Rolled oats',
        '1½ tsp Caster sugar',
      ],
      recipeInstructions: [
        { '@type': 'HowToStep', position: 1, text: 'Rub butter into flour.' },
        { '@type': 'HowToStep', position: 2, text: 'Bake.' },
      ],
      prepTime: 'PT20M',
      totalTime: 'PT45M',
    });
  });

  it('are read as drafts: texts by the grammar of amounts, items by name', async () => {
    // The properties and their shapes are those of schema.org/Recipe (from memory).
    const source = {
      '@context': 'https://schema.org',
      '@graph': [
        { '@type': 'WebPage', name: 'About' },
        {
          '@type': ['Recipe'],
          name: 'Shortbread',
          recipeYield: ['24', '1.2 kg'],
          recipeIngredient: ['600 g plain flour', '400 g butter, cold', '1½ tsp Caster sugar'],
          recipeInstructions: [
            { '@type': 'HowToStep', text: 'Rub in.' },
            { '@type': 'HowToSection', itemListElement: [{ text: 'Roll.' }, { text: 'Bake.' }] },
          ],
          prepTime: 'PT30M',
          totalTime: 'PT1H10M',
        },
      ],
    };
    const query = 'station=oven&shelfLifeMin=4320';
    const dry = await put(source, `${query}&dryRun=true`).expect(200);
    expect(dry.body).toMatchObject({
      problems: [],
      recipes: [{ name: 'Shortbread', isNew: true }],
    });
    const done = await put(source, query).expect(200);
    const read = await test.as(LEAD).get(`/v1/recipe-versions/${done.body.recipes[0].versionId}`);
    expect(read.body).toMatchObject({
      status: 'draft',
      recipe: { kind: 'component', baseUnit: 'each', station: 'oven' },
      output: { quantity: 24 },
      lines: [
        { itemName: 'Plain flour', quantity: 600 },
        { itemName: 'Butter', quantity: 400, note: 'cold' },
        { itemName: 'Caster sugar', quantity: 6 },
      ],
      steps: [
        { text: 'Rub in.', workingMin: 30, waitingMin: 0 },
        { text: 'Roll.', workingMin: 0, waitingMin: 0 },
        { text: 'Bake.', workingMin: 0, waitingMin: 40 },
      ],
    });
  });

  it('are refused with pointers into the document, and nothing is kept', async () => {
    const before = await recipesAt(test);
    const source = {
      '@type': 'Recipe',
      name: 'Broken',
      recipeYield: 'plenty',
      recipeIngredient: ['600 g plain flour', 'a little butter', '3 g Moon dust', '100 ml Butter'],
      prepTime: 'half an hour',
    };
    const query = 'station=oven&shelfLifeMin=60';
    const dry = await put(source, `${query}&dryRun=true`).expect(200);
    expect(dry.body.problems.map((p: { pointer: string }) => p.pointer)).toEqual([
      '/recipeYield',
      '/recipeIngredient/1',
      '/recipeIngredient/2',
      '/prepTime',
    ]);
    expect((await put(source, query).expect(400)).body.issues).toHaveLength(4);
    const noDensity = await put(
      { ...source, recipeYield: '1 kg', prepTime: 'PT5M', recipeIngredient: ['100 ml Butter'] },
      query,
    ).expect(400);
    expect(noDensity.body.issues[0].pointer).toBe('/recipeIngredient/0');
    await put({ '@type': 'WebPage', name: 'x', recipeIngredient: ['1 g Butter'] }, query).expect(
      400,
    );
    await put(source, 'station=oven').expect(400);
    expect(await recipesAt(test)).toEqual(before);
  });
});
