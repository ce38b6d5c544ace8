import { describe, expect, it } from 'vitest';
import { planSite } from '../../../api/core/planning/index.ts';
import type { PlanVersion } from '../../../api/core/planning/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { both, planInput, service, versions } from './lake-scenario.ts';

const RUN_MIN = 20;
const days = ['2026-03-10', '2026-03-11', '2026-03-12', '2026-03-13'];
const planned = (curdSteps: PlanVersion['steps']) => {
  const plan = unwrap(
    planSite(
      planInput(
        days.map((date) => service(date, 'Dinner', 60, both)),
        { versions: versions.map((v) => (v.itemId === 'curd' ? { ...v, steps: curdSteps } : v)) },
      ),
    ),
  );
  const curd = plan.tasks.filter(({ itemId }) => itemId === 'curd');
  return {
    plan,
    cost: plan.solution.components.find(({ itemId }) => itemId === 'curd'),
    runs: curd.length,
    batches: curd.reduce((sum, { batches }) => sum + batches, 0),
  };
};

describe('what a plan costs', () => {
  it('holds the hands on its makings: those that grow by the batch, the others by the run', () => {
    // Two people stir for ten minutes, whatever is in the pan; one weighs and fills, 12 min a batch.
    const { plan, cost, runs, batches } = planned([
      { id: 'weigh', workingMin: 12, waitingMin: 0, growingFraction: 1 },
      { id: 'stir', workingMin: 10, waitingMin: 360, hands: 2, holdMaxMin: 2880 },
    ]);
    expect(runs).toBeGreaterThan(0);
    expect(cost?.handsMin).toBeCloseTo(20 * runs + 12 * batches, 9);
    expect(cost?.costMin).toBeGreaterThanOrEqual((RUN_MIN + 20) * runs + 12 * batches);
    const all = plan.solution.components.reduce((sum, { handsMin }) => sum + handsMin, 0);
    expect(plan.solution.handsMin).toBeCloseTo(all, 9);
    expect(plan.solution.costMin).toBeGreaterThan(plan.solution.handsMin);
  });
});
