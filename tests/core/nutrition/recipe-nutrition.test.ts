import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { NutrientData } from '../../../api/core/nutrition/index.ts';
import {
  energyOf,
  nutrientsPer100g,
  nutritionOf,
  nutritionTable,
  NUTRITION_NOTICE,
} from '../../../api/core/nutrition/index.ts';
import type { Item, RecipeDef } from '../../../api/core/recipe-graph/index.ts';
import { buildRecipeGraph } from '../../../api/core/recipe-graph/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';
import { syntheticGraphs } from '../../fixtures/recipes/synthetic-graph.ts';

const PLAIN: NutrientData = {
  fatG: 10,
  saturatesG: 5,
  carbohydrateG: 20,
  sugarsG: 15,
  fibreG: 2,
  proteinG: 4,
  saltG: 0.5,
};
const item = (id: string, kind: Item['kind'], baseUnit: Item['baseUnit'] = 'g'): Item => ({
  id,
  kind,
  name: id,
  baseUnit,
});
const recipe = (
  itemId: string,
  quantity: number,
  lines: Readonly<Record<string, number>>,
  byProducts: Readonly<Record<string, number>> = {},
): RecipeDef => ({
  itemId,
  versionId: `${itemId}@1`,
  outputs: [
    { itemId, quantity, main: true },
    ...Object.entries(byProducts).map(([id, q]) => ({ itemId: id, quantity: q, main: false })),
  ],
  lines: Object.entries(lines).map(([id, q]) => ({
    id,
    itemId: id,
    quantity: q,
    yieldFraction: 0.5,
  })),
});

describe('nutrition through recipes', () => {
  const graph = unwrap(
    buildRecipeGraph(
      [
        item('plate', 'dish', 'each'),
        item('cream', 'component'),
        item('milk', 'ingredient', 'ml'),
        item('egg', 'ingredient', 'each'),
      ],
      [recipe('plate', 1, { cream: 80, egg: 0.5 }), recipe('cream', 500, { milk: 1000 })],
    ),
  );
  const masses = new Map([
    ['milk', 1.03],
    ['egg', 50],
  ]);
  const massPerBaseUnit = (id: string) => masses.get(id);
  const nutrients = new Map([
    ['milk', PLAIN],
    ['egg', PLAIN],
  ]);

  it('counts what is weighed in, by mass, and leaves it in when water cooks away', () => {
    const figures = unwrap(nutritionOf(graph, { nutrients, massPerBaseUnit }, 'plate'));
    // 80 g of cream hold 160 ml = 164.8 g milk; half an egg 25 g. A plate weighs 80 + 25 g.
    expect(figures.unitMassG).toBe(105);
    expect(figures.perUnit.fat).toBeCloseTo(18.98, 9);
    expect(figures.per100g?.fat).toBeCloseTo((18.98 / 105) * 100, 9);
    expect(figures.missing).toContainEqual({ nutrient: 'starch', itemIds: ['egg', 'milk'] });
  });

  it('keeps a figure missing, and names the ingredient, instead of taking it for zero', () => {
    const noSugars: NutrientData = Object.fromEntries(
      Object.entries(PLAIN).filter(([name]) => name !== 'sugarsG'),
    );
    const partly = new Map([...nutrients, ['egg', noSugars]]);
    const figures = unwrap(nutritionOf(graph, { nutrients: partly, massPerBaseUnit }, 'plate'));
    expect(figures.per100g).toMatchObject({ sugars: null });
    expect(figures.per100g?.fat).toBeGreaterThan(0);
    const table = nutritionTable(figures);
    expect(table).toMatchObject({ status: 'incomplete', notice: NUTRITION_NOTICE });
    const sugars = table.rows.find((row) => row.id === 'sugars');
    expect(sugars).toMatchObject({ per100g: null, perPortion: null, missingItemIds: ['egg'] });
    expect(table.rows.find((row) => row.id === 'energy')?.per100g).not.toBeNull();
  });

  it('has no energy without fibre, since carbohydrate and energy both need it', () => {
    const raw = { fatG: 1, proteinG: 1, carbohydrateByDifferenceG: 50, sodiumMg: 400 };
    const amounts = unwrap(nutrientsPer100g(raw));
    expect(amounts).toMatchObject({ carbohydrate: null, fibre: null, salt: 1 });
    expect(energyOf(amounts)).toBeNull();
  });

  it('says nothing of an ingredient without data, or whose mass is not known', () => {
    const noData = new Map([['milk', PLAIN]]);
    const figures = unwrap(nutritionOf(graph, { nutrients: noData, massPerBaseUnit }, 'plate'));
    expect(Object.values(figures.perUnit).every((value) => value === null)).toBe(true);
    const noMass = unwrap(nutritionOf(graph, { nutrients }, 'plate'));
    expect(noMass).toMatchObject({ unitMassG: null, per100g: null });
    expect([...noMass.noMassItemIds].sort()).toEqual(['egg', 'milk', 'plate']);
    expect(nutritionTable(noMass).rows.every((row) => row.per100g === null)).toBe(true);
  });

  it('shares a batch with a by-product by mass, and says that it is an estimate', () => {
    const g = unwrap(
      buildRecipeGraph(
        [
          item('glaze', 'component'),
          item('liquor', 'component'),
          item('quince', 'component'),
          item('sugar', 'ingredient'),
        ],
        [
          recipe('quince', 600, { sugar: 300 }, { liquor: 400 }),
          recipe('glaze', 100, { liquor: 100 }),
        ],
      ),
    );
    const book = { nutrients: new Map([['sugar', { ...PLAIN, sugarsG: 100 }]]) };
    const glaze = unwrap(nutritionOf(g, book, 'glaze'));
    expect(glaze.per100g?.sugars).toBeCloseTo(30, 9);
    expect(glaze.sharedByMassItemIds).toEqual(['liquor']);
    const quince = unwrap(nutritionOf(g, book, 'quince'));
    expect(quince.per100g?.sugars).toBeCloseTo(30, 9);
  });

  it('does not guess what a liquor holds that goes back into its own batch', () => {
    const g = unwrap(
      buildRecipeGraph(
        [item('liquor', 'component'), item('quince', 'component'), item('sugar', 'ingredient')],
        [recipe('quince', 600, { sugar: 300, liquor: 200 }, { liquor: 400 })],
      ),
    );
    const made = unwrap(nutritionOf(g, { nutrients: new Map([['sugar', PLAIN]]) }, 'quince'));
    expect(made.perUnit.sugars).toBeNull();
    expect(made.missing[0]?.itemIds).toContain('liquor');
  });

  it.each([
    ['more than there is', { fatG: 101 }],
    ['less than nothing', { proteinG: -1 }],
    ['a figure that is none', { sodiumMg: NaN }],
  ])('is refused for data of %s', (_what, data) => {
    expect(nutrientsPer100g(data)).toMatchObject({ ok: false, error: { kind: 'out-of-range' } });
    const book = { nutrients: new Map([['milk', data]]), massPerBaseUnit };
    expect(nutritionOf(graph, book, 'plate')).toMatchObject({
      ok: false,
      error: { kind: 'out-of-range', path: ['milk', Object.keys(data)[0]] },
    });
  });

  it('is refused for a stranger', () => {
    expect(nutritionOf(graph, { nutrients }, 'soup')).toMatchObject({
      error: { kind: 'missing-component' },
    });
  });
});

