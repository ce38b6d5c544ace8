import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { highsSolver } from '../../../api/core/milp/index.ts';
import { choosePacks, consolidate } from '../../../api/core/ordering/index.ts';
import type { PackPlan, PackProblem } from '../../../api/core/ordering/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';
import { day, need, offer, problem, slot } from './problem-builder.ts';

const solver = highsSolver();

describe('central delivery with transfers', () => {
  const sites = ['lake', 'hill', 'pier'];
  const shared = (costPerTrip: string, tripDay = 3): PackProblem =>
    problem({
      needs: sites.map((siteId) => need('sugar', 4, 4, { siteId })),
      offers: [offer('s5', 'sugar', 5, '10', { shelfLifeDays: 200 })],
      suppliers: [{ supplierId: 'A', minOrderValue: '20', deliveryCharge: '9' }],
      slots: sites.map((siteId) => slot(2, { siteId })),
      transfers: ['hill', 'pier'].map((toSiteId) => ({
        fromSiteId: 'lake',
        toSiteId,
        tripDates: [day(tripDay)],
        costPerTrip,
        handlingDays: 0,
      })),
    });

  it('is taken when cheaper under the same rules, with the loads of each trip', async () => {
    const result = unwrap(await consolidate(shared('2'), solver, { relativeGap: 0 }));
    // Apart: 3 x (2 packs 20 + 9) = 87. Together: 12 in 3 packs 30 + 9 + two trips 4 = 43.
    expect(result.separate.cost).toBe('87');
    expect(result.together.cost).toBe('43');
    expect(result).toMatchObject({ choice: 'together', saving: '44' });
    const { orders, transfers, shortfalls } = result.together;
    expect(orders.map((o) => [o.siteId, o.lines[0]?.packs])).toEqual([['lake', 3]]);
    expect(transfers.map((t) => [t.toSiteId, t.tripDate])).toEqual([
      ['hill', day(3)],
      ['pier', day(3)],
    ]);
    for (const trip of transfers) expect(trip.loads[0]?.quantityBase).toBeCloseTo(4, 5);
    expect(shortfalls).toEqual([]);
    expect(orders[0]?.lines[0]?.uses.map((u) => u.siteId).sort()).toEqual([...sites].sort());
  });

  it('is left when trips cost more than they save or come too late', async () => {
    const dear = unwrap(await consolidate(shared('40'), solver, { relativeGap: 0 }));
    expect(dear).toMatchObject({ choice: 'separate', saving: '0' });
    const late = unwrap(await consolidate(shared('2', 5), solver, { relativeGap: 0 }));
    expect(late.choice).toBe('separate');
    expect(late.together.transfers).toEqual([]);
  });

  it('needs routes', async () => {
    const none = { ...shared('2'), transfers: [] };
    expect(await consolidate(none, solver)).toMatchObject({
      ok: false,
      error: { kind: 'missing-data' },
    });
  });
});

const carried = (plan: PackPlan): number[][] =>
  plan.transfers.map((trip) => trip.loads.map((load) => Math.round(load.quantityBase * 1e4) / 1e4));

