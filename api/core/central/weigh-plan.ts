import { VersionsByDate } from '../planning/index.ts';
import type { PlannedTask, PlanVersion, SitePlan, SitePlanInput } from '../planning/index.ts';
import { stepsOf } from '../planning/production-slots.ts';
import { byKind, makingsOf, mostAtOnce, sizedSteps } from '../schedule/index.ts';

/** What a plan of a site costs and leaves short. */
export interface PlanWeight {
  /** Hands on every making, minutes: a larger making takes less than two smaller ones. */
  readonly workMin: number;
  /** Getting out and cleaning down, waste, days in the fridge: the rest of the plan's cost, minutes. */
  readonly planMin: number;
  /** Whatever is short, in batches, so that different components can be added up. */
  readonly shortBatches: number;
}

/** Weighs a plan of a site with the input it was worked out from. */
export function weighPlan(plan: SitePlan, input: SitePlanInput): PlanWeight {
  const versions = new VersionsByDate(input.versions);
  const workMin = plan.tasks.reduce((sum, task) => sum + handsMin(task, input, versions), 0);
  const shortBatches = plan.shortages.reduce((sum, { itemId, quantity, serviceDate }) => {
    const version = versions.on(itemId, serviceDate);
    const batch = version?.recipe.outputs.find(({ main }) => main)?.quantity ?? quantity;
    return sum + quantity / batch;
  }, 0);
  const { costMin, handsMin: handsAsChosen } = plan.solution;
  return { workMin, planMin: costMin - handsAsChosen, shortBatches };
}

export function addWeights(weights: readonly PlanWeight[]): PlanWeight {
  return weights.reduce<PlanWeight>(
    (sum, one) => ({
      workMin: sum.workMin + one.workMin,
      planMin: sum.planMin + one.planMin,
      shortBatches: sum.shortBatches + one.shortBatches,
    }),
    { workMin: 0, planMin: 0, shortBatches: 0 },
  );
}

function handsMin(task: PlannedTask, input: SitePlanInput, versions: VersionsByDate): number {
  const version = versionOf(task, input, versions);
  if (!version) return 0;
  const kinds = byKind(input.equipment ?? []);
  const { batchLimits } = version.recipe;
  const most = mostAtOnce(
    version.steps,
    kinds,
    batchLimits?.stepBatches ?? 1,
    batchLimits?.maximumBatches,
  );
  return makingsOf(task.batches, most).reduce(
    (sum, batches) =>
      sum +
      sizedSteps(stepsOf(version.steps), batches, kinds).reduce(
        (all, { workingMin, hands = 1 }) => all + workingMin * hands,
        0,
      ),
    0,
  );
}

function versionOf(
  task: PlannedTask,
  input: SitePlanInput,
  versions: VersionsByDate,
): PlanVersion | undefined {
  const onDate = versions.on(task.itemId, task.neededBy[0]?.serviceDate ?? task.makeDate);
  if (onDate?.versionId === task.versionId) return onDate;
  return input.versions.find(({ versionId }) => versionId === task.versionId);
}
