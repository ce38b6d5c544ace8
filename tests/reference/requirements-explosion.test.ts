import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { explode } from '../../api/core/explosion/index.ts';
import type { Item, RecipeDef } from '../../api/core/recipe-graph/index.ts';
import { buildRecipeGraph } from '../../api/core/recipe-graph/index.ts';
import { unwrap } from '../../api/core/shared/result.ts';
import { syntheticGraphs } from '../fixtures/recipes/synthetic-graph.ts';

/*
 * Source of the formula: A. Vazsonyi, "The Use of Mathematics in Production and Inventory Control",
 * Management Science 1(1), 1954, 70–85: total requirements x = (I − A)⁻¹ d, where a[child][parent]
 * is what one unit of the parent takes of the child. The solve below is a plain Gaussian elimination
 * that knows nothing of levels or graphs.
 */
function solve(matrix: readonly (readonly number[])[], right: readonly number[]): number[] {
  const n = right.length;
  const rows = matrix.map((row, i) => [...row, right[i] ?? 0]);
  const at = (r: number, c: number): number => rows[r]?.[c] ?? NaN;
  for (let column = 0; column < n; column += 1) {
    let pivot = column;
    for (let r = column + 1; r < n; r += 1) {
      if (Math.abs(at(r, column)) > Math.abs(at(pivot, column))) pivot = r;
    }
    [rows[column], rows[pivot]] = [rows[pivot] ?? [], rows[column] ?? []];
    for (let r = 0; r < n; r += 1) {
      if (r === column) continue;
      const factor = at(r, column) / at(column, column);
      rows[r] = (rows[r] ?? []).map((value, c) => value - factor * at(column, c));
    }
  }
  return rows.map((_, i) => at(i, n) / at(i, i));
}

function requirements(
  items: readonly Item[],
  recipes: readonly RecipeDef[],
  demand: readonly number[],
): number[] {
  const position = new Map(items.map((item, i) => [item.id, i]));
  const identityLessA = items.map((_, r) => items.map((__, c): number => (r === c ? 1 : 0)));
  for (const recipe of recipes) {
    const parent = position.get(recipe.itemId) ?? -1;
    const output = recipe.outputs[0]?.quantity ?? NaN;
    for (const line of recipe.lines) {
      const row = identityLessA[position.get(line.itemId) ?? -1] ?? [];
      row[parent] = (row[parent] ?? NaN) - line.quantity / (line.yieldFraction * output);
    }
  }
  return solve(identityLessA, demand);
}

/* A worked requirements table: own invented inputs; figures worked out with numpy's matrix inverse. */
const TABLE: Readonly<Record<string, Readonly<Record<string, number>>>> = {
  croissant: { laminated: 0.08 },
  almondCroissant: { croissant: 1, almondCream: 0.05 },
  laminated: { detrempe: 0.75, butter: 0.25 },
  detrempe: { flour: 0.6, milk: 0.3, butter: 0.1 },
  almondCream: { almond: 0.4, butter: 0.4, flour: 0.2 },
};
const NAMES = [...Object.keys(TABLE), 'flour', 'butter', 'milk', 'almond'];
const WORKED_ITEMS: readonly Item[] = NAMES.map((name) => ({
  id: name,
  name,
  kind: name in TABLE ? 'component' : 'ingredient',
  baseUnit: 'g',
}));
const WORKED_RECIPES: readonly RecipeDef[] = Object.entries(TABLE).map(([itemId, uses]) => ({
  itemId,
  versionId: itemId,
  outputs: [{ itemId, quantity: 1, main: true }],
  lines: Object.entries(uses).map(([child, quantity]) => ({
    id: child,
    itemId: child,
    quantity,
    yieldFraction: 1,
  })),
}));

describe('requirements of 200 croissants and 50 almond croissants', () => {
  const graph = unwrap(buildRecipeGraph(WORKED_ITEMS, WORKED_RECIPES));
  const EXPECTED = {
    croissant: 250,
    almondCroissant: 50,
    laminated: 20,
    detrempe: 15,
    almondCream: 2.5,
    flour: 9.5,
    butter: 7.5,
    milk: 4.5,
    almond: 1,
  };

  it('agree with the table and with the matrix solve', () => {
    const need = unwrap(
      explode(graph, [
        { itemId: 'croissant', quantity: 200 },
        { itemId: 'almondCroissant', quantity: 50 },
      ]),
    );
    for (const [name, quantity] of Object.entries(EXPECTED)) {
      expect(need.get(name)).toBeCloseTo(quantity, 9);
    }
    const solved = requirements(WORKED_ITEMS, WORKED_RECIPES, [200, 50, 0, 0, 0, 0, 0, 0, 0]);
    for (const [i, name] of NAMES.entries())
      expect(need.get(name)).toBeCloseTo(solved[i] ?? NaN, 9);
  });

  it('are worked in the order of the low-level codes of the table', () => {
    expect(Object.fromEntries(graph.lowLevelCodes)).toEqual({
      almondCroissant: 0,
      croissant: 1,
      almondCream: 1,
      laminated: 2,
      almond: 2,
      detrempe: 3,
      flour: 4,
      butter: 4,
      milk: 4,
    });
  });
});

describe('the requirements formula (property)', () => {
  it('x = (I − A)⁻¹ d holds for any acyclic set of recipes', () => {
    fc.assert(
      fc.property(
        syntheticGraphs(14),
        fc.array(fc.double({ min: 0, max: 500, noNaN: true }), { minLength: 14, maxLength: 14 }),
        ({ items, recipes }, quantities) => {
          const demand = items.map((_, i) => quantities[i] ?? 0);
          const graph = unwrap(buildRecipeGraph(items, recipes));
          const need = unwrap(
            explode(
              graph,
              items.map((item, i) => ({ itemId: item.id, quantity: demand[i] ?? 0 })),
            ),
          );
          const solved = requirements(items, recipes, demand);
          for (const [i, item] of items.entries()) {
            const expected = solved[i] ?? NaN;
            expect(Math.abs((need.get(item.id) ?? 0) - expected)).toBeLessThanOrEqual(
              1e-8 * Math.max(1, expected),
            );
          }
        },
      ),
    );
  });
});