describe('a trip with a limit of mass', () => {
  /** Two trips to hill, of ten grams each unless said otherwise; sugar and syrup for day 6. */
  const limited = (
    massLimitG: number | undefined,
    syrup: { quantity: number; massPerBaseG?: number } = { quantity: 0 },
  ): PackProblem =>
    problem({
      needs: [
        need('sugar', 6, 12, { siteId: 'hill' }),
        need('sugar', 6, 8),
        need('syrup', 6, syrup.quantity, { siteId: 'hill' }),
      ],
      offers: [
        offer('s20', 'sugar', 20, '10', { shelfLifeDays: 200, massPerBaseG: 1 }),
        offer('y5', 'syrup', 5, '4', {
          shelfLifeDays: 200,
          ...(syrup.massPerBaseG === undefined ? {} : { massPerBaseG: syrup.massPerBaseG }),
        }),
      ],
      suppliers: [{ supplierId: 'A', deliveryCharge: '9' }],
      slots: ['lake', 'hill'].map((siteId) => slot(2, { siteId })),
      transfers: [3, 4].map((tripDay) => ({
        fromSiteId: 'lake',
        toSiteId: 'hill',
        tripDates: [day(tripDay)],
        costPerTrip: '1',
        handlingDays: 1,
        ...(massLimitG === undefined ? {} : { massLimitG }),
      })),
    });
  const together = async (given: PackProblem) =>
    unwrap(await choosePacks(given, solver, { relativeGap: 0 }));

  it('carries no more than it takes, and what is over goes with the next', async () => {
    expect(carried(await together(limited(undefined)))).toEqual([[12]]);
    const plan = await together(limited(10));
    expect(plan.transfers).toHaveLength(2);
    for (const [load = 0] of carried(plan)) expect(load).toBeLessThanOrEqual(10);
    expect(
      carried(plan)
        .flat()
        .reduce((a, b) => a + b, 0),
    ).toBeCloseTo(12, 4);
    // One pack of 10, a delivery of 9, two trips.
    expect(plan.cost).toBe('21');
  });

  it('counts all that goes on it together, each by what it weighs', async () => {
    // Twelve grams of sugar and five of syrup at 1.4 g each: 19 of 20 g, so two trips take it all.
    const fits = await together(limited(10, { quantity: 5, massPerBaseG: 1.4 }));
    expect(fits.orders.map(({ siteId }) => siteId)).toEqual(['lake']);
    const mass = fits.transfers.map((trip) =>
      trip.loads.reduce(
        (sum, load) => sum + load.quantityBase * (load.ingredientId === 'syrup' ? 1.4 : 1),
        0,
      ),
    );
    for (const one of mass) expect(one).toBeLessThanOrEqual(10 + 1e-6);
    // At 1.7 g they are 20.5: some of it must be delivered to hill itself.
    const over = await together(limited(10, { quantity: 5, massPerBaseG: 1.7 }));
    expect(over.orders.map(({ siteId }) => siteId)).toEqual(['hill', 'lake']);
    expect(over.shortfalls).toEqual([]);
  });

  it('takes nothing of which nobody knows the weight, and nothing when it is full', async () => {
    const unknown = await together(limited(10, { quantity: 5 }));
    expect(
      unknown.transfers.flatMap((trip) => trip.loads).map((load) => load.ingredientId),
    ).not.toContain('syrup');
    expect(unknown.orders.map(({ siteId }) => siteId)).toContain('hill');
    expect((await together(limited(0))).transfers).toEqual([]);
    const free = await together(limited(undefined, { quantity: 5 }));
    expect(free.orders.map(({ siteId }) => siteId)).toEqual(['lake']);
  });

  it('leaves a need open, by name and amount, where no other way brings the rest', async () => {
    const only = { ...limited(5), slots: [slot(2)] };
    const plan = await together(only);
    expect(plan.shortfalls).toMatchObject([{ siteId: 'hill', ingredientId: 'sugar' }]);
    expect(plan.shortfalls[0]?.quantityBase).toBeCloseTo(2, 4);
  });
});

