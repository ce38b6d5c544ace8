import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  batchesFor,
  childNeeds,
  compileGraph,
  explainGross,
  explode,
  explodeMany,
  levels,
  lineFactors,
} from '../../../api/core/explosion/index.ts';
import { evaluate, ExplanationBuilder } from '../../../api/core/explanation/index.ts';
import type { Item, RecipeDef } from '../../../api/core/recipe-graph/index.ts';
import { buildRecipeGraph } from '../../../api/core/recipe-graph/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';
import { syntheticGraphs } from '../../fixtures/recipes/synthetic-graph.ts';

const ITEMS: readonly Item[] = [
  { id: 'tart', kind: 'dish', name: 'Lemon tart', baseUnit: 'each' },
  { id: 'curd', kind: 'component', name: 'Lemon curd', baseUnit: 'g' },
  { id: 'juice', kind: 'ingredient', name: 'Lemon juice', baseUnit: 'g' },
  { id: 'bay', kind: 'ingredient', name: 'Bay leaf', baseUnit: 'each' },
];
const RECIPES: readonly RecipeDef[] = [
  {
    itemId: 'tart',
    versionId: 'tart@1',
    outputs: [{ itemId: 'tart', quantity: 1, main: true }],
    lines: [{ id: 'tart-curd', itemId: 'curd', quantity: 45, yieldFraction: 0.9 }],
  },
  {
    itemId: 'curd',
    versionId: 'curd@1',
    outputs: [{ itemId: 'curd', quantity: 1000, main: true }],
    lines: [
      { id: 'curd-juice', itemId: 'juice', quantity: 240, yieldFraction: 0.8 },
      { id: 'curd-bay', itemId: 'bay', quantity: 2, yieldFraction: 1, perBatch: true },
    ],
  },
];
const graph = unwrap(buildRecipeGraph(ITEMS, RECIPES));
const compiled = compileGraph(graph);

describe('an explosion', () => {
  it('puts back what each line loses, level by level', () => {
    const need = unwrap(explode(graph, [{ itemId: 'tart', quantity: 40 }]));
    // 40 × 45 g ÷ 0.9 = 2000 g curd = 2 batches; 2 × 240 g ÷ 0.8 = 600 g juice; 2 × 2 leaves.
    expect(need.get('curd')).toBeCloseTo(2000, 9);
    expect(need.get('juice')).toBeCloseTo(600, 9);
    expect(need.get('bay')).toBeCloseTo(4, 9);
  });

  it('adds a demand for a component to what dishes draw of it', () => {
    const need = unwrap(
      explode(graph, [
        { itemId: 'curd', quantity: 500 },
        { itemId: 'tart', quantity: 20 },
        { itemId: 'tart', quantity: 20 },
      ]),
    );
    expect(need.get('curd')).toBeCloseTo(2500, 9);
  });

  it('leaves out what nobody needs', () => {
    expect([...unwrap(explode(graph, [{ itemId: 'juice', quantity: 1 }])).keys()]).toEqual([
      'juice',
    ]);
    expect(unwrap(explode(graph, [])).size).toBe(0);
  });

  it.each([[-1], [NaN], [Infinity]])('refuses a demand of %d', (quantity) => {
    expect(explode(graph, [{ itemId: 'tart', quantity }])).toMatchObject({
      ok: false,
      error: { kind: 'out-of-range', path: ['demand', 0, 'quantity'] },
    });
    const quantities = Float64Array.from([1, quantity]);
    expect(explodeMany(compiled, { itemIds: ['tart'], vectorCount: 2, quantities })).toMatchObject({
      ok: false,
      error: { kind: 'out-of-range', path: ['quantities', 1] },
    });
  });

  it('refuses an item it does not know and rows that are not full', () => {
    expect(explode(graph, [{ itemId: 'soup', quantity: 1 }])).toMatchObject({
      error: { kind: 'missing-component', path: ['demand', 0, 'itemId'] },
    });
    const quantities = new Float64Array(2);
    expect(explodeMany(compiled, { itemIds: ['soup'], vectorCount: 2, quantities })).toMatchObject({
      error: { kind: 'missing-component', path: ['itemIds', 0] },
    });
    expect(explodeMany(compiled, { itemIds: ['tart'], vectorCount: 3, quantities })).toMatchObject({
      error: { kind: 'out-of-range', path: ['quantities'] },
    });
  });
});

