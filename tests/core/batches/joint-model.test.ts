import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { evaluateRuns } from '../../../api/core/batches/evaluate-runs.ts';
import { planBatches } from '../../../api/core/batches/index.ts';
import type { BatchProblem, JointComponent } from '../../../api/core/batches/index.ts';
import { jointModel } from '../../../api/core/batches/joint-model.ts';
import type { ModelAim } from '../../../api/core/batches/component-rows.ts';
import { highsSolver } from '../../../api/core/milp/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';
import { smallProblem } from './batch-arbitrary.ts';

const solver = highsSolver();

function named(problem: BatchProblem): JointComponent {
  return { ...problem, component: { id: 'c', name: 'Component' } };
}

async function solved(component: JointComponent, aim: ModelAim) {
  const built = jointModel([component], [], aim);
  const answer = await solver.solve(built.model, { relativeGap: 0 });
  const steps = built.stepsFrom(answer.values).get('c') ?? new Map<string, number>();
  return { answer, evaluated: evaluateRuns(component, steps) };
}

const CASES = { numRuns: 150, seed: 7_042_026 };

async function modelAgreesWithRecursion(problem: BatchProblem): Promise<void> {
  const plan = unwrap(planBatches(problem));
  const component = named(problem);
  const short = plan.unmet.reduce((sum, { quantity }) => sum + quantity, 0);
  const batches = short / problem.rule.batchQuantity;
  const least = await solved(component, {
    minimise: 'unmet',
    mostShort: Infinity,
    firstExpiringFirst: false,
  });
  expect(least.answer.objective).toBeCloseTo(batches, 5);
  const mostShort = batches === 0 ? 0 : batches + 1e-6;
  const kitchen = await solved(component, {
    minimise: 'cost',
    mostShort,
    firstExpiringFirst: true,
  });
  expect(kitchen.answer.objective).toBeCloseTo(plan.cost, 3);
  expect(kitchen.evaluated.cost).toBeCloseTo(plan.cost, 3);
  const free = await solved(component, { minimise: 'cost', mostShort, firstExpiringFirst: false });
  expect(free.answer.objective).toBeLessThanOrEqual(plan.cost + 1e-3);
}

describe('the mixed-integer model of one component', () => {
  it('costs what the exact recursion costs, with the first-expiring rule; and no more without it', async () => {
    await fc.assert(
      fc.asyncProperty(smallProblem({ unordered: false }), modelAgreesWithRecursion),
      CASES,
    );
  });

  it('does so too when stock outlives batches and services overlap', async () => {
    await fc.assert(
      fc.asyncProperty(smallProblem({ unordered: true }), modelAgreesWithRecursion),
      CASES,
    );
  });

  it('agrees on finely divisible batches, where the recursion tries only some counts', async () => {
    const fine = fc
      .record({
        demand: fc.array(fc.integer({ min: 0, max: 900 }), { minLength: 2, maxLength: 6 }),
        life: fc.integer({ min: 1, max: 4 }),
        setup: fc.integer({ min: 20, max: 900 }),
        minBatches: fc.constantFrom(0, 0.5, 1.5),
        waste: fc.constantFrom(1, 3),
      })
      .map(({ demand, life, setup, minBatches, waste }): BatchProblem => ({
        needs: demand.map((quantity, day) => ({
          id: `n${day}`,
          atMin: day * 1440 + 700,
          untilMin: day * 1440 + 800,
          quantity,
        })),
        slots: demand.map((_, day) => ({
          id: `s${day}`,
          startMin: day * 1440,
          readyMin: day * 1440 + 600,
          useByMin: (day + life) * 1440,
        })),
        rule: { batchQuantity: 200, multiple: 0.02, minBatches },
        costs: {
          setup,
          perUnitWaste: waste,
          holdingPerUnitPerDay: 0.5,
          agePenalty: 0.25,
          perBatch: 3,
        },
      }));
    let fineRuns = 0;
    await fc.assert(
      fc.asyncProperty(fine, async (problem) => {
        const plan = unwrap(planBatches(problem));
        expect(plan.method).toBe('dynamic-programming');
        if (plan.runs.some(({ batches }) => batches / 0.02 > 64)) fineRuns += 1;
        const model = await solved(named(problem), {
          minimise: 'cost',
          mostShort: 0,
          firstExpiringFirst: true,
        });
        expect(model.answer.objective).toBeCloseTo(plan.cost, 3);
      }),
      { numRuns: 60, seed: 11 },
    );
    expect(fineRuns).toBeGreaterThan(30);
  });
});