describe('buying together against every possible choice', () => {
  const small = fc.record({
    lake: fc.integer({ min: 1, max: 3 }),
    hillSoon: fc.integer({ min: 1, max: 4 }),
    hillLate: fc.integer({ min: 0, max: 3 }),
    big: fc.integer({ min: 3, max: 5 }),
    bigPrice: fc.integer({ min: 4, max: 12 }),
    smallPrice: fc.integer({ min: 2, max: 9 }),
    charges: fc.tuple(fc.integer({ min: 0, max: 9 }), fc.integer({ min: 0, max: 9 })),
    trips: fc.tuple(fc.integer({ min: 0, max: 5 }), fc.integer({ min: 0, max: 5 })),
    limits: fc.tuple(fc.integer({ min: 0, max: 5 }), fc.integer({ min: 0, max: 5 })),
  });
  type Small = typeof small extends fc.Arbitrary<infer One> ? One : never;

  // A delivers big packs to lake on day 1, B single ones to hill on day 2. Trips leave with what is
  // usable on days 2 and 4 and are unpacked a day later; hill needs sugar on days 4 and 6.
  const problemOf = (one: Small): PackProblem =>
    problem({
      needs: [
        need('sugar', 4, one.lake),
        need('sugar', 4, one.hillSoon, { siteId: 'hill' }),
        need('sugar', 6, one.hillLate, { siteId: 'hill' }),
      ],
      offers: [
        offer('big', 'sugar', one.big, String(one.bigPrice), { shelfLifeDays: 9, massPerBaseG: 1 }),
        offer('one', 'sugar', 1, String(one.smallPrice), {
          supplierId: 'B',
          shelfLifeDays: 9,
          massPerBaseG: 1,
        }),
      ],
      suppliers: [
        { supplierId: 'A', deliveryCharge: String(one.charges[0]) },
        { supplierId: 'B', deliveryCharge: String(one.charges[1]) },
      ],
      slots: [slot(1), slot(2, { supplierId: 'B', siteId: 'hill' })],
      horizonEnd: day(8),
      transfers: [2, 4].map((tripDay, i) => ({
        fromSiteId: 'lake',
        toSiteId: 'hill',
        tripDates: [day(tripDay)],
        costPerTrip: String(one.trips[i]),
        handlingDays: 1,
        massLimitG: one.limits[i] ?? 0,
      })),
    });

  /** Least cost over all counts of packs and all loads. Written apart from the core. */
  const cheapest = (one: Small): number => {
    let best = Infinity;
    const { lake, hillSoon, hillLate } = one;
    for (let big = 0; big * one.big <= lake + hillSoon + hillLate + one.big; big += 1) {
      for (let single = 0; single <= hillSoon + hillLate; single += 1) {
        for (let soon = 0; soon <= one.limits[0]; soon += 1) {
          for (let late = 0; late <= one.limits[1]; late += 1) {
            const stays = big * one.big - soon - late;
            // The second trip is unpacked on day 5: it serves day 6 only.
            const forSoon = single + soon >= hillSoon;
            const forBoth = single + soon + late >= hillSoon + hillLate;
            if (stays < lake || !forSoon || !forBoth) continue;
            const cost =
              big * one.bigPrice +
              (big > 0 ? one.charges[0] : 0) +
              single * one.smallPrice +
              (single > 0 ? one.charges[1] : 0) +
              (soon > 0 ? one.trips[0] : 0) +
              (late > 0 ? one.trips[1] : 0);
            best = Math.min(best, cost);
          }
        }
      }
    }
    return best;
  };

  it('costs exactly as little as the best of all choices, within what each trip takes', async () => {
    let carriedSome = 0;
    await fc.assert(
      fc.asyncProperty(small, async (one) => {
        const plan = unwrap(await choosePacks(problemOf(one), solver, { relativeGap: 0 }));
        expect(plan.shortfalls).toEqual([]);
        expect(Number(plan.cost)).toBeCloseTo(cheapest(one), 6);
        for (const trip of plan.transfers) {
          const limit = one.limits[trip.tripDate === day(2) ? 0 : 1];
          const mass = trip.loads.reduce((sum, load) => sum + load.quantityBase, 0);
          expect(mass).toBeLessThanOrEqual(limit + 1e-6);
          carriedSome += 1;
        }
      }),
      { numRuns: 150, seed: 6 },
    );
    expect(carriedSome).toBeGreaterThan(20);
  }, 120_000);

  it('never leaves more open and never costs more than each site for itself', async () => {
    await fc.assert(
      fc.asyncProperty(small, async (one) => {
        const given = {
          ...problemOf(one),
          slots: [...problemOf(one).slots, slot(1, { siteId: 'hill' })],
        };
        const both = unwrap(await consolidate(given, solver, { relativeGap: 0 }));
        expect(Number(both.together.cost)).toBeLessThanOrEqual(Number(both.separate.cost) + 1e-6);
        expect(Number(both.saving)).toBeGreaterThanOrEqual(0);
      }),
      { numRuns: 60, seed: 8 },
    );
  }, 120_000);
});
