import { describe, expect, it } from 'vitest';
import { highsSolver } from '../../../api/core/milp/index.ts';
import { choosePacks, defaultPacks } from '../../../api/core/ordering/index.ts';
import type { PackProblem } from '../../../api/core/ordering/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';
import { day, need, offer, problem, slot } from './problem-builder.ts';

const solver = highsSolver();
const choose = async (given: PackProblem) =>
  unwrap(await choosePacks(given, solver, { relativeGap: 0 }));
const packsOf = (plan: Awaited<ReturnType<typeof choose>>) =>
  Object.fromEntries(
    plan.orders.flatMap((o) => o.lines.map((l) => [`${l.offerId}@${o.deliveryDate}`, l.packs])),
  );

describe('choice of packs', () => {
  it('takes the least cost mix of pack sizes by the table when nothing ties ingredients together', async () => {
    const plan = await choose(
      problem({
        needs: [need('flour', 2, 61)],
        offers: [
          offer('p12', 'flour', 12, '7'),
          offer('p25', 'flour', 25, '13'),
          offer('p4', 'flour', 4, '2.60'),
        ],
      }),
    );
    expect(plan).toMatchObject({ cost: '33', method: 'exact-table', gap: 0, shortfalls: [] });
    expect(packsOf(plan)).toEqual({ 'p12@2026-03-01': 1, 'p25@2026-03-01': 2 });
    expect(plan.orders[0]?.lines[0]).toMatchObject({ pricePerPack: '7', quantityBase: 12 });
  });

  it('does not buy a pack more for a crumb of binary arithmetic', async () => {
    const plan = await choose(
      problem({ needs: [need('flour', 2, 0.1 + 0.2)], offers: [offer('p', 'flour', 0.1, '1')] }),
    );
    expect(plan.cost).toBe('3');
  });

  it('spreads over deliveries so that goods are in date when used', async () => {
    const plan = await choose(
      problem({
        needs: [need('cream', 2, 3), need('cream', 6, 3)],
        offers: [offer('c1', 'cream', 1, '2', { shelfLifeDays: 3 })],
        slots: [slot(1), slot(5)],
      }),
    );
    expect(packsOf(plan)).toEqual({ 'c1@2026-03-01': 3, 'c1@2026-03-05': 3 });
    expect(plan.method).toBe('mixed-integer');
    const second = plan.orders[1]?.lines[0];
    expect(second?.uses.map((u) => [u.needDate, u.quantityBase])).toEqual([[day(6), 3]]);
  });

  it('orders as late as it can when the price is the same, because keeping goods costs', async () => {
    const plan = await choose(
      problem({
        needs: [need('flour', 2, 3), need('flour', 9, 3)],
        offers: [offer('f', 'flour', 1, '2')],
        slots: [slot(1), slot(8)],
        settings: { leftoverValueFraction: 0 },
      }),
    );
    expect(packsOf(plan)).toEqual({ 'f@2026-03-01': 3, 'f@2026-03-08': 3 });
  });

  it('reaches a price break when more packs cost less', async () => {
    const priceBreaks = [{ minPacks: 4, price: '10' }];
    const plan = await choose(
      problem({
        needs: [need('sugar', 2, 3)],
        offers: [offer('s', 'sugar', 1, '15', { priceBreaks })],
      }),
    );
    expect(plan.cost).toBe('40');
    expect(plan.orders[0]?.lines[0]).toMatchObject({ packs: 4, surplusBase: 1 });
    expect(plan.orders[0]?.toReachMinimum).toBeUndefined();
  });

  it('pays the delivery charge once an order and drops it from the free delivery value', async () => {
    const base = problem({
      needs: [need('sugar', 2, 3)],
      offers: [offer('s', 'sugar', 1, '10')],
    });
    const charged = await choose({
      ...base,
      suppliers: [{ supplierId: 'A', deliveryCharge: '8' }],
    });
    expect(charged.orders[0]).toMatchObject({ goodsCost: '30', deliveryCharge: '8', total: '38' });
    const raised = await choose({
      ...base,
      offers: [offer('s', 'sugar', 1, '10'), offer('x', 'sugar', 2, '16')],
      suppliers: [{ supplierId: 'A', deliveryCharge: '8', freeDeliveryFrom: '32' }],
    });
    expect(raised.orders[0]).toMatchObject({ goodsCost: '32', deliveryCharge: '0', total: '32' });
  });

  it('buys to the minimum only when it must, and says what that and its waste cost', async () => {
    const vanilla = problem({
      needs: [need('vanilla', 2, 1), need('berries', 3, 2)],
      offers: [
        offer('v', 'vanilla', 1, '6', { shelfLifeDays: 90 }),
        offer('b', 'berries', 1, '5', { shelfLifeDays: 3 }),
      ],
      suppliers: [{ supplierId: 'A', minOrderValue: '30' }],
      laterUse: [{ siteId: 'lake', ingredientId: 'vanilla', perDayBase: 0.02 }],
      settings: { leftoverValueFraction: 0.9, holdingFractionPerDay: 0 },
    });
    const plan = await choose(vanilla);
    const order = plan.orders[0];
    // 1 vanilla and 2 berries are 16. To reach 30: 3 more vanilla (34, of which 1.54 used in date:
    // 34 - 0.9 x 6 x 1.54 = 25.684) or 2 more and a berry wasted (33 - 8.316 = 24.684).
    const lines = Object.fromEntries((order?.lines ?? []).map((l) => [l.offerId, l]));
    expect(order?.goodsCost).toBe('33');
    expect(Number(plan.objective)).toBeCloseTo(24.684, 9);
    expect(lines['v']).toMatchObject({ packs: 3, packsForMinimum: 2, surplusFate: 'expires' });
    expect(lines['v']?.usedLaterBase).toBeCloseTo(0.02 * (90 - 13), 9);
    expect(lines['v']?.expectedWasteBase).toBeCloseTo(2 - 1.54, 9);
    expect(lines['b']).toMatchObject({ packs: 3, packsForMinimum: 1, expectedWasteBase: 1 });
    expect(order?.toReachMinimum?.cost).toBe('17');
    expect(Number(order?.toReachMinimum?.expectedWasteCost)).toBeCloseTo(6 * 0.46 + 5, 9);
  });

  it('keeps an order that reaches its minimum by need free of such a mark', async () => {
    const plan = await choose(
      problem({
        needs: [need('sugar', 2, 3.5)],
        offers: [offer('s', 'sugar', 1, '10')],
        suppliers: [{ supplierId: 'A', minOrderValue: '40' }],
      }),
    );
    expect(plan.orders[0]).toMatchObject({ goodsCost: '40' });
    expect(plan.orders[0]?.toReachMinimum).toBeUndefined();
  });

  it('says when nobody can tell what becomes of a surplus', async () => {
    const fate = async (shelfLifeDays?: number, perDayBase?: number) => {
      const plan = await choose(
        problem({
          needs: [need('agar', 2, 10)],
          offers: [
            offer('a', 'agar', 100, '9', shelfLifeDays === undefined ? {} : { shelfLifeDays }),
          ],
          laterUse:
            perDayBase === undefined ? [] : [{ siteId: 'lake', ingredientId: 'agar', perDayBase }],
        }),
      );
      return plan.orders[0]?.lines[0]?.surplusFate;
    };
    expect(await fate()).toBe('shelf-life-not-stated');
    expect(await fate(300)).toBe('later-use-not-stated');
    expect(await fate(300, 1)).toBe('used-in-date');
    expect(await fate(20, 1)).toBe('expires');
    expect(await fate(5)).toBe('expires');
  });

  it('prefers the pack whose leftover is used in date to a dearer exact one', async () => {
    const given = (perDayBase: number): PackProblem =>
      problem({
        needs: [need('cocoa', 2, 10)],
        offers: [
          offer('small', 'cocoa', 10, '14', { shelfLifeDays: 60 }),
          offer('large', 'cocoa', 20, '18', { shelfLifeDays: 60 }),
        ],
        laterUse: [{ siteId: 'lake', ingredientId: 'cocoa', perDayBase }],
        settings: { leftoverValueFraction: 0.9, holdingFractionPerDay: 0.001 },
      });
    expect(packsOf(await choose(given(1)))).toEqual({ 'large@2026-03-01': 1 });
    expect(packsOf(await choose(given(0)))).toEqual({ 'small@2026-03-01': 1 });
  });

  it('buys where the contract of the site says', async () => {
    const base = problem({
      needs: [need('milk', 2, 10)],
      offers: [offer('a', 'milk', 10, '9'), offer('b', 'milk', 10, '7', { supplierId: 'B' })],
      slots: [slot(1), slot(1, { supplierId: 'B' })],
    });
    expect(packsOf(await choose(base))).toEqual({ 'b@2026-03-01': 1 });
    const bound = { ...base, contracts: [{ siteId: 'lake', supplierId: 'A' }] };
    expect(packsOf(await choose(bound))).toEqual({ 'a@2026-03-01': 1 });
    const own = {
      ...base,
      contracts: [
        { siteId: 'lake', supplierId: 'A' },
        { siteId: 'lake', ingredientId: 'milk', supplierId: 'B' },
      ],
    };
    expect(packsOf(await choose(own))).toEqual({ 'b@2026-03-01': 1 });
  });

  it('is bound on the delivery dates of a contract alone, and by the one that names the ingredient first', async () => {
    const base = problem({
      needs: [need('milk', 2, 10), need('milk', 9, 10)],
      offers: [
        offer('a', 'milk', 10, '9', { shelfLifeDays: 2 }),
        offer('b', 'milk', 10, '7', { supplierId: 'B', shelfLifeDays: 2 }),
      ],
      slots: [1, 8].flatMap((on) => [slot(on), slot(on, { supplierId: 'B' })]),
    });
    const until = { siteId: 'lake', supplierId: 'A', toDate: '2026-03-05' };
    expect(packsOf(await choose({ ...base, contracts: [until] }))).toEqual({
      'a@2026-03-01': 1,
      'b@2026-03-08': 1,
    });
    const milk = { siteId: 'lake', ingredientId: 'milk' };
    const byCategory = { ...milk, supplierId: 'A', byCategory: true };
    expect(packsOf(await choose({ ...base, contracts: [byCategory] }))).toEqual({
      'a@2026-03-01': 1,
      'a@2026-03-08': 1,
    });
    const named = { ...milk, supplierId: 'B', fromDate: '2026-03-08' };
    expect(packsOf(await choose({ ...base, contracts: [byCategory, named] }))).toEqual({
      'a@2026-03-01': 1,
      'b@2026-03-08': 1,
    });
  });

  it('names every need it cannot meet, why, and when the next delivery comes', async () => {
    const plan = await choose(
      problem({
        needs: [
          need('milk', 1, 5, { certainBase: 2 }),
          need('milk', 9, 5),
          need('saffron', 3, 1),
          need('cream', 12, 5),
        ],
        offers: [
          offer('m', 'milk', 5, '4', { maxPacks: 1 }),
          offer('c', 'cream', 5, '4', { shelfLifeDays: 2 }),
        ],
        slots: [slot(3), slot(8)],
        settings: { leftoverValueFraction: 0 },
      }),
    );
    const named = plan.shortfalls.map((s) => [
      s.ingredientId,
      s.needDate,
      s.quantityBase,
      s.reason,
      s.nextDelivery?.deliveryDate,
    ]);
    expect(named).toEqual([
      ['milk', day(1), 5, 'past-cutoff', day(3)],
      ['saffron', day(3), 1, 'no-offer', undefined],
      ['cream', day(12), 5, 'out-of-date', undefined],
    ]);
    expect(packsOf(plan)).toEqual({ 'm@2026-03-08': 1 });
  });

  it('buys what suppliers can give and names the rest as not enough', async () => {
    const plan = await choose(
      problem({
        needs: [need('eggs', 2, 50, { certainBase: 45 })],
        offers: [offer('e', 'eggs', 10, '3', { maxPacks: 4 })],
      }),
    );
    expect(plan.shortfalls).toMatchObject([
      { reason: 'not-enough', quantityBase: 10, certainBase: 5 },
    ]);
    expect(plan.cost).toBe('12');
  });

  it('splits the certain part of a line and its sources by what the line serves', async () => {
    const plan = await choose(
      problem({
        needs: [need('milk', 2, 6, { certainBase: 3 }), need('milk', 2, 4, { certainBase: 4 })],
        offers: [offer('m', 'milk', 5, '4')],
      }),
    );
    const line = plan.orders[0]?.lines[0];
    expect(line).toMatchObject({ packs: 2, usedBase: 10, certainBase: 7 });
    expect(line?.uses).toHaveLength(1);
    expect(line?.uses[0]?.refs.map((r) => r.quantityBase)).toEqual([6, 4]);
  });

  it('refuses packs of zero, negative prices, foreign money and odd breaks, with the place', async () => {
    const bad: [Partial<Parameters<typeof offer>[4]>, string, unknown][] = [
      [{ quantityBase: 0 }, 'out-of-range', ['offers', 0, 'quantityBase']],
      [{ quantityBase: NaN }, 'out-of-range', ['offers', 0, 'quantityBase']],
      [{ price: '0.00' }, 'out-of-range', ['offers', 0, 'price']],
      [{ price: '-1' }, 'out-of-range', ['offers', 0, 'price']],
      [{ price: '1,20' }, 'unreadable-amount', ['offers', 0, 'price']],
      [{ currency: 'CHF' }, 'currency-mismatch', ['offers', 0, 'currency']],
      [{ minPacks: 0 }, 'out-of-range', ['offers', 0, 'minPacks']],
      [{ minPacks: 3, maxPacks: 2 }, 'out-of-range', ['offers', 0, 'minPacks']],
      [{ shelfLifeDays: -1 }, 'out-of-range', ['offers', 0, 'shelfLifeDays']],
      [
        {
          priceBreaks: [
            { minPacks: 5, price: '1' },
            { minPacks: 4, price: '1' },
          ],
        },
        'out-of-range',
        ['offers', 0, 'priceBreaks'],
      ],
      [
        { priceBreaks: [{ minPacks: 5, price: '4.01' }] },
        'out-of-range',
        ['offers', 0, 'priceBreaks', 0],
      ],
    ];
    for (const [changes, kind, path] of bad) {
      const given = problem({ offers: [offer('p', 'milk', 5, '4', changes)] });
      expect(await choosePacks(given, solver)).toMatchObject({ ok: false, error: { kind, path } });
      expect(defaultPacks(given)).toMatchObject({ ok: false, error: { kind, path } });
    }
    const others: [Partial<PackProblem>, string][] = [
      [{ currency: 'EURO' }, 'invalid-code'],
      [{ horizonEnd: '2026-13-01' }, 'invalid-date'],
      [{ needs: [need('milk', 2, -1)] }, 'out-of-range'],
      [{ needs: [need('milk', 2, 1, { certainBase: 2 })] }, 'out-of-range'],
      [{ suppliers: [{ supplierId: 'A', minOrderValue: '-5' }] }, 'out-of-range'],
      [{ slots: [slot(3, { usableFromDate: day(2) })] }, 'out-of-range'],
      [{ offers: [offer('p', 'milk', 5, '4'), offer('p', 'milk', 6, '4')] }, 'out-of-range'],
    ];
    for (const [changes, kind] of others) {
      expect(await choosePacks(problem(changes), solver)).toMatchObject({
        ok: false,
        error: { kind },
      });
    }
  });
});
