import { planBatches } from '../batches/index.ts';
import type { BatchPlan, PlanCosts, UnmetNeed } from '../batches/index.ts';
import type { OpenInterval } from '../calendar/index.ts';
import type { LotOnHand } from '../netting/index.ts';
import type { RecipeOutput } from '../recipe-graph/index.ts';
import type { Result } from '../shared/result.ts';
import { ok } from '../shared/result.ts';
import type { OpenNeed } from './open-needs.ts';
import type { PlanVersion } from './plan-input.ts';
import { productionSlots } from './production-slots.ts';
import type { DatedSlot } from './production-slots.ts';

/**
 * What the choice of batches weighs, in minutes of work. A run costs its getting out and cleaning
 * down; a batch thrown away costs as much as making it twice over; a day in the fridge is worth a
 * few minutes, so that nothing is made earlier than it helps. Common practice, no source.
 */
export const RUN_COST_MIN = 20;
const WASTED_BATCH_COST_MIN = 90;
const BATCH_DAY_IN_FRIDGE_COST_MIN = 3;
const BATCH_DAY_OLDER_COST_MIN = 3;

/** The cost terms of one recipe, per base unit. */
export function planCosts(batchQuantity: number): PlanCosts {
  return {
    setup: RUN_COST_MIN,
    perUnitWaste: WASTED_BATCH_COST_MIN / batchQuantity,
    holdingPerUnitPerDay: BATCH_DAY_IN_FRIDGE_COST_MIN / batchQuantity,
    agePenalty: BATCH_DAY_OLDER_COST_MIN / batchQuantity,
    perBatch: 0,
    // What is in date at the end of the plan will mostly be eaten: a fraction of the waste cost.
    endSurplusPerUnit: (0.25 * WASTED_BATCH_COST_MIN) / batchQuantity,
  };
}

/** The batch plan of one version with the slots it chose from. */
export interface ComponentRuns {
  readonly plan: BatchPlan;
  readonly slots: ReadonlyMap<string, DatedSlot>;
  readonly unmet: readonly UnmetNeed[];
}

/** @returns what one batch gives of the recipe's own item */
export function mainOutput(version: PlanVersion): RecipeOutput {
  const main = version.recipe.outputs.find((output) => output.main);
  if (!main) throw new Error(`Version ${version.versionId} has no main output.`);
  return main;
}

/**
 * Chooses the runs of one version for its needs, stock first.
 * Errors as `planBatches`: data that cannot be read.
 */
export function componentRuns(input: {
  readonly version: PlanVersion;
  readonly name: string;
  readonly needs: readonly OpenNeed[];
  readonly lots: readonly LotOnHand[];
  readonly open: readonly OpenInterval[];
  readonly nowMin: number;
  readonly horizonEndMin: number;
}): Result<ComponentRuns> {
  const { version, needs } = input;
  const batchQuantity = mainOutput(version).quantity;
  const limits = version.recipe.batchLimits;
  const slots = productionSlots({
    steps: version.steps,
    shelfLifeMin: version.shelfLifeMin,
    open: input.open,
    nowMin: input.nowMin,
    needTimes: needs.map((need) => need.atMin),
  });
  const planned = planBatches({
    component: { id: version.itemId, name: input.name },
    needs: needs.map(({ id, atMin, untilMin, quantity }) => ({ id, atMin, untilMin, quantity })),
    rule: {
      batchQuantity,
      minBatches: limits?.minimumBatches ?? 1,
      multiple: limits?.stepBatches ?? 1,
      // The recipe's maximum limits one making; a larger run is made in several (see PlannedTask).
    },
    slots,
    costs: planCosts(batchQuantity),
    lots: input.lots,
    horizonEndMin: input.horizonEndMin,
  });
  if (!planned.ok) return planned;
  return ok({
    plan: planned.value,
    slots: new Map(slots.map((slot) => [slot.id, slot])),
    unmet: planned.value.unmet,
  });
}