describe('stepping level by level', () => {
  it('gives the levels in order', () => {
    expect(levels(compiled)).toEqual([['tart'], ['curd'], ['juice', 'bay']]);
  });

  it('draws a per-batch line once for each batch started, the others by what is made', () => {
    const needs = childNeeds(compiled, 'curd', 2500, 2.5);
    expect(needs.map((n) => [n.lineId, n.itemId])).toEqual([
      ['curd-juice', 'juice'],
      ['curd-bay', 'bay'],
    ]);
    expect(needs[0]?.quantity).toBeCloseTo(750, 9);
    expect(needs[1]?.quantity).toBe(6);
    expect(childNeeds(compiled, 'curd', 3000, 3.0000000001)[1]?.quantity).toBe(6);
    expect(childNeeds(compiled, 'juice', 10, 1)).toEqual([]);
  });

  it('says with which factor each line contributes', () => {
    expect(lineFactors(compiled, 'curd')[0]).toEqual({
      lineId: 'curd-juice',
      itemId: 'juice',
      factor: 0.3,
      drawnPerBatch: 300,
      quantityPerBatch: 240,
      yieldFraction: 0.8,
      perBatch: false,
    });
    expect(batchesFor(compiled, 'curd', 2500)).toBe(2.5);
    expect(batchesFor(compiled, 'juice', 2500)).toBe(0);
    expect(() => lineFactors(compiled, 'soup')).toThrow('does not hold soup');
  });
});

describe('any explosion (property)', () => {
  const demands = fc.array(
    fc.record({ at: fc.nat(), quantity: fc.double({ min: 0, max: 1000, noNaN: true }) }),
    { minLength: 1, maxLength: 5 },
  );
  type Draw = readonly { at: number; quantity: number }[];
  const toDemand = (items: readonly Item[], drawn: Draw) =>
    drawn.map((d) => ({ itemId: items[d.at % items.length]?.id ?? '', quantity: d.quantity }));
  const close = (a: number, b: number) =>
    expect(Math.abs(a - b)).toBeLessThanOrEqual(1e-9 * Math.max(1, Math.abs(a), Math.abs(b)));

  it('is linear: explode(a·x + b·y) = a·explode(x) + b·explode(y)', () => {
    fc.assert(
      fc.property(
        syntheticGraphs(),
        demands,
        demands,
        fc.double({ min: 0, max: 10, noNaN: true }),
        fc.double({ min: 0, max: 10, noNaN: true }),
        ({ items, recipes }, dx, dy, a, b) => {
          const g = unwrap(buildRecipeGraph(items, recipes));
          const [x, y] = [toDemand(items, dx), toDemand(items, dy)];
          const scaled = (d: typeof x, k: number) =>
            d.map((e) => ({ ...e, quantity: e.quantity * k }));
          const both = unwrap(explode(g, [...scaled(x, a), ...scaled(y, b)]));
          const [ex, ey] = [unwrap(explode(g, x)), unwrap(explode(g, y))];
          for (const { id } of items) {
            close(both.get(id) ?? 0, a * (ex.get(id) ?? 0) + b * (ey.get(id) ?? 0));
          }
        },
      ),
    );
  });

  it('does not depend on the order of items, recipes, lines or demands', () => {
    fc.assert(
      fc.property(syntheticGraphs(), demands, ({ items, recipes }, drawn) => {
        const demand = toDemand(items, drawn);
        const one = unwrap(explode(unwrap(buildRecipeGraph(items, recipes)), demand));
        const turned = recipes.map((r) => ({ ...r, lines: r.lines.toReversed() })).toReversed();
        const other = unwrap(
          explode(unwrap(buildRecipeGraph(items.toReversed(), turned)), demand.toReversed()),
        );
        for (const { id } of items) close(one.get(id) ?? 0, other.get(id) ?? 0);
      }),
    );
  });

  it('keeps mass: with no loss, the ingredients weigh what the dishes weigh', () => {
    fc.assert(
      fc.property(syntheticGraphs(), demands, ({ items, recipes }, drawn) => {
        const lossless = recipes.map((r) => ({
          ...r,
          lines: r.lines.map((l) => ({ ...l, yieldFraction: 1 })),
          outputs: [
            { itemId: r.itemId, main: true, quantity: r.lines.reduce((s, l) => s + l.quantity, 0) },
          ],
        }));
        const demand = toDemand(items, drawn);
        const need = unwrap(explode(unwrap(buildRecipeGraph(items, lossless)), demand));
        const leaves = items.filter((item) => item.kind === 'ingredient');
        close(
          leaves.reduce((sum, item) => sum + (need.get(item.id) ?? 0), 0),
          demand.reduce((sum, d) => sum + d.quantity, 0),
        );
      }),
    );
  });

  it('is the same one by one, many at once, and from its explanation alone', () => {
    fc.assert(
      fc.property(
        syntheticGraphs(),
        fc.array(demands, { minLength: 1, maxLength: 300 }),
        ({ items, recipes }, many) => {
          const c = compileGraph(unwrap(buildRecipeGraph(items, recipes)));
          const ids = items.map((item) => item.id);
          const quantities = new Float64Array(ids.length * many.length);
          const each = many.map((drawn, v) => {
            const demand = toDemand(items, drawn);
            for (const d of demand) {
              const at = ids.indexOf(d.itemId) * many.length + v;
              quantities[at] = (quantities[at] ?? 0) + d.quantity;
            }
            return demand;
          });
          const all = unwrap(
            explodeMany(c, { itemIds: ids, vectorCount: many.length, quantities }),
          );
          for (const [v, demand] of each.entries()) {
            const single = unwrap(explode(c.graph, demand));
            for (const [row, id] of all.itemIds.entries()) {
              close(all.quantities[row * many.length + v] ?? NaN, single.get(id) ?? 0);
            }
          }
          const builder = new ExplanationBuilder();
          const first = each[0] ?? [];
          const explained = explainGross(
            c,
            first.map((d, n) => ({
              itemId: d.itemId,
              nodeId: builder.given({ id: `d${n}`, label: 'demand', value: d.quantity, unit: 'g' }),
            })),
            builder,
            'need:',
          );
          const single = unwrap(explode(c.graph, first));
          const shown = builder.graph();
          for (const [id, nodeId] of explained) {
            close(unwrap(evaluate(shown, nodeId)), single.get(id) ?? 0);
          }
          expect([...single.keys()].every((id) => explained.has(id))).toBe(true);
        },
      ),
      { numRuns: 40 },
    );
  });
});