describe('energy', () => {
  it('counts polyols, erythritol, salatrims, alcohol and acids once, by their own factors', () => {
    const amounts = unwrap(
      nutrientsPer100g({
        fatG: 10,
        salatrimsG: 4,
        carbohydrateG: 50,
        polyolsG: 20,
        erythritolG: 5,
        fibreG: 3,
        proteinG: 2,
        alcoholG: 1,
        organicAcidsG: 1,
      }),
    );
    // 6 fat, 4 salatrims, 30 carbohydrate, 15 polyols, 5 erythritol, 3 fibre, 2 protein, 1 alcohol, 1 acid.
    expect(energyOf(amounts)?.kJ).toBeCloseTo(222 + 100 + 510 + 150 + 24 + 34 + 29 + 13, 9);
    expect(energyOf(amounts)?.kcal).toBeCloseTo(54 + 24 + 120 + 36 + 6 + 8 + 7 + 3, 9);
  });

  it('takes organic acids out of a carbohydrate got by difference', () => {
    const lemon = { carbohydrateByDifferenceG: 6.9, fibreG: 0.3, organicAcidsG: 5 };
    expect(unwrap(nutrientsPer100g(lemon)).carbohydrate).toBeCloseTo(1.6, 12);
  });
});

describe('any nutrition (property)', () => {
  it('keeps nutrients: per portion equals the sum over what is weighed in', () => {
    fc.assert(
      fc.property(
        syntheticGraphs(),
        fc.array(fc.double({ min: 0, max: 100, noNaN: true }), { minLength: 12, maxLength: 12 }),
        ({ items, recipes }, fat) => {
          const g = unwrap(buildRecipeGraph(items, recipes));
          const fatOf = new Map(items.map((i, n) => [i.id, fat[n] ?? 0]));
          const nutrients = new Map(
            items.map((i) => [i.id, { ...PLAIN, fatG: fatOf.get(i.id) ?? 0 }]),
          );
          // By recursion from the leaves: grams of fat in a gram of each item.
          const perGram = new Map<string, number>();
          for (const id of [...g.order].reverse()) {
            const own = g.recipes.get(id);
            const output = own?.outputs[0]?.quantity ?? NaN;
            perGram.set(
              id,
              own === undefined
                ? (fatOf.get(id) ?? NaN) / 100
                : own.lines.reduce((s, l) => s + l.quantity * (perGram.get(l.itemId) ?? NaN), 0) /
                    output,
            );
          }
          for (const { id } of items) {
            const expected = (perGram.get(id) ?? NaN) * 100;
            const found = unwrap(nutritionOf(g, { nutrients }, id)).per100g?.fat ?? NaN;
            expect(Math.abs(found - expected)).toBeLessThanOrEqual(1e-9 * Math.max(1, expected));
          }
        },
      ),
      { numRuns: 60 },
    );
  });
});
