import fc from 'fast-check';
import { expect, it } from 'vitest';
import { planBatches } from '../../../api/core/batches/index.ts';
import type { BatchProblem } from '../../../api/core/batches/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';

const DAY = 1440;

/** A fortnight of a component with fine batches, stock of several ages and needs that end out of order. */
const fortnight: fc.Arbitrary<BatchProblem> = fc
  .record({
    needs: fc.array(
      fc.record({
        at: fc.integer({ min: 600, max: 14 * DAY }),
        length: fc.constantFrom(0, 0, 150),
        quantity: fc.integer({ min: 1, max: 60 }),
      }),
      { minLength: 3, maxLength: 12 },
    ),
    lots: fc.array(
      fc.record({
        from: fc.integer({ min: -2 * DAY, max: 2 * DAY }),
        quantity: fc.integer({ min: 1, max: 40 }),
      }),
      { maxLength: 3 },
    ),
    lifeDays: fc.integer({ min: 1, max: 6 }),
    multiple: fc.constantFrom(0.25, 0.5, 1),
    minBatches: fc.constantFrom(0.5, 1),
    setup: fc.constantFrom(0, 20, 60),
    horizon: fc.boolean(),
  })
  .map(({ needs, lots, lifeDays, multiple, minBatches, setup, horizon }) => ({
    needs: needs.map(({ at, length, quantity }, i) => ({
      id: `n${i}`,
      atMin: at,
      untilMin: at + length,
      quantity,
    })),
    rule: { batchQuantity: 20, minBatches, multiple },
    slots: Array.from({ length: 14 }, (_, day) => ({
      id: `s${day}`,
      startMin: day * DAY,
      readyMin: day * DAY + 300,
      useByMin: day * DAY + 300 + lifeDays * DAY,
    })),
    costs: {
      setup,
      perUnitWaste: 4.5,
      holdingPerUnitPerDay: 0.15,
      agePenalty: 0.15,
      endSurplusPerUnit: 1.1,
    },
    lots: lots.map(({ from, quantity }, i) => ({
      id: `l${i}`,
      quantity,
      availableFromMin: from,
      useByMin: from + lifeDays * DAY,
    })),
    planFromMin: 0,
    ...(horizon ? { horizonEndMin: 14 * DAY } : {}),
  }));

it('trying only the counts that can matter gives the cost of trying every count', () => {
  fc.assert(
    fc.property(fortnight, (problem) => {
      const few = unwrap(planBatches(problem));
      // A cap that never binds makes the recursion try every count.
      const every = unwrap(
        planBatches({
          ...problem,
          rule: { ...problem.rule, maxBatches: 50 / problem.rule.multiple },
        }),
      );
      const shortOf = (plan: typeof few): number =>
        plan.unmet.reduce((sum, { quantity }) => sum + quantity, 0);
      if (few.gap > 0 || every.gap > 0) return;
      expect(shortOf(few)).toBeCloseTo(shortOf(every), 6);
      expect(few.cost).toBeCloseTo(every.cost, 5);
    }),
    { numRuns: 150, seed: 20_260_318 },
  );
});

it('nearly every such fortnight is proven best, ends out of order or not', () => {
  let proven = 0;
  fc.assert(
    fc.property(fortnight, (problem) => {
      if (unwrap(planBatches(problem)).gap === 0) proven += 1;
    }),
    { numRuns: 100, seed: 20_260_319 },
  );
  expect(proven).toBeGreaterThanOrEqual(95);
});
