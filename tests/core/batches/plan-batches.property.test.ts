import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { planBatches } from '../../../api/core/batches/index.ts';
import type { BatchPlan, BatchProblem } from '../../../api/core/batches/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';
import { smallProblem } from './batch-arbitrary.ts';
import { bestOfEveryChoice } from './every-choice.ts';

const RUNS = { numRuns: 400, seed: 20_260_314 };

function unmetOf(plan: BatchPlan): number {
  return plan.unmet.reduce((sum, { quantity }) => sum + quantity, 0);
}

function expectBest(problem: BatchProblem): BatchPlan {
  const plan = unwrap(planBatches(problem));
  const best = bestOfEveryChoice(problem);
  expect(unmetOf(plan)).toBeCloseTo(best.short, 6);
  expect(plan.cost).toBeCloseTo(best.cost, 6);
  expect(plan.gap).toBe(0);
  return plan;
}

describe('planBatches against every possible choice', () => {
  it('equals it when batches and services follow the same order', () => {
    let methods = 0;
    fc.assert(
      fc.property(smallProblem({ unordered: false }), (problem) => {
        if (expectBest(problem).method === 'dynamic-programming') methods += 1;
      }),
      RUNS,
    );
    expect(methods).toBeGreaterThanOrEqual(RUNS.numRuns);
  });

  it('equals it when a later batch may expire first and services overlap', () => {
    const methods = new Set<string>();
    fc.assert(
      fc.property(smallProblem({ unordered: true }), (problem) => {
        methods.add(expectBest(problem).method);
      }),
      RUNS,
    );
    expect(methods).toContain('stock-states');
  });

  it('makes nothing while stock that is in date to the end would do', () => {
    fc.assert(
      fc.property(
        smallProblem({ unordered: true }),
        fc.integer({ min: 0, max: 50 }),
        (problem, more) => {
          const wanted = problem.needs.reduce((sum, { quantity }) => sum + quantity, 0);
          const first = Math.min(...problem.needs.map(({ atMin }) => atMin));
          const last = Math.max(...problem.needs.map(({ untilMin }) => untilMin));
          const { needs, slots, rule, costs } = problem;
          const plan = unwrap(
            planBatches({
              ...{ needs, slots, rule, costs },
              lots: [
                {
                  id: 'plenty',
                  quantity: wanted + more,
                  availableFromMin: first - 1440,
                  useByMin: last + 30 * 1440,
                },
              ],
            }),
          );
          expect(plan.runs).toEqual([]);
          expect(plan.unmet).toEqual([]);
        },
      ),
      RUNS,
    );
  });

  it('leaves no more short with more stock than with less', () => {
    fc.assert(
      fc.property(
        smallProblem({ unordered: false }),
        fc.integer({ min: 1, max: 12 }),
        (problem, extra) => {
          const first = Math.min(...problem.needs.map(({ atMin }) => atMin));
          const lot = {
            id: 'extra',
            quantity: extra,
            availableFromMin: first - 1440,
            useByMin: first + 60 * 1440,
          };
          const before = unwrap(planBatches(problem));
          const after = unwrap(planBatches({ ...problem, lots: [...(problem.lots ?? []), lot] }));
          expect(unmetOf(after)).toBeLessThanOrEqual(unmetOf(before) + 1e-9);
        },
      ),
      RUNS,
    );
  });

  it('keeps to batch limits, shelf life and the amount of each need', () => {
    fc.assert(
      fc.property(smallProblem({ unordered: true }), (problem) => {
        const plan = unwrap(planBatches(problem));
        const served = new Map<string, number>();
        for (const run of plan.runs) {
          const slot = problem.slots.find(({ id }) => id === run.slotId);
          if (!slot) throw new Error(`Unknown slot ${run.slotId}`);
          expect(run.batches).toBeGreaterThanOrEqual(problem.rule.minBatches);
          expect(run.batches).toBeLessThanOrEqual(
            Math.min(problem.rule.maxBatches ?? 99, slot.capacityBatches ?? 99),
          );
          expect((run.batches / problem.rule.multiple) % 1).toBe(0);
          const used = run.allocations.reduce((sum, { quantity }) => sum + quantity, 0);
          expect(used + run.surplus).toBeCloseTo(run.quantity, 9);
          for (const { needId, quantity } of run.allocations) {
            const need = problem.needs.find(({ id }) => id === needId);
            if (!need) throw new Error(`Unknown need ${needId}`);
            expect(slot.readyMin).toBeLessThanOrEqual(need.atMin);
            expect(slot.useByMin).toBeGreaterThanOrEqual(need.untilMin);
            served.set(needId, (served.get(needId) ?? 0) + quantity);
          }
        }
        for (const { needId, quantity } of plan.fromStock) {
          served.set(needId, (served.get(needId) ?? 0) + quantity);
        }
        for (const need of problem.needs) {
          const missing = plan.unmet.find(({ needId }) => needId === need.id)?.quantity ?? 0;
          expect((served.get(need.id) ?? 0) + missing).toBeCloseTo(need.quantity, 9);
        }
      }),
      RUNS,
    );
  });
});
