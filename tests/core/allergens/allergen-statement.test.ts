import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type {
  AllergenDeclaration,
  AllergenDeclarations,
  AllergenRegime,
} from '../../../api/core/allergens/index.ts';
import {
  ALLERGEN_NOTICE,
  allergenMatrix,
  allergenStatement,
  readDeclaration,
} from '../../../api/core/allergens/index.ts';
import type { Item, RecipeDef } from '../../../api/core/recipe-graph/index.ts';
import { buildRecipeGraph } from '../../../api/core/recipe-graph/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';
import { syntheticGraphs } from '../../fixtures/recipes/synthetic-graph.ts';

const item = (id: string, kind: Item['kind'], baseUnit: Item['baseUnit'] = 'g'): Item => ({
  id,
  kind,
  name: id.replaceAll('-', ' '),
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
    id: `${itemId}:${id}`,
    itemId: id,
    quantity: q,
    yieldFraction: 1,
  })),
});
const graph = unwrap(
  buildRecipeGraph(
    [
      item('slice', 'dish', 'each'),
      item('frangipane', 'component'),
      item('pastry', 'component'),
      item('butter', 'ingredient'),
      item('ground-almonds', 'ingredient'),
      item('flour', 'ingredient'),
      item('chocolate', 'ingredient'),
    ],
    [
      recipe('slice', 1, { frangipane: 60, pastry: 40, chocolate: 5 }),
      recipe('frangipane', 1000, { butter: 400, 'ground-almonds': 600 }),
      recipe('pastry', 1000, { butter: 400, flour: 600 }),
    ],
  ),
);
const declared = (
  contains: AllergenDeclaration['contains'],
  mayContain: AllergenDeclaration['mayContain'] = [],
): AllergenDeclaration => ({ contains, mayContain });
const FULL: AllergenDeclarations = new Map([
  ['butter', declared(['milk'])],
  ['ground-almonds', declared(['nuts:almond'], ['nuts:hazelnut', 'peanuts'])],
  ['flour', declared(['gluten:wheat'], ['gluten:rye', 'soybeans'])],
  ['chocolate', declared(['soybeans'], ['milk'])],
]);
const statement = (declarations: AllergenDeclarations, regime: AllergenRegime = 'eu') =>
  unwrap(allergenStatement(graph, declarations, 'slice', regime));

