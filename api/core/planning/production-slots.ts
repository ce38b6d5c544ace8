import type { EpochMin, OpenInterval, ServiceDate } from '../calendar/index.ts';
import { openAt } from '../calendar/index.ts';
import type { ProductionSlot } from '../batches/index.ts';
import { earliestFinish, latestStart } from '../schedule/index.ts';
import type { PlacedBatch, PlanStep } from '../schedule/index.ts';

/** A slot with the day it belongs to. */
export interface DatedSlot extends ProductionSlot {
  readonly date: ServiceDate;
}

/** A recipe without steps is put together on the spot and still needs a moment of somebody's hands. */
const NO_STEPS: readonly PlanStep[] = [{ id: 'put-together', workingMin: 1, waitingMin: 0 }];

/** @returns the recipe's steps, or one short step where it has none */
export function stepsOf(steps: readonly PlanStep[]): readonly PlanStep[] {
  return steps.length === 0 ? NO_STEPS : steps;
}

/** @returns the day a start belongs to: the day on which that stretch of work opened */
export function makeDateOf(open: readonly OpenInterval[], startMin: EpochMin): ServiceDate | null {
  return openAt(open, startMin)?.date ?? null;
}

/**
 * The chances to make a component: on each open day as early as the kitchen can, and as late as
 * each need allows (so that a short-lived thing can be made just before its service).
 *
 * @param needTimes when the needs must be ready, absolute minutes
 * @returns ascending by ready time, each start once
 */
export function productionSlots(input: {
  readonly steps: readonly PlanStep[];
  readonly shelfLifeMin: number;
  readonly open: readonly OpenInterval[];
  readonly nowMin: EpochMin;
  readonly needTimes: readonly EpochMin[];
}): readonly DatedSlot[] {
  const { shelfLifeMin, open, nowMin } = input;
  const steps = stepsOf(input.steps);
  const last = Math.max(...input.needTimes);
  const usable = open.filter((interval) => interval.toMin > nowMin && interval.fromMin <= last);
  const slots = new Map<string, DatedSlot>();
  const add = (batch: PlacedBatch): void => {
    const date = makeDateOf(open, batch.startMin);
    if (date === null || batch.startMin < nowMin || batch.readyMin > last) return;
    const id = `${batch.startMin}-${batch.readyMin}`;
    slots.set(id, {
      id,
      date,
      startMin: batch.startMin,
      readyMin: batch.readyMin,
      useByMin: batch.readyMin + shelfLifeMin,
    });
  };
  for (const interval of usable) {
    const early = earliestFinish(steps, Math.max(nowMin, interval.fromMin), open);
    if (early.ok) add(early.value);
  }
  for (const at of new Set(input.needTimes)) {
    const late = latestStart(steps, at, open);
    if (late.ok) add(late.value);
  }
  return [...slots.values()].sort((a, b) => a.readyMin - b.readyMin || a.startMin - b.startMin);
}
