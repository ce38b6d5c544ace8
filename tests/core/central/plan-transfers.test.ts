import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { planTransfers, type TransferProblem } from '../../../api/core/central/index.ts';
import { highsSolver } from '../../../api/core/milp/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { everyLoad } from './every-load.ts';
import { transferProblem, trip } from './transfer-arbitrary.ts';

const solver = highsSolver();
const plan = async (problem: TransferProblem) => unwrap(await planTransfers(problem, solver));
const DAY = 24 * 60;
const at = (day: number, hour: number): number => day * DAY + hour * 60;

/** One kind of goods in boxes of ten, a batch of twenty, that keeps four days after leaving. */
const one = (
  trips: TransferProblem['trips'],
  needs: readonly { day: number; quantity: number }[],
  extra: Partial<TransferProblem['goods'][number]> = {},
): TransferProblem => ({
  trips,
  goods: [
    {
      id: 'meringue',
      name: 'Meringue',
      containerQuantity: 10,
      containerMassG: 500,
      batchQuantity: 20,
      needs: needs.map(({ day, quantity }, i) => ({
        id: `need-${i}`,
        atMin: at(day, 12),
        untilMin: at(day, 15),
        quantity,
      })),
      keepsUntilMin: Object.fromEntries(trips.map((t) => [t.id, t.leaveMin + 4 * DAY])),
      ...extra,
    },
  ],
});

