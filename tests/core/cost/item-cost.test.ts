import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { PriceBook } from '../../../api/core/cost/index.ts';
import { itemCost, priceRise } from '../../../api/core/cost/index.ts';
import { explode } from '../../../api/core/explosion/index.ts';
import { Decimal, roundMoney } from '../../../api/core/money/index.ts';
import type { Item, RecipeDef } from '../../../api/core/recipe-graph/index.ts';
import { buildRecipeGraph } from '../../../api/core/recipe-graph/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';
import { syntheticGraphs } from '../../fixtures/recipes/synthetic-graph.ts';

const ITEMS: readonly Item[] = [
  { id: 'tart', kind: 'dish', name: 'Lemon tart', baseUnit: 'each' },
  { id: 'curd', kind: 'component', name: 'Lemon curd', baseUnit: 'g' },
  { id: 'butter', kind: 'ingredient', name: 'Butter', baseUnit: 'g' },
  { id: 'sugar', kind: 'ingredient', name: 'Sugar', baseUnit: 'g' },
  { id: 'zest', kind: 'ingredient', name: 'Lemon zest', baseUnit: 'g' },
  { id: 'juice', kind: 'ingredient', name: 'Lemon juice', baseUnit: 'g' },
  { id: 'lemon', kind: 'ingredient', name: 'Lemon', baseUnit: 'each' },
  { id: 'water', kind: 'ingredient', name: 'Tap water', baseUnit: 'g' },
];
const line = (itemId: string, quantity: number, yieldFraction = 1) => ({
  id: itemId,
  itemId,
  quantity,
  yieldFraction,
});
const RECIPES: readonly RecipeDef[] = [
  {
    itemId: 'tart',
    versionId: 't1',
    outputs: [{ itemId: 'tart', quantity: 10, main: true }],
    lines: [line('curd', 500)],
  },
  {
    itemId: 'curd',
    versionId: 'c1',
    outputs: [{ itemId: 'curd', quantity: 1000, main: true }],
    lines: [
      line('butter', 300),
      line('sugar', 250, 0.5),
      line('zest', 12),
      line('juice', 240),
      line('water', 100),
    ],
  },
];
const graph = unwrap(buildRecipeGraph(ITEMS, RECIPES));
const LEMON = {
  pieceItemId: 'lemon',
  pieceMassG: 110,
  groups: [
    { group: 'zest', parts: [{ itemId: 'zest', yieldPerPiece: 6 }] },
    { group: 'flesh', parts: [{ itemId: 'juice', yieldPerPiece: 48 }] },
  ],
};
const pack = (itemId: string, quantityBase: number, amount: string, validFrom = '2026-01-01') => ({
  packId: `${itemId}-${quantityBase}`,
  itemId,
  quantityBase,
  currency: 'EUR',
  prices: [{ validFrom, amount }],
});
const BOOK: PriceBook = {
  packs: [pack('butter', 10_000, '80'), pack('sugar', 25_000, '25'), pack('lemon', 50, '15')],
  freeItemIds: new Set(['water']),
};
const question = {
  itemId: 'tart',
  quantity: 1,
  date: '2026-03-14',
  currency: 'EUR',
  pieces: [LEMON],
};

