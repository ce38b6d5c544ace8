import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  ADMIN,
  chefOf,
  LEAD,
  PURCHASING,
  startTestApp,
  type TestApp,
} from '../../helpers/test-app.ts';

// Synthetic ingredients; no figure here is meant as a published one.
const flour = { name: 'Plain flour', baseUnit: 'g', shelfLifeDays: 240 };

let test: TestApp;
beforeAll(async () => {
  test = await startTestApp();
});
afterAll(() => test.close());

const create = (body: object) => test.as(LEAD).post('/v1/ingredients').send(body);
const count = async () =>
  (await test.as(LEAD).get('/v1/ingredients?limit=200&archived=true')).body.items.length as number;

describe('ingredients', () => {
  it('keep measures, yields, allergens and nutrition with their sources; what is not given stays unknown', async () => {
    const made = await create({
      ...flour,
      density: { gPerMl: 0.53, source: 'weighed' },
      measures: [{ name: 'cup', massG: 125, source: 'weighed' }],
      allergens: { contains: ['gluten:wheat'], mayContain: [] },
      nutrition: { source: 'label', energyKcal: 341, fatG: 1.2 },
    }).expect(201);
    expect(made.headers.location).toBe(`/v1/ingredients/${made.body.id}`);
    const read = await test.as(chefOf()).get(`/v1/ingredients/${made.body.id}`).expect(200);
    expect(read.headers.etag).toBe('"1"');
    expect(read.body).toEqual(made.body);
    expect(read.body).toMatchObject({
      density: { gPerMl: 0.53, source: 'weighed' },
      measures: [{ name: 'cup', massG: 125, source: 'weighed' }],
      trimYield: { fraction: 1, source: null },
      allergens: { contains: ['gluten:wheat'], mayContain: [], sulphitesMgPerKg: null },
      nutrition: { energyKcal: 341, fatG: 1.2, sugarsG: null },
    });
    const undeclared = await create({ name: 'Unlabelled nuts', baseUnit: 'g' }).expect(201);
    expect(undeclared.body).toMatchObject({ allergens: null, nutrition: null, density: null });
  });

  it('change only against the version last read, measures and all', async () => {
    const made = await create({
      name: 'Caster sugar',
      baseUnit: 'g',
      measures: [{ name: 'cup', massG: 200 }],
    }).expect(201);
    const path = `/v1/ingredients/${made.body.id}`;
    const body = { name: 'Caster sugar', baseUnit: 'g', measures: [{ name: 'spoon', massG: 12 }] };
    await test.as(LEAD).put(path).send(body).expect(428);
    const saved = await test.as(LEAD).put(path).set('if-match', '"1"').send(body).expect(200);
    expect(saved.body).toMatchObject({ rev: 2, measures: [{ name: 'spoon', massG: 12 }] });
    const lost = await test.as(ADMIN).put(path).set('if-match', '"1"').send(body).expect(412);
    expect(lost.body.context.current.rev).toBe(2);
  });

  it('are refused with a pointer when a figure is absurd, and nothing is kept', async () => {
    const before = await count();
    const cases: [object, number, string][] = [
      [{ density: { gPerMl: -1 } }, 422, '/density/gPerMl'],
      [{ density: { gPerMl: 100 } }, 422, '/density/gPerMl'],
      [{ trimYield: { fraction: 0 } }, 400, '/trimYield/fraction'],
      [{ trimYield: { fraction: 1.2 } }, 400, '/trimYield/fraction'],
      [{ measures: [{ name: 'sheet', massG: 0 }] }, 400, '/measures/0/massG'],
      [{ measures: [{ name: 'kilo', massG: 900 }] }, 400, '/measures/0/name'],
      [
        {
          measures: [
            { name: 'sheet', massG: 2 },
            { name: 'sheets', massG: 3 },
          ],
        },
        400,
        '/measures/1/name',
      ],
      [{ gelatine: { bloom: -200 } }, 400, '/gelatine/bloom'],
      [{ gelatine: { bloom: 200, sheetMassG: 0 } }, 400, '/gelatine/sheetMassG'],
      [{ seasonMonths: [13] }, 400, '/seasonMonths/0'],
      [{ seasonMonths: [5, 5] }, 400, '/seasonMonths'],
      [{ nutrition: { source: 'x', fatG: 120 } }, 400, '/nutrition/fatG'],
      [{ nutrition: { source: 'x', fatG: 3, saturatesG: 9 } }, 400, '/nutrition/saturatesG'],
      [{ nutrition: { source: 'x', fatG: 80, proteinG: 60 } }, 400, '/nutrition'],
      [{ allergens: { contains: ['milk'], mayContain: ['milk'] } }, 400, '/allergens/mayContain/0'],
      [{ allergens: { contains: ['milk', 'walnuts'] } }, 422, '/allergens/contains/1'],
      [{ allergens: { contains: [], mayContain: ['nuts:acorn'] } }, 422, '/allergens/mayContain/0'],
      [
        { allergens: { contains: ['sulphites'], sulphitesMgPerKg: 0 } },
        422,
        '/allergens/sulphitesMgPerKg',
      ],
      [{ baseUnit: 'oz' }, 400, '/baseUnit'],
      [{ colour: 'white' }, 400, ''],
    ];
    for (const [part, status, pointer] of cases) {
      const refused = await create({ name: 'Absurd', baseUnit: 'g', ...part });
      expect([refused.status, refused.body.issues[0].pointer], JSON.stringify(part)).toEqual([
        status,
        pointer,
      ]);
    }
    expect(await count()).toBe(before);
  });

  it('of one name stand once', async () => {
    await create({ name: 'Twice told', baseUnit: 'g' }).expect(201);
    const again = await create({ name: 'Twice told', baseUnit: 'g' }).expect(409);
    expect(again.body.issues[0].pointer).toBe('/name');
  });

  it('are changed by the lead, not by chefs or purchasing', async () => {
    await test.as(chefOf()).post('/v1/ingredients').send(flour).expect(403);
    await test.as(PURCHASING).post('/v1/ingredients').send(flour).expect(403);
    await test.anonymous.get('/v1/ingredients').expect(401);
  });

  it('are found by part of the name, page by page', async () => {
    for (const name of ['Quince one', 'Quince two', 'Quince three']) {
      await create({ name, baseUnit: 'g' }).expect(201);
    }
    const first = await test.as(LEAD).get('/v1/ingredients?search=quince&limit=2').expect(200);
    expect(first.body.items).toHaveLength(2);
    const second = await test
      .as(LEAD)
      .get(`/v1/ingredients?search=quince&limit=2&cursor=${first.body.nextCursor}`)
      .expect(200);
    expect(second.body.items.map((i: { name: string }) => i.name)).toEqual(['Quince three']);
  });

  it('leave the list when archived and come back when restored', async () => {
    const made = await create({ name: 'Old stock', baseUnit: 'g' }).expect(201);
    const path = `/v1/ingredients/${made.body.id}`;
    await test.as(LEAD).post(`${path}/archive`).set('if-match', '"1"').expect(200);
    const gone = await test.as(LEAD).get('/v1/ingredients?search=old%20stock').expect(200);
    expect(gone.body.items).toEqual([]);
    const kept = await test
      .as(LEAD)
      .get('/v1/ingredients?search=old%20stock&archived=true')
      .expect(200);
    expect(kept.body.items).toHaveLength(1);
    await test.as(LEAD).post(`${path}/restore`).set('if-match', '"2"').expect(200);
  });
});

