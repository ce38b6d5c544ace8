import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { evaluateRuns } from '../../../api/core/batches/evaluate-runs.ts';
import { improveInStretches } from '../../../api/core/batches/improve-in-stretches.ts';
import type { Weighed } from '../../../api/core/batches/improve-in-stretches.ts';
import { jointModel, planTogether, usersFirst } from '../../../api/core/batches/index.ts';
import type { JointComponent, JointSteps } from '../../../api/core/batches/index.ts';
import { withDependentNeeds } from '../../../api/core/batches/joint-problem.ts';
import { oneAfterAnother } from '../../../api/core/batches/one-after-another.ts';
import { highsSolver } from '../../../api/core/milp/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { twoLevels } from './joint-arbitrary.ts';

const solver = highsSolver();
const limits = { relativeGap: 1e-6, maxNodes: 2000, timeLimitS: 30 };

/** What steps cost, or null where they leave something short. */
const weighing =
  (components: readonly JointComponent[]) =>
  (steps: JointSteps): Weighed | null => {
    let cost = 0;
    for (const one of components) {
      const its = steps.get(one.component.id) ?? new Map<string, number>();
      const runs = evaluateRuns(withDependentNeeds(one, components, steps), its);
      if (runs.totalShort > 1e-6) return null;
      cost += runs.cost;
    }
    return { steps, cost };
  };

async function improved(components: readonly JointComponent[], start: Weighed, days: number) {
  const built = jointModel(components, [], {
    minimise: 'cost',
    mostShort: 0,
    firstExpiringFirst: true,
  });
  const search = { days, stepDays: 1, rounds: 3, limits };
  return improveInStretches(built, components, start, {
    solver,
    search,
    weigh: weighing(components),
  });
}

describe('runs chosen anew a stretch of days at a time', () => {
  it('cost no more than before and no less than the best there is; the best where all is one stretch', async () => {
    let gained = 0;
    await fc.assert(
      fc.asyncProperty(twoLevels, async (given) => {
        // From one start to one end, as planTogether counts the days that stock waits.
        const components = unwrap(
          usersFirst({
            components: given.map((one) => ({ ...one, planFromMin: 0, stockWaitsToMin: 4 * 1440 })),
            capacities: [],
          }),
        );
        const start = weighing(components)(oneAfterAnother(components, []).steps);
        if (!start) return;
        const best = unwrap(await planTogether({ components, capacities: [] }, { solver, limits }));
        const [few, all] = [
          await improved(components, start, 2),
          await improved(components, start, 30),
        ];
        expect(few.cost).toBeLessThanOrEqual(start.cost + 1e-9);
        expect(few.cost).toBeGreaterThanOrEqual(best.bound - 1e-4 * Math.max(1, best.cost));
        expect(all.cost).toBeLessThanOrEqual(best.cost + 1e-4 * Math.max(1, best.cost));
        if (few.cost < start.cost - 1e-6) gained += 1;
      }),
      { numRuns: 80 },
    );
    expect(gained).toBeGreaterThan(3);
  });
});
