import { planBatches, playRuns } from '../batches/index.ts';
import type { BatchPlan, BatchProblem, PlanCosts, UnmetNeed } from '../batches/index.ts';
import type { OpenInterval } from '../calendar/index.ts';
import type { LotOnHand } from '../netting/index.ts';
import type { RecipeOutput } from '../recipe-graph/index.ts';
import type { Result } from '../shared/result.ts';
import { ok } from '../shared/result.ts';
import { isBarred } from './bar-chances.ts';
import type { BarredStretch } from './bar-chances.ts';
import type { OpenNeed } from './open-needs.ts';
import { mostAtOnce, sizedSteps } from '../schedule/index.ts';
import type { SiteEquipment } from '../schedule/index.ts';
import type { PlanVersion, PreviousRun } from './plan-input.ts';
import { productionSlots, stepsOf } from './production-slots.ts';
import type { DatedSlot } from './production-slots.ts';

/**
 * What the choice of batches weighs beside the hands on its makings, in minutes of work. A run costs
 * its getting out and cleaning down; a batch thrown away costs its ingredients and its place; a day in
 * the fridge is worth a few minutes, so that nothing is made earlier than it helps. Common practice,
 * no source.
 */
export const RUN_COST_MIN = 20;
const WASTED_BATCH_COST_MIN = 90;
const BATCH_DAY_IN_FRIDGE_COST_MIN = 3;
const BATCH_DAY_OLDER_COST_MIN = 3;

/** Hands on a run of a recipe, minutes of one person. */
export interface HandsOnRun {
  /** Once: watching the pot, portioning that takes as long for little as for much. */
  readonly perRunMin: number;
  /** With each batch. */
  readonly perBatchMin: number;
}

/**
 * What a run of a version takes of people: the part of its steps that grows with the batches, and the
 * rest. Loads one after another are not counted (`sizedSteps` does): the choice of batches weighs with
 * one figure a run and one a batch.
 */
export function handsOnRun({ steps }: Pick<PlanVersion, 'steps'>): HandsOnRun {
  let perRunMin = 0;
  let perBatchMin = 0;
  for (const { workingMin, hands = 1, growingFraction = 0 } of stepsOf(steps)) {
    perRunMin += workingMin * hands * (1 - growingFraction);
    perBatchMin += workingMin * hands * growingFraction;
  }
  return { perRunMin, perBatchMin };
}

/** What stock of a recipe costs, minutes of work per base unit. */
export function stockCosts(batchQuantity: number): Omit<PlanCosts, 'setup' | 'perBatch'> {
  return {
    perUnitWaste: WASTED_BATCH_COST_MIN / batchQuantity,
    holdingPerUnitPerDay: BATCH_DAY_IN_FRIDGE_COST_MIN / batchQuantity,
    agePenalty: BATCH_DAY_OLDER_COST_MIN / batchQuantity,
    // What is in date at the end of the plan will mostly be eaten: a fraction of the waste cost.
    endSurplusPerUnit: (0.25 * WASTED_BATCH_COST_MIN) / batchQuantity,
  };
}