describe('an explosion holds', () => {
  it('60 levels', () => {
    const items: Item[] = Array.from({ length: 60 }, (_, i) => ({
      id: `c${i}`,
      kind: i < 59 ? 'component' : 'ingredient',
      name: `c${i}`,
      baseUnit: 'g',
    }));
    const recipes = items.slice(0, 59).map((item, i) => ({
      itemId: item.id,
      versionId: item.id,
      outputs: [{ itemId: item.id, quantity: 2, main: true }],
      lines: [{ id: `l${i}`, itemId: `c${i + 1}`, quantity: 1, yieldFraction: 0.5 }],
    }));
    const need = unwrap(
      explode(unwrap(buildRecipeGraph(items, recipes)), [{ itemId: 'c0', quantity: 7 }]),
    );
    expect(need.get('c59')).toBe(7);
  });

  it('a recipe of 10 000 lines', () => {
    const lines = Array.from({ length: 10_000 }, (_, i) => ({
      id: `l${i}`,
      itemId: i % 2 === 0 ? 'salt' : 'rice',
      quantity: 1,
      yieldFraction: 1,
    }));
    const items: Item[] = ['all', 'salt', 'rice'].map((id) => ({
      id,
      kind: id === 'all' ? 'component' : 'ingredient',
      name: id,
      baseUnit: 'g',
    }));
    const outputs = [{ itemId: 'all', quantity: 10_000, main: true }];
    const g = unwrap(buildRecipeGraph(items, [{ itemId: 'all', versionId: 'v', outputs, lines }]));
    const need = unwrap(explode(g, [{ itemId: 'all', quantity: 500 }]));
    expect(need.get('salt')).toBeCloseTo(250, 9);
    expect(compileGraph(g).edgeChild.length).toBe(2);
  });
});