describe('parts of a piece', () => {
  it('name their piece, in the order they are taken', async () => {
    const piece = await create({
      name: 'Orange',
      baseUnit: 'each',
      pieceMass: { massG: 200 },
    }).expect(201);
    const part = (name: string, group: string, order: number, yieldPerPiece: number) => ({
      name,
      baseUnit: 'g',
      partOf: { pieceId: piece.body.id, group, order, yieldPerPiece },
    });
    await create(part('Orange juice, fresh', 'flesh', 2, 80)).expect(201);
    await create(part('Orange zest', 'skin', 1, 8)).expect(201);
    const parts = await test.as(LEAD).get(`/v1/ingredients/${piece.body.id}/parts`).expect(200);
    expect(parts.body.items.map((i: { name: string }) => i.name)).toEqual([
      'Orange zest',
      'Orange juice, fresh',
    ]);

    const before = await count();
    const heavy = await create(part('Orange segments', 'flesh', 2, 500)).expect(400);
    expect(heavy.body.issues[0].pointer).toBe('/partOf/yieldPerPiece');
    const nowhere = await create({
      ...part('Peel', 'skin', 1, 5),
      partOf: { pieceId: 'ing_none', group: 'skin', yieldPerPiece: 5 },
    }).expect(422);
    expect(nowhere.body.issues[0].pointer).toBe('/partOf/pieceId');
    expect(await count()).toBe(before);

    const lighter = await test
      .as(LEAD)
      .put(`/v1/ingredients/${piece.body.id}`)
      .set('if-match', '"1"')
      .send({ name: 'Orange', baseUnit: 'each', pieceMass: { massG: 60 } })
      .expect(400);
    expect(lighter.body.issues[0].pointer).toBe('/pieceMass/massG');
    const archived = await test
      .as(LEAD)
      .post(`/v1/ingredients/${piece.body.id}/archive`)
      .set('if-match', '"1"')
      .expect(409);
    expect(archived.body.context.usedBy).toContain('Orange zest');
  });

  it('are not taken from what has no weight for a piece', async () => {
    const piece = await create({ name: 'Passion fruit', baseUnit: 'each' }).expect(201);
    const refused = await create({
      name: 'Passion fruit pulp',
      baseUnit: 'g',
      partOf: { pieceId: piece.body.id, group: 'flesh', yieldPerPiece: 18 },
    }).expect(422);
    expect(refused.body.issues[0].pointer).toBe('/partOf/pieceId');
  });
});