describe('an allergen statement', () => {
  it('is the union over everything in the dish, in the order of the law, kinds named', () => {
    const made = statement(FULL);
    expect(made.status).toBe('declared');
    expect(made.contains.map((p) => p.code)).toEqual([
      'gluten:wheat',
      'soybeans',
      'milk',
      'nuts:almond',
    ]);
    expect(made.contains[0]).toMatchObject({
      label: 'Cereals containing gluten',
      kind: 'wheat',
      kindNotNamed: false,
    });
  });

  it('shows the way down to every ingredient that brings an allergen in', () => {
    const milk = statement(FULL).contains.find((p) => p.code === 'milk');
    expect(milk?.ways).toEqual([
      { ingredientId: 'butter', path: ['slice', 'frangipane', 'butter'] },
    ]);
  });

  it('does not repeat under may contain what is contained', () => {
    expect(statement(FULL).mayContain.map((p) => p.code)).toEqual([
      'gluten:rye',
      'peanuts',
      'nuts:hazelnut',
    ]);
  });

  it('is not declared while one ingredient is not, whatever the others say', () => {
    for (const unknown of [new Map([...FULL, ['flour', null]] as const), without(FULL, 'flour')]) {
      const made = statement(unknown);
      expect(made.status).toBe('not-declared');
      expect(made.notDeclared).toEqual([
        { ingredientId: 'flour', path: ['slice', 'pastry', 'flour'] },
      ]);
      expect(made.contains.map((p) => p.code)).toContain('milk');
    }
  });

  it('carries the notice, and the words free from only to deny them', () => {
    expect(statement(FULL).notice).toBe(ALLERGEN_NOTICE);
    expect(ALLERGEN_NOTICE).toContain('never says that a dish is free from');
  });

  it('under US law leaves out what the nine do not name', () => {
    const declarations = new Map([...FULL, ['flour', declared(['gluten:rye', 'gluten:spelt'])]]);
    const made = statement(declarations, 'us');
    expect(made.contains.map((p) => [p.id, p.kind])).toEqual([
      ['milk', null],
      ['nuts', 'almond'],
      ['wheat', 'spelt'],
      ['soybeans', null],
    ]);
  });

  it('counts a cereal nobody named under both laws, and says that it is not named', () => {
    const declarations = new Map([...FULL, ['flour', declared(['gluten'])]]);
    for (const regime of ['eu', 'us'] as const) {
      const found = statement(declarations, regime).contains.find((p) => p.code === 'gluten');
      expect(found).toMatchObject({ kind: null, kindNotNamed: true });
    }
  });

  it('follows a by-product to what its batch was made of', () => {
    const g = unwrap(
      buildRecipeGraph(
        [
          item('glaze', 'component'),
          item('liquor', 'component'),
          item('quince', 'component'),
          item('wine', 'ingredient'),
        ],
        [
          recipe('quince', 800, { wine: 500 }, { liquor: 600 }),
          recipe('glaze', 100, { liquor: 90 }),
        ],
      ),
    );
    const declarations: AllergenDeclarations = new Map([
      ['wine', { ...declared(['sulphites']), sulphitesMgPerKg: 5 }],
    ]);
    const made = unwrap(allergenStatement(g, declarations, 'glaze', 'eu'));
    expect(made.contains[0]?.ways).toEqual([
      { ingredientId: 'wine', path: ['glaze', 'liquor', 'quince', 'wine'] },
    ]);
    // How 5 mg/kg split between fruit and liquor is not known, so they are listed.
    expect(made.sulphites).toEqual({ kind: 'not-calculated' });
  });

  it('is refused for a stranger', () => {
    expect(allergenStatement(graph, FULL, 'soup', 'eu')).toMatchObject({
      ok: false,
      error: { kind: 'missing-component' },
    });
  });

  it('never loses an allergen: every reachable declaration shows, with a true way (property)', () => {
    fc.assert(
      fc.property(
        syntheticGraphs(),
        fc.integer({ min: 0, max: 4095 }),
        ({ items, recipes }, bits) => {
          const g = unwrap(buildRecipeGraph(items, recipes));
          const declarations = new Map(
            items
              .filter((i) => i.kind === 'ingredient')
              .map((i, n) => [i.id, declared((bits >> n) & 1 ? ['milk'] : [])]),
          );
          for (const { id } of items) {
            const made = unwrap(allergenStatement(g, declarations, id, 'eu'));
            const brought = new Set(
              made.contains.flatMap((p) => p.ways.map((w) => w.ingredientId)),
            );
            for (const way of made.contains.flatMap((p) => p.ways)) {
              expect([way.path[0], way.path.at(-1)]).toEqual([id, way.ingredientId]);
              for (const [n, step] of way.path.slice(1).entries()) {
                const lines = g.recipes.get(way.path[n] ?? '')?.lines ?? [];
                expect(lines.map((l) => l.itemId)).toContain(step);
              }
            }
            // A parent contains whatever its lines contain.
            for (const line of g.recipes.get(id)?.lines ?? []) {
              const below = unwrap(allergenStatement(g, declarations, line.itemId, 'eu'));
              for (const way of below.contains.flatMap((p) => p.ways)) {
                expect(brought.has(way.ingredientId)).toBe(true);
              }
            }
            if (declarations.has(id)) {
              expect(made.contains.length).toBe(declarations.get(id)?.contains.length);
            }
          }
        },
      ),
      { numRuns: 50 },
    );
  });

  it('finds one way each through 60 levels of two lines, not 2^60 ways', () => {
    const items = Array.from({ length: 61 }, (_, i) =>
      item(`c${i}`, i < 60 ? 'component' : 'ingredient'),
    );
    const recipes = items.slice(0, 60).map((it, i) => ({
      ...recipe(it.id, 2, { [`c${i + 1}`]: 1 }),
      lines: ['a', 'b'].map((l) => ({
        id: l,
        itemId: `c${i + 1}`,
        quantity: 1,
        yieldFraction: 1,
      })),
    }));
    const g = unwrap(buildRecipeGraph(items, recipes));
    const made = unwrap(allergenStatement(g, new Map([['c60', declared(['eggs'])]]), 'c0', 'uk'));
    expect(made.contains[0]?.ways.map((w) => w.path.length)).toEqual([61]);
  });
});

