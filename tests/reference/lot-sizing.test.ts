import { describe, expect, it } from 'vitest';
import { planBatches, type BatchProblem } from '../../api/core/batches/index.ts';
import { unwrap } from '../../api/core/shared/index.ts';

const DAY = 1440;

/** Periods as days: a need each day, a slot each day, one unit a batch, no limits. */
function lotSizing(
  demand: readonly number[],
  setup: readonly number[],
  holding: number,
  keepsDays = 99,
): BatchProblem {
  return {
    needs: demand.map((quantity, day) => ({
      id: `d${day}`,
      atMin: day * DAY,
      untilMin: day * DAY,
      quantity,
    })),
    rule: { batchQuantity: 1, minBatches: 1, multiple: 1 },
    slots: demand.map((_, day) => ({
      id: `d${day}`,
      startMin: day * DAY,
      readyMin: day * DAY,
      useByMin: (day + keepsDays) * DAY,
      setupCost: setup[day] ?? 0,
    })),
    costs: { setup: 0, perUnitWaste: 1e6, holdingPerUnitPerDay: holding, agePenalty: 0 },
  };
}
const same = (value: number, n: number): number[] => Array.from({ length: n }, () => value);

// Optimal costs are compared, not plans: ties are common.
describe('published lot-sizing examples, to the optimal cost', () => {
  const cases: [string, number[], number[], number, number][] = [
    [
      'Wagner & Whitin 1958, Management Science 5(1): twelve months, 864',
      [69, 29, 36, 61, 61, 26, 34, 67, 45, 67, 79, 56],
      [85, 102, 102, 101, 98, 114, 105, 86, 119, 110, 98, 114],
      1,
      864,
    ],
    [
      'Silver, Pyke & Peterson (data and cost from memory), 501.20',
      [10, 62, 12, 130, 154, 129, 88, 52, 124, 160, 238, 41],
      same(54, 12),
      0.4,
      501.2,
    ],
    ['Nahmias, five weeks, 310', [18, 30, 42, 5, 20], same(80, 5), 2, 310],
    ['Nahmias, four periods (from memory), 248', [52, 87, 23, 56], same(75, 4), 1, 248],
    [
      'Hopp & Spearman, Factory Physics (costs from memory), 580',
      [20, 50, 10, 50, 50, 10, 20, 40, 20, 30],
      same(100, 10),
      1,
      580,
    ],
    [
      'Nahmias, trumpets (from memory), 610.20',
      [42, 42, 32, 12, 26, 112, 45, 14, 76, 38],
      same(132, 10),
      0.6,
      610.2,
    ],
  ];
  it.each(cases)('%s', (_name, demand, setup, holding, cost) => {
    const plan = unwrap(planBatches(lotSizing(demand, setup, holding)));
    expect(plan.cost).toBeCloseTo(cost, 6);
    expect(plan.gap).toBeCloseTo(0, 9);
    expect(plan.unmet).toEqual([]);
  });

  it('a shelf life of one and of two periods costs 1234 and 901 on the Wagner–Whitin data (own limit, computed)', () => {
    const [, demand, setup] = cases[0] ?? ['', [], []];
    const costs = [0, 1].map(
      (keeps) => unwrap(planBatches(lotSizing(demand, setup, 1, keeps))).cost,
    );
    expect(costs[0]).toBeCloseTo(1234, 6);
    expect(costs[1]).toBeCloseTo(901, 6);
  });
});
