import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Item, RecipeDef, RecipeLine } from '../../../api/core/recipe-graph/index.ts';
import { buildRecipeGraph, whereUsed } from '../../../api/core/recipe-graph/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';

const item = (id: string, kind: Item['kind'] = 'component'): Item => ({
  id,
  kind,
  name: id.replaceAll('-', ' '),
  baseUnit: 'g',
});

const line = (itemId: string, quantity = 100, extra: Partial<RecipeLine> = {}): RecipeLine => ({
  id: `to-${itemId}`,
  itemId,
  quantity,
  yieldFraction: 1,
  ...extra,
});

const recipe = (
  itemId: string,
  lines: readonly RecipeLine[],
  extra: Partial<RecipeDef> = {},
): RecipeDef => ({
  itemId,
  versionId: `${itemId}@1`,
  outputs: [{ itemId, quantity: 1000, main: true }],
  lines,
  ...extra,
});

describe('a recipe graph', () => {
  it('codes each item by the longest way down to it', () => {
    const graph = unwrap(
      buildRecipeGraph(
        [item('tart', 'dish'), item('curd'), item('shell'), item('butter', 'ingredient')],
        [
          recipe('tart', [line('curd'), line('shell'), line('butter')]),
          recipe('curd', [line('butter')]),
          recipe('shell', [line('curd')]),
        ],
      ),
    );
    expect(Object.fromEntries(graph.lowLevelCodes)).toEqual({
      tart: 0,
      shell: 1,
      curd: 2,
      butter: 3,
    });
    expect(graph.order).toEqual(['tart', 'shell', 'curd', 'butter']);
  });

  it('finds where an item ends up, directly and through others, and through by-products', () => {
    const graph = unwrap(
      buildRecipeGraph(
        [
          item('sundae', 'dish'),
          item('glaze'),
          item('quince'),
          item('quince-liquor'),
          item('sugar', 'ingredient'),
        ],
        [
          recipe('sundae', [line('glaze')]),
          recipe('glaze', [line('quince-liquor')]),
          recipe('quince', [line('sugar')], {
            outputs: [
              { itemId: 'quince', quantity: 800, main: true },
              { itemId: 'quince-liquor', quantity: 600, main: false },
            ],
          }),
        ],
      ),
    );
    const used = unwrap(whereUsed(graph, 'sugar'));
    expect(used.direct).toEqual([{ itemId: 'quince', lineId: 'to-sugar' }]);
    expect(used.all).toEqual(['quince', 'quince-liquor', 'glaze', 'sundae']);
    expect(used.dishes).toEqual(['sundae']);
    expect(whereUsed(graph, 'salt')).toMatchObject({
      ok: false,
      error: { kind: 'missing-component' },
    });
  });

  it('puts a by-product below the recipe that gives it', () => {
    const items = [item('liquor'), item('quince'), item('sugar', 'ingredient')];
    const poach = (mayStartBatch: boolean) =>
      recipe('quince', [line('sugar')], {
        outputs: [
          { itemId: 'quince', quantity: 800, main: true },
          { itemId: 'liquor', quantity: 600, main: false, mayStartBatch },
        ],
      });
    const codes = (mayStart: boolean) =>
      Object.fromEntries(unwrap(buildRecipeGraph(items, [poach(mayStart)])).lowLevelCodes);
    expect(codes(false)).toEqual({ quince: 0, liquor: 1, sugar: 1 });
    expect(codes(true)).toEqual({ quince: 0, liquor: 1, sugar: 2 });
  });
});