describe('the allergen matrix', () => {
  const question = { dishIds: ['slice'], regime: 'eu', serviceDate: '2026-03-14' } as const;

  it('gives each dish a cell for each of the fourteen, with the recipe versions it holds for', () => {
    const matrix = unwrap(allergenMatrix(graph, FULL, question));
    expect(matrix).toMatchObject({
      regime: 'eu',
      serviceDate: '2026-03-14',
      notice: ALLERGEN_NOTICE,
    });
    const row = matrix.rows[0];
    expect(row?.cells).toHaveLength(14);
    expect(row?.versionIds).toEqual(['slice@1', 'frangipane@1', 'pastry@1']);
    const status = Object.fromEntries(row?.cells.map((c) => [c.groupId, c.status]) ?? []);
    expect(status).toMatchObject({
      gluten: 'contains',
      milk: 'contains',
      peanuts: 'may-contain',
      fish: 'none-declared',
    });
    expect(row?.cells.find((c) => c.groupId === 'nuts')).toMatchObject({
      kinds: ['almond'],
      mayContainKinds: ['hazelnut'],
    });
  });

  it('leaves no cell that could be read as free from while something is not declared', () => {
    const matrix = unwrap(allergenMatrix(graph, without(FULL, 'butter'), question));
    const states = new Set(matrix.rows[0]?.cells.map((c) => c.status));
    expect(states).toEqual(new Set(['contains', 'may-contain', 'not-declared']));
  });

  it('is refused for a dish it does not know', () => {
    expect(allergenMatrix(graph, FULL, { ...question, dishIds: ['soup'] })).toMatchObject({
      error: { kind: 'missing-component' },
    });
  });
});

describe('a declaration', () => {
  it('is read code by code, each once', () => {
    const raw = { contains: ['milk', 'milk', 'nuts:almond'], mayContain: [], sulphitesMgPerKg: 0 };
    expect(unwrap(readDeclaration(raw)).contains).toEqual(['milk', 'nuts:almond']);
  });

  it.each([
    ['a group of no law', { contains: ['lactose'], mayContain: [] }, 'invalid-code'],
    ['a nut that is none', { contains: ['nuts:coconut'], mayContain: [] }, 'invalid-code'],
    ['a cereal without gluten', { contains: [], mayContain: ['gluten:rice'] }, 'invalid-code'],
    ['a kind of milk', { contains: ['milk:goat'], mayContain: [] }, 'invalid-code'],
    ['two colons', { contains: ['nuts:almond:raw'], mayContain: [] }, 'invalid-code'],
    [
      'sulphites below zero',
      { contains: [], mayContain: [], sulphitesMgPerKg: -1 },
      'out-of-range',
    ],
    [
      'declared sulphites of no amount',
      { contains: ['sulphites'], mayContain: [], sulphitesMgPerKg: 0 },
      'out-of-range',
    ],
  ])('is refused for %s', (_what, raw, kind) => {
    expect(readDeclaration(raw)).toMatchObject({ ok: false, error: { kind } });
  });
});

function without(declarations: AllergenDeclarations, id: string): AllergenDeclarations {
  return new Map([...declarations].filter(([key]) => key !== id));
}
