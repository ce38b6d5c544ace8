import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { chefOf, LEAD, startTestApp, type TestApp } from '../../helpers/test-app.ts';

let test: TestApp;
beforeAll(async () => {
  test = await startTestApp();
});
afterAll(() => test.close());

const send = (csv: string, query = '') =>
  test.as(LEAD).post(`/v1/ingredients/import${query}`).set('content-type', 'text/csv').send(csv);
const all = async () =>
  (await test.as(LEAD).get('/v1/ingredients?limit=200').expect(200)).body.items as {
    name: string;
    rev: number;
  }[];
const named = async (name: string) => (await all()).find((item) => item.name === name);

describe('an import of ingredients', () => {
  it('adds what is new and changes what is known, in the columns of the file only', async () => {
    const csv = [
      'name,base_unit,density_g_per_ml,density_source,measures,contains,may_contain,fat_g,nutrition_source',
      'Whole milk,ml,"1,03",weighed,cup=245,milk,none,3.5,label',
      '"Almonds, ground",g,,,,nuts:almond,gluten:wheat milk,,',
      'Loose mint,g,,,"bunch=25; leaf=0.4",none,,,',
      'Mystery powder,g,,,,,,,',
    ].join('\r\n');
    const dry = await send(csv, '?dryRun=true').expect(200);
    expect(dry.body).toEqual({
      dryRun: true,
      sheet: null,
      sheets: [],
      rows: 4,
      added: 4,
      replaced: 0,
      unchanged: 0,
      problems: [],
    });
    expect(await all()).toEqual([]);
    const done = await send(csv).expect(200);
    expect(done.body).toMatchObject({ dryRun: false, added: 4 });
    expect(await named('Whole milk')).toMatchObject({
      baseUnit: 'ml',
      density: { gPerMl: 1.03, source: 'weighed' },
      measures: [{ name: 'cup', massG: 245 }],
      allergens: { contains: ['milk'], mayContain: [] },
      nutrition: { source: 'label', fatG: 3.5, sugarsG: null },
    });
    expect(await named('Almonds, ground')).toMatchObject({
      allergens: { contains: ['nuts:almond'], mayContain: ['gluten:wheat', 'milk'] },
    });
    expect(await named('Loose mint')).toMatchObject({
      allergens: { contains: [], mayContain: [] },
      measures: [{ name: 'bunch' }, { name: 'leaf' }],
    });
    expect(await named('Mystery powder')).toMatchObject({ allergens: null });

    const again = await send(csv).expect(200);
    expect(again.body).toMatchObject({ added: 0, replaced: 0, unchanged: 4 });
    await test
      .as(LEAD)
      .post('/v1/ingredients')
      .send({
        name: 'Sourced sugar',
        baseUnit: 'g',
        measures: [{ name: 'cup', massG: 200, source: 'weighed' }],
      })
      .expect(201);
    const given = await test.as(chefOf()).get('/v1/ingredients/export').expect(200);
    expect(given.headers['content-type']).toContain('text/csv');
    const back = await send(given.text).expect(200);
    expect(back.body).toMatchObject({ rows: 5, added: 0, replaced: 0, unchanged: 5 });
    const update = await send('name,base_unit,shelf_life_days\nwhole milk,ml,7\n').expect(200);
    expect(update.body).toMatchObject({ added: 0, replaced: 1 });
    expect(await named('Whole milk')).toMatchObject({
      shelfLifeDays: 7,
      density: { gPerMl: 1.03 },
      allergens: { contains: ['milk'] },
      rev: 2,
    });
  });

  it('lands as a whole or not at all, and says what is wrong with every bad row by row and column', async () => {
    const before = await all();
    const csv = [
      'name,base_unit,trim_yield,density_g_per_ml,contains,season_months',
      'Good apple,g,0.9,,,9 10',
      'Bad unit,oz,,,,',
      'Bad yield,g,1.4,,,',
      'Bad density,g,,-2,,',
      'Heavy,g,,99,,',
      'Bad code,g,,,walnuts,',
      'Bad months,g,,,,13',
      'Thousand,g,,"1,500",,',
      'Good apple,g,,,,',
      'Short row,g',
      ',g,,,,',
    ].join('\n');
    const expected = [
      [3, 'base_unit'],
      [4, 'trim_yield'],
      [5, 'density_g_per_ml'],
      [6, 'density_g_per_ml'],
      [7, 'contains'],
      [8, 'season_months'],
      [9, 'density_g_per_ml'],
      [10, 'name'],
      [11, null],
      [12, 'name'],
    ];
    const dry = await send(csv, '?dryRun=true').expect(200);
    expect(
      dry.body.problems.map((p: { row: number; column: string }) => [p.row, p.column]),
    ).toEqual(expected);
    expect(dry.body).toMatchObject({ added: 1, rows: 10 });
    const refused = await send(csv).expect(400);
    expect(refused.body.issues.map((issue: { pointer: string }) => issue.pointer)).toEqual(
      expected.map(([row, column]) =>
        column === null ? `/rows/${row}` : `/rows/${row}/${column}`,
      ),
    );
    expect(await all()).toEqual(before);
  });

  it('is refused as a whole when the file is malformed', async () => {
    const before = await all();
    for (const [csv, message] of [
      ['name,base_unit\n"Open quote,g\n', 'Not readable'],
      ['name\nMilk\n', 'base_unit'],
      ['name;base_unit\nMilk;g\n', 'semicolons'],
      ['name,base_unit,colour\nMilk,g,white\n', 'colour'],
      ['name,base_unit\n', 'no rows'],
    ] as const) {
      const refused = await send(csv).expect(400);
      expect(refused.body.issues[0].message).toContain(message);
    }
    await test
      .as(LEAD)
      .post('/v1/ingredients/import')
      .set('content-type', 'text/csv')
      .serialize((body) => body as string)
      .send(Buffer.from([0x6e, 0xff, 0xfe]) as unknown as string)
      .expect(400);
    await test
      .as(chefOf())
      .post('/v1/ingredients/import')
      .set('content-type', 'text/csv')
      .send('name,base_unit\nMine,g\n')
      .expect(403);
    expect(await all()).toEqual(before);
  });

  it('takes in what an ingredient is made of, keeps it through export, and points at a bad part', async () => {
    const header = 'name,base_unit,mix_water,mix_sugar_kinds,mix_milk_solids,ph,in_mix,mix_source';
    const csv = `${header}\nLemon cordial,g,0.4,sucrose=0.5; dextrose=0.1,,2.6,dissolves,weighed\n`;
    await send(csv).expect(200);
    expect(await named('Lemon cordial')).toMatchObject({
      composition: {
        waterFraction: 0.4,
        fatFraction: null,
        milkSolidsFraction: 0,
        sugars: { sucrose: 0.5, dextrose: 0.1 },
        ph: 2.6,
        inMix: 'dissolves',
        source: 'weighed',
      },
    });
    const given = await test.as(LEAD).get('/v1/ingredients/export').expect(200);
    expect((await send(given.text).expect(200)).body).toMatchObject({ added: 0, replaced: 0 });
    for (const [cells, column] of [
      ['0.7,,0.4,,,', 'mix_water'],
      ['x,,,,,', 'mix_water'],
      [',honey=0.5,,,,', 'mix_sugar_kinds'],
      [',sucrose 0.5,,,,', 'mix_sugar_kinds'],
      [',,,,melts,', 'in_mix'],
    ]) {
      const bad = await send(`${header}\nLemon cordial,g,${cells}\n`).expect(400);
      expect(bad.body.issues.map((one: { pointer: string }) => one.pointer)).toEqual([
        `/rows/2/${column}`,
      ]);
    }
    const other = await send('name,base_unit,note\nLemon cordial,g,sharp\n').expect(200);
    expect(other.body).toMatchObject({ replaced: 1 });
    expect((await named('Lemon cordial')) as object).toMatchObject({ composition: { ph: 2.6 } });
  });
});