describe('the cost of a plate', () => {
  it('runs through components, yields and pieces, exactly', () => {
    const costing = unwrap(itemCost(graph, BOOK, question));
    // 50 g curd: butter 15 g × 0.008 = 0.12; sugar 12.5 ÷ 0.5 = 25 g × 0.001 = 0.025;
    // juice 12 g ÷ 48 = 0.25 lemons (zest asks for 0.1) × 0.30 = 0.075.
    expect(costing).toMatchObject({
      status: 'complete',
      cost: { amount: '0.22', currency: 'EUR' },
      missing: [],
    });
    expect(costing.drivers.map((d) => [d.itemId, d.cost.amount])).toEqual([
      ['butter', '0.12'],
      ['lemon', '0.075'],
      ['sugar', '0.025'],
      ['water', '0'],
    ]);
    expect(costing.drivers[0]?.shareFraction).toBeCloseTo(0.12 / 0.22, 12);
    expect(costing.drivers.at(-1)?.basis).toBeNull();
  });

  it('puts back what is thrown away', () => {
    const wasteFractions = new Map([
      ['tart', 0.2],
      ['curd', 0.5],
      ['lemon', 0.5],
    ]);
    const costing = unwrap(itemCost(graph, BOOK, { ...question, wasteFractions }));
    // (0.12 + 0.025) × 2.5 for plates and curd; lemons twice that again.
    expect(costing.cost?.amount).toBe('0.7375');
  });

  it('is incomplete where a price is missing, and says which, and is never zero', () => {
    const noSugar = { ...BOOK, packs: BOOK.packs.filter((p) => p.itemId !== 'sugar') };
    const costing = unwrap(itemCost(graph, noSugar, question));
    expect(costing).toMatchObject({
      status: 'incomplete',
      cost: null,
      knownCost: { amount: '0.195' },
      missing: [{ itemId: 'sugar', name: 'Sugar', quantity: 25, reason: 'no-pack' }],
    });
    const early = unwrap(itemCost(graph, BOOK, { ...question, date: '2025-12-31' }));
    expect(early.cost).toBeNull();
    expect(early.missing.map((m) => m.reason)).toEqual(['no-price', 'no-price', 'no-price']);
  });

  it('leaves the cost of a by-product with the recipe that gives it, and says so', () => {
    const items: Item[] = [
      { id: 'glaze', kind: 'component', name: 'Glaze', baseUnit: 'g' },
      { id: 'liquor', kind: 'component', name: 'Liquor', baseUnit: 'g' },
      { id: 'quince', kind: 'component', name: 'Quince', baseUnit: 'g' },
      { id: 'sugar', kind: 'ingredient', name: 'Sugar', baseUnit: 'g' },
    ];
    const g = unwrap(
      buildRecipeGraph(items, [
        {
          itemId: 'quince',
          versionId: 'q',
          outputs: [
            { itemId: 'quince', quantity: 100, main: true },
            { itemId: 'liquor', quantity: 100, main: false },
          ],
          lines: [line('sugar', 50)],
        },
        {
          itemId: 'glaze',
          versionId: 'g',
          outputs: [{ itemId: 'glaze', quantity: 100, main: true }],
          lines: [line('liquor', 80), line('sugar', 20)],
        },
      ]),
    );
    const ask = { ...question, itemId: 'glaze', quantity: 100, pieces: [] };
    const costing = unwrap(itemCost(g, BOOK, ask));
    expect(costing.cost?.amount).toBe('0.02');
    expect(costing.byProductItemIds).toEqual(['liquor']);
  });

  it.each([
    ['an unknown item', { itemId: 'soup' }, 'missing-component'],
    ['a negative quantity', { quantity: -1 }, 'out-of-range'],
    ['no currency', { currency: 'EURO' }, 'invalid-code'],
    ['waste of everything', { wasteFractions: new Map([['curd', 1]]) }, 'out-of-range'],
    ['a piece that weighs nothing', { pieces: [{ ...LEMON, pieceMassG: 0 }] }, 'out-of-range'],
  ])('is refused for %s', (_what, change, kind) => {
    expect(itemCost(graph, BOOK, { ...question, ...change })).toMatchObject({
      ok: false,
      error: { kind },
    });
  });

  it('equals the explosion times the prices for any recipes (property)', () => {
    fc.assert(
      fc.property(
        syntheticGraphs(),
        fc.array(fc.integer({ min: 1, max: 9999 }), { minLength: 12, maxLength: 12 }),
        fc.integer({ min: 1, max: 500 }),
        ({ items, recipes }, cents, quantity) => {
          const g = unwrap(buildRecipeGraph(items, recipes));
          const packs = items.map((item, i) =>
            pack(item.id, 1000, ((cents[i] ?? 1) / 100).toFixed(2)),
          );
          const costing = unwrap(
            itemCost(g, { packs }, { ...question, pieces: [], itemId: 'i0', quantity }),
          );
          const need = unwrap(explode(g, [{ itemId: 'i0', quantity }]));
          const expected = items.reduce(
            (sum, item, i) =>
              item.kind === 'ingredient'
                ? sum + (need.get(item.id) ?? 0) * ((cents[i] ?? 1) / 100_000)
                : sum,
            0,
          );
          const cost = Number(costing.cost?.amount ?? NaN);
          expect(Math.abs(cost - expected)).toBeLessThanOrEqual(1e-9 * Math.max(1, expected));
          const drivers = costing.drivers.reduce(
            (sum, d) => sum.plus(d.cost.amount),
            new Decimal(0),
          );
          expect(drivers.toString()).toBe(costing.cost?.amount);
        },
      ),
    );
  });
});

describe('a price rise', () => {
  const costing = unwrap(itemCost(graph, BOOK, question));

  it('moves the cost by the share of what becomes dearer', () => {
    const rise = unwrap(priceRise(costing, ['butter'], '0.25'));
    expect(rise).toMatchObject({
      change: { amount: '0.03' },
      costAfter: { amount: '0.25' },
    });
    expect(rise.changeFraction).toBeCloseTo(0.25 * (0.12 / 0.22), 12);
    expect(unwrap(priceRise(costing, ['butter', 'sugar', 'lemon'], '-0.5')).costAfter).toEqual({
      amount: '0.11',
      currency: 'EUR',
    });
    expect(unwrap(priceRise(costing, ['flour'], '0.5')).change.amount).toBe('0');
  });

  it('agrees with pricing again at the dearer price', () => {
    const dearer = { ...BOOK, packs: [...BOOK.packs.slice(1), pack('butter', 10_000, '100')] };
    const again = unwrap(itemCost(graph, dearer, question));
    expect(again.cost).toEqual(unwrap(priceRise(costing, ['butter'], '0.25')).costAfter);
  });

  it('is refused for what has no price, and for a fraction that is none', () => {
    const noButter = { ...BOOK, packs: BOOK.packs.slice(1) };
    const incomplete = unwrap(itemCost(graph, noButter, question));
    expect(priceRise(incomplete, ['butter'], '0.1')).toMatchObject({
      error: { kind: 'missing-data', detail: { itemId: 'butter' } },
    });
    expect(unwrap(priceRise(incomplete, ['sugar'], '0.1')).costAfter).toBeNull();
    expect(priceRise(costing, ['butter'], '15 %')).toMatchObject({
      error: { kind: 'unreadable-amount' },
    });
    expect(priceRise(costing, ['butter'], '-1.1')).toMatchObject({
      error: { kind: 'out-of-range' },
    });
  });
});

describe('rounding a cost', () => {
  it('happens once, where the cost leaves', () => {
    const third = { ...BOOK, packs: [...BOOK.packs.slice(1), pack('butter', 30_000, '1')] };
    const costing = unwrap(itemCost(graph, third, { ...question, quantity: 1000 }));
    expect(costing.cost?.amount).toBe('100.5');
    expect(roundMoney({ amount: costing.drivers[2]?.cost.amount ?? '', currency: 'EUR' })).toEqual({
      amount: '0.50',
      currency: 'EUR',
    });
  });
});