/** The cost terms of one version, minutes of work per run, batch or base unit. */
export function planCosts(version: PlanVersion): PlanCosts {
  const { perRunMin, perBatchMin } = handsOnRun(version);
  return {
    setup: RUN_COST_MIN + perRunMin,
    perBatch: perBatchMin,
    ...stockCosts(mainOutput(version).quantity),
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

/** What the runs of one version are chosen for and from. */
export interface RunsAsked {
  readonly version: PlanVersion;
  readonly name: string;
  readonly needs: readonly OpenNeed[];
  readonly lots: readonly LotOnHand[];
  readonly open: readonly OpenInterval[];
  readonly nowMin: number;
  readonly horizonEndMin: number;
  readonly kinds: ReadonlyMap<string, SiteEquipment>;
  /** Runs of this version in the plan being replaced. */
  readonly previous?: readonly PreviousRun[] | undefined;
  /** When no run may begin. */
  readonly barred?: readonly BarredStretch[] | undefined;
  /** Runs to keep to as far as nothing goes short for it. */
  readonly wished?: readonly WishedRun[] | undefined;
}

/** A run that a search over all components would have. */
export type WishedRun = Pick<PreviousRun, 'makeDate' | 'startMin' | 'batches'>;

/** A run that has been decided: its slot and its batches. */
export interface DecidedRun extends DatedSlot {
  readonly batches: number;
}

/**
 * What it costs, in minutes of work, to surprise the brigade when a plan is worked out again: a run
 * that appears or goes costs half of a run, a batch more or less a third. Common practice, no source.
 */
export const CHANGE_PENALTY = { perRun: 10, perBatch: 5 } as const;

/** The batch problem of one version: its slots, rule, costs and stock. */
export function batchProblem(asked: RunsAsked, slots: readonly DatedSlot[]): BatchProblem {
  const { version, needs } = asked;
  const batchQuantity = mainOutput(version).quantity;
  const limits = version.recipe.batchLimits;
  const previousRuns = asked.previous && keptRuns(asked.previous, slots);
  return {
    component: { id: version.itemId, name: asked.name },
    needs: needs.map(({ id, atMin, untilMin, quantity }) => ({ id, atMin, untilMin, quantity })),
    rule: {
      batchQuantity,
      minBatches: limits?.minimumBatches ?? 1,
      multiple: limits?.stepBatches ?? 1,
      // The recipe's maximum limits one making; a larger run is made in several (see PlannedTask).
    },
    slots: slots.map((slot) => ({ ...slot, ...roomOf(version, asked.kinds) })),
    costs: planCosts(version),
    lots: asked.lots,
    planFromMin: asked.nowMin,
    horizonEndMin: asked.horizonEndMin,
    ...(previousRuns && previousRuns.length > 0
      ? { previousRuns, changePenalty: CHANGE_PENALTY }
      : {}),
  };
}

/** Room in batches where the site's vessels hold less than the smallest batch; else no limit. */
function roomOf(
  version: PlanVersion,
  kinds: ReadonlyMap<string, SiteEquipment>,
): { readonly capacityBatches?: number } {
  const limits = version.recipe.batchLimits;
  const least = Math.max(limits?.minimumBatches ?? 1, limits?.stepBatches ?? 1);
  const room = mostAtOnce(version.steps, kinds, limits?.stepBatches ?? 1);
  return room < least - 1e-9 ? { capacityBatches: room } : {};
}

/** Each earlier run stands for the slot of its day that starts nearest to it. */
function keptRuns(
  previous: readonly WishedRun[],
  slots: readonly DatedSlot[],
): { readonly slotId: string; readonly batches: number }[] {
  return previous.flatMap(({ makeDate, startMin, batches }) => {
    const near = slots
      .filter((slot) => slot.date === makeDate)
      .sort((a, b) => Math.abs(a.startMin - startMin) - Math.abs(b.startMin - startMin))[0];
    return near ? [{ slotId: near.id, batches }] : [];
  });
}

/**
 * The chances to make a version for its needs.
 *
 * @param needTimes when they must be ready, absolute minutes; left out: those of the needs asked for
 */
export function slotsFor(
  asked: RunsAsked,
  needTimes: readonly number[] = asked.needs.map(({ atMin }) => atMin),
): readonly DatedSlot[] {
  const { version, barred = [] } = asked;
  const slots = productionSlots({
    steps: sizedSteps(version.steps, 1, asked.kinds),
    shelfLifeMin: version.shelfLifeMin,
    open: asked.open,
    nowMin: asked.nowMin,
    needTimes,
  });
  return slots.filter(({ startMin }) => !isBarred(startMin, barred));
}

/** Choices of batches by what was asked: passes over a site ask for the same again and again. */
export type MadeChoices = Map<string, Result<BatchPlan>>;

/**
 * Chooses the runs of one version for its needs, stock first.
 *
 * @param made choices made before, added to
 * @param room the most batches a chance has turned out to have room for, by slot; 0 strikes it out
 * Errors as `planBatches`: data that cannot be read.
 */
export function componentRuns(
  asked: RunsAsked,
  made: MadeChoices,
  room: ReadonlyMap<string, number> = new Map(),
): Result<ComponentRuns> {
  const slots = slotsFor(asked).filter(({ id }) => room.get(id) !== 0);
  const problem = batchProblem(asked, slots);
  const roomy = {
    ...problem,
    slots: problem.slots.map((slot) => {
      const most = room.get(slot.id);
      if (most === undefined) return slot;
      return { ...slot, capacityBatches: Math.min(most, slot.capacityBatches ?? Infinity) };
    }),
  };
  const key = JSON.stringify([roomy, asked.wished]);
  const planned =
    made.get(key) ?? (asked.wished ? keptToWish(roomy, asked.wished, slots) : planBatches(roomy));
  made.set(key, planned);
  if (!planned.ok) return planned;
  return ok(runsOf(planned.value, slots));
}

/** So dear that only what would go short makes it leave a wished run. */
const KEEP_TO_WISH = { perRun: 10_000, perBatch: 1_000 } as const;

/** The runs nearest to those wished for that leave least unmet, at what they cost. */
function keptToWish(
  problem: BatchProblem,
  wished: readonly WishedRun[],
  slots: readonly DatedSlot[],
): Result<BatchPlan> {
  const pulled = planBatches({
    ...problem,
    previousRuns: keptRuns(wished, slots),
    changePenalty: KEEP_TO_WISH,
  });
  if (!pulled.ok) return pulled;
  const played = playRuns(
    problem,
    new Map(
      pulled.value.runs.map(({ slotId, batches }) => [
        slotId,
        Math.round(batches / problem.rule.multiple),
      ]),
    ),
  );
  // What it costs is known; that nothing else costs less is not.
  return played.ok
    ? ok({ ...played.value, bound: 0, method: 'mixed-integer', unmet: pulled.value.unmet })
    : played;
}

/** Plays decided runs through: what each serves, what is left, what goes short. */
export function decidedRuns(
  asked: RunsAsked,
  decided: readonly DecidedRun[],
): Result<ComponentRuns> {
  const problem = batchProblem({ ...asked, previous: undefined }, decided);
  const steps = new Map(
    decided.map((run) => [run.id, Math.round(run.batches / problem.rule.multiple)]),
  );
  const played = playRuns(problem, steps);
  return played.ok ? ok(runsOf(played.value, decided)) : played;
}

function runsOf(plan: BatchPlan, slots: readonly DatedSlot[]): ComponentRuns {
  return { plan, slots: new Map(slots.map((slot) => [slot.id, slot])), unmet: plan.unmet };
}