describe('a plan of transfers', () => {
  it('never breaks a limit, and loses nothing on the way', async () => {
    await fc.assert(
      fc.asyncProperty(transferProblem, async (problem) => {
        const { transfers, notSent, tripIds } = await plan(problem);
        for (const t of problem.trips) {
          const here = transfers.filter((x) => x.tripId === t.id);
          const containers = here.reduce((sum, x) => sum + x.containers, 0);
          const massG = here.reduce((sum, x) => {
            const goods = problem.goods.find(({ id }) => id === x.goodsId);
            return sum + x.containers * (goods?.containerMassG ?? 0);
          }, 0);
          expect(containers).toBeLessThanOrEqual(t.containerLimit ?? Infinity);
          expect(massG).toBeLessThanOrEqual(t.massLimitG ?? Infinity);
          if (containers > 0) expect(containers).toBeGreaterThanOrEqual(t.minimumContainers ?? 1);
          expect(tripIds.includes(t.id)).toBe(containers > 0);
        }
        for (const goods of problem.goods) {
          const mine = transfers.filter((x) => x.goodsId === goods.id);
          for (const x of mine) {
            const t = problem.trips.find(({ id }) => id === x.tripId);
            const served = x.serves.reduce((sum, s) => sum + s.quantity, 0);
            // What leaves is whole containers, and is what arrives: served or surplus.
            expect(x.quantity).toBe(x.containers * goods.containerQuantity);
            expect(served + x.surplus).toBeCloseTo(x.quantity, 6);
            expect(x.quantity).toBeLessThanOrEqual(goods.mostOnTrip?.[x.tripId] ?? Infinity);
            for (const { needId } of x.serves) {
              const need = goods.needs.find(({ id }) => id === needId);
              expect(t?.arriveMin).toBeLessThanOrEqual(need?.atMin ?? -1);
              expect(need?.untilMin).toBeLessThanOrEqual(goods.keepsUntilMin[x.tripId] ?? -1);
            }
          }
          for (const need of goods.needs) {
            const sent = mine
              .flatMap((x) => x.serves)
              .filter(({ needId }) => needId === need.id)
              .reduce((sum, s) => sum + s.quantity, 0);
            const open = notSent.find((n) => n.needId === need.id)?.quantity ?? 0;
            expect(sent + open).toBeCloseTo(need.quantity, 4);
          }
        }
      }),
      { numRuns: 150 },
    );
  });

  it('leaves as little unmet, and then costs as little, as any number of containers on any trip', async () => {
    await fc.assert(
      fc.asyncProperty(transferProblem, async (problem) => {
        const found = await plan(problem);
        const best = everyLoad(problem);
        const unmet = found.notSent.reduce((sum, { goodsId, quantity }) => {
          const goods = problem.goods.find(({ id }) => id === goodsId);
          return sum + quantity / (goods?.batchQuantity ?? 1);
        }, 0);
        expect(found.method).toBe('mixed-integer');
        expect(unmet).toBeCloseTo(best.unmetBatches, 4);
        expect(found.costMin).toBeCloseTo(best.costMin, 3);
        expect(found.boundMin).toBe(found.costMin);
      }),
      { numRuns: 250 },
    );
  }, 120_000);

  it('goes on one trip where age is cheaper than a second, and on two where it is not', async () => {
    const trips = [trip(0), trip(3)];
    const little = await plan(
      one(trips, [
        { day: 0, quantity: 4 },
        { day: 3, quantity: 4 },
      ]),
    );
    // Both fit one box: carrying a second would cost a trip, a packing and a box.
    expect(little.transfers.map((x) => [x.tripId, x.containers])).toEqual([['trip-0', 1]]);
    const much = await plan(
      one(trips, [
        { day: 0, quantity: 10 },
        { day: 3, quantity: 80 },
      ]),
    );
    // Eighty are four batches: three days older would cost 4 × 3 × 6 minutes, a trip 21.
    expect(much.transfers.map((x) => [x.tripId, x.containers])).toEqual([
      ['trip-0', 1],
      ['trip-3', 8],
    ]);
  });

  it('says why something stays unmet', async () => {
    const why = async (problem: TransferProblem) =>
      (await plan(problem)).notSent.map(({ needId, quantity, reason }) => [
        needId,
        quantity,
        reason,
      ]);
    const need = [{ day: 1, quantity: 25 }];
    expect(await why(one([trip(2)], need))).toEqual([['need-0', 25, 'no-trip']]);
    expect(await why(one([trip(1)], need, { keepsUntilMin: {} }))).toEqual([
      ['need-0', 25, 'not-made-in-time'],
    ]);
    expect(await why(one([trip(1)], need, { keepsUntilMin: { 'trip-1': at(1, 14) } }))).toEqual([
      ['need-0', 25, 'does-not-keep'],
    ]);
    expect(await why(one([trip(1, { containerLimit: 2 })], need))).toEqual([
      ['need-0', 5, 'load-full'],
    ]);
    expect(await why(one([trip(1, { massLimitG: 999 })], need))).toEqual([
      ['need-0', 15, 'load-full'],
    ]);
    expect(await why(one([trip(1, { minimumContainers: 4 })], need))).toEqual([
      ['need-0', 25, 'minimum-load'],
    ]);
    expect(await why(one([trip(1)], need, { mostOnTrip: { 'trip-1': 10 } }))).toEqual([
      ['need-0', 15, 'maker-short'],
    ]);
  });

  it('carries nothing only to reach the least load of a trip', async () => {
    const small = one([trip(1, { minimumContainers: 3 })], [{ day: 1, quantity: 11 }]);
    expect((await plan(small)).transfers).toEqual([]);
    const enough = one([trip(1, { minimumContainers: 3 })], [{ day: 1, quantity: 21 }]);
    expect((await plan(enough)).transfers).toMatchObject([{ containers: 3, surplus: 9 }]);
  });

  it('reaches the least load of a trip with several goods together', async () => {
    const both = one([trip(1, { minimumContainers: 3 })], [{ day: 1, quantity: 11 }]);
    const [first] = both.goods;
    if (!first) throw new Error('There are goods.');
    const problem = { ...both, goods: [first, { ...first, id: 'paste', name: 'Paste' }] };
    expect((await plan(problem)).notSent).toEqual([]);
  });

  it('refuses what cannot be read, and names where', async () => {
    const broken = await planTransfers(
      one([trip(1)], [{ day: 1, quantity: 5 }], { containerQuantity: 0 }),
      solver,
    );
    expect(broken).toMatchObject({ ok: false, error: { path: ['goods', 0] } });
    const { goods, trips } = one([trip(1, { massLimitG: 5000 })], [{ day: 1, quantity: 5 }]);
    const [first] = goods;
    if (!first) throw new Error('There are goods.');
    const weightless = { ...first };
    delete weightless.containerMassG;
    const unweighed = await planTransfers({ trips, goods: [weightless] }, solver);
    expect(unweighed).toMatchObject({
      ok: false,
      error: { kind: 'missing-data', path: ['goods', 0, 'containerMassG'] },
    });
  });
});