describe('a recipe graph refuses', () => {
  it('a cycle, naming the way round', () => {
    const result = buildRecipeGraph(
      [item('top', 'dish'), item('lemon-curd'), item('lemon-cream'), item('zest-paste')],
      [
        recipe('top', [line('lemon-curd')]),
        recipe('lemon-curd', [line('lemon-cream')]),
        recipe('lemon-cream', [line('zest-paste')]),
        recipe('zest-paste', [line('lemon-curd')]),
      ],
    );
    expect(result).toMatchObject({
      ok: false,
      error: {
        kind: 'recipe-cycle',
        detail: { names: ['lemon curd', 'lemon cream', 'zest paste', 'lemon curd'] },
      },
    });
  });

  it('a recipe that uses itself', () => {
    const result = buildRecipeGraph([item('levain')], [recipe('levain', [line('levain')])]);
    expect(result).toMatchObject({
      error: { kind: 'recipe-cycle', detail: { names: ['levain', 'levain'] } },
    });
  });

  it('a by-product that starts the batch that uses it', () => {
    const result = buildRecipeGraph(
      [item('quince'), item('liquor')],
      [
        recipe('quince', [line('liquor')], {
          outputs: [
            { itemId: 'quince', quantity: 800, main: true },
            { itemId: 'liquor', quantity: 600, main: false, mayStartBatch: true },
          ],
        }),
      ],
    );
    expect(result).toMatchObject({ ok: false, error: { kind: 'recipe-cycle' } });
  });

  it('a component that no recipe makes, pointing at the line', () => {
    const result = buildRecipeGraph(
      [item('tart', 'dish'), item('curd')],
      [recipe('tart', [line('curd')])],
    );
    expect(result).toMatchObject({
      error: {
        kind: 'missing-component',
        path: ['recipes', 0, 'lines', 0, 'itemId'],
        detail: { itemId: 'curd' },
      },
    });
    const unknown = buildRecipeGraph([item('tart', 'dish')], [recipe('tart', [line('curd')])]);
    expect(unknown).toMatchObject({ error: { kind: 'missing-component' } });
  });

  const butter = [item('curd'), item('butter', 'ingredient')];
  it.each([
    ['a yield of zero', recipe('curd', [line('butter', 100, { yieldFraction: 0 })])],
    ['a yield past the limit', recipe('curd', [line('butter', 100, { yieldFraction: 10.1 })])],
    ['a yield that is no number', recipe('curd', [line('butter', 100, { yieldFraction: NaN })])],
    ['a negative amount', recipe('curd', [line('butter', -1)])],
    ['an endless amount', recipe('curd', [line('butter', Infinity)])],
    [
      'an empty batch',
      recipe('curd', [], { outputs: [{ itemId: 'curd', quantity: 0, main: true }] }),
    ],
    [
      'no main output',
      recipe('curd', [], { outputs: [{ itemId: 'curd', quantity: 1, main: false }] }),
    ],
    [
      'a shelf life below zero',
      recipe('curd', [], {
        outputs: [{ itemId: 'curd', quantity: 1, main: true, shelfLifeMin: -5 }],
      }),
    ],
    [
      'batch limits that leave no batch',
      recipe('curd', [], {
        batchLimits: { stepBatches: 1, minimumBatches: 1.5, maximumBatches: 1.9 },
      }),
    ],
    ['a recipe for an ingredient', recipe('butter', [])],
    ['two lines with one id', recipe('curd', [line('butter'), line('butter')])],
  ])('%s', (_what, bad) => {
    expect(buildRecipeGraph(butter, [bad])).toMatchObject({
      ok: false,
      error: { kind: 'out-of-range' },
    });
  });

  it('two versions of one recipe for the same date', () => {
    const result = buildRecipeGraph(butter, [
      recipe('curd', [line('butter')]),
      recipe('curd', [line('butter')]),
    ]);
    expect(result).toMatchObject({
      error: { kind: 'out-of-range', path: ['recipes', 1, 'itemId'] },
    });
  });

  it('more levels or lines than the limits', () => {
    const items = Array.from({ length: 6 }, (_, i) => item(`c${i}`));
    const chain = items.map((it, i) => recipe(it.id, i < 5 ? [line(`c${i + 1}`)] : []));
    const limits = { maximumLevels: 5, maximumLinesPerRecipe: 10 };
    expect(buildRecipeGraph(items, chain, limits)).toMatchObject({ error: { kind: 'too-large' } });
    const long = recipe(
      'curd',
      Array.from({ length: 11 }, (_, i) => ({ ...line('butter'), id: `l${i}` })),
    );
    expect(buildRecipeGraph(butter, [long], limits)).toMatchObject({
      error: { kind: 'too-large' },
    });
  });
});

describe('a recipe graph holds', () => {
  it('60 levels', () => {
    const items = Array.from({ length: 60 }, (_, i) => item(`c${i}`));
    const recipes = items.map((it, i) => recipe(it.id, i < 59 ? [line(`c${i + 1}`)] : []));
    const graph = unwrap(buildRecipeGraph(items, recipes));
    expect(graph.lowLevelCodes.get('c59')).toBe(59);
  });

  it('a recipe of 10 000 lines', () => {
    const parts = Array.from({ length: 10_000 }, (_, i) => item(`i${i}`, 'ingredient'));
    const graph = unwrap(
      buildRecipeGraph(
        [item('all'), ...parts],
        [
          recipe(
            'all',
            parts.map((p) => line(p.id)),
          ),
        ],
      ),
    );
    expect(graph.uses.size).toBe(10_000);
    expect(graph.order[0]).toBe('all');
  });

  it('every item below whatever uses it, in any order of input (property)', () => {
    fc.assert(
      fc.property(
        fc.array(fc.array(fc.nat({ max: 11 }), { maxLength: 4 }), { minLength: 12, maxLength: 12 }),
        fc.shuffledSubarray([0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11], { minLength: 12 }),
        (targets, shuffle) => {
          const items = shuffle.map((i) => item(`c${i}`));
          const recipes = shuffle.map((i) => {
            const below = [...new Set(targets[i] ?? [])].filter((t) => t > i);
            return recipe(
              `c${i}`,
              below.map((t) => line(`c${t}`)),
            );
          });
          const graph = unwrap(buildRecipeGraph(items, recipes));
          const code = (id: string) => graph.lowLevelCodes.get(id) ?? NaN;
          for (const r of recipes) {
            for (const l of r.lines) expect(code(l.itemId)).toBeGreaterThan(code(r.itemId));
          }
          for (const it of items) {
            const users = (graph.uses.get(it.id) ?? []).map((u) => code(u.itemId));
            expect(code(it.id)).toBe(users.length === 0 ? 0 : Math.max(...users) + 1);
          }
        },
      ),
    );
  });
});
