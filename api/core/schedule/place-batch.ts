import { equipmentOf } from './plan-step.ts';
import type { PlacedBatch, PlacedStep, PlanStep } from './plan-step.ts';
import { earliest, intersect, latest, normalise, shift } from './spans.ts';
import type { Span, Spans } from './spans.ts';

/** Where the steps of one batch may go, given hours, people and equipment already taken. */
export interface PlacementRules {
  /** Minutes at which step `index` may start (hours, hands and equipment all free for it). */
  readonly startsOf: (index: number) => Spans;
  /** Minutes during which the equipment kept over the hold after step `index` is free. */
  readonly freeDuringHold?: (index: number) => Spans;
}

const lengthOf = (step: PlanStep): number => step.workingMin + step.waitingMin;

function keepsEquipment(step: PlanStep): boolean {
  return equipmentOf(step).some((use) => use.keptDuringHold === true);
}

function stepAt(steps: readonly PlanStep[], index: number): PlanStep {
  const step = steps[index];
  if (!step) throw new RangeError(`No step ${index}`);
  return step;
}

/** Ends of step `index` from which the next step can start within its hold at one of `nextStarts`. */
function endsBefore(
  steps: readonly PlanStep[],
  index: number,
  nextStarts: Spans,
  rules: PlacementRules,
): Span[] {
  const hold = stepAt(steps, index).holdMaxMin ?? 0;
  const widened: Span[] = [...nextStarts];
  for (const start of nextStarts) {
    if (!keepsEquipment(stepAt(steps, index)) || !rules.freeDuringHold) {
      widened.push({ lo: start.lo - hold, hi: start.hi });
      continue;
    }
    // The held batch occupies minutes end … start-1, all inside one free span.
    for (const free of rules.freeDuringHold(index)) {
      const lo = Math.max(start.lo, free.lo);
      const hi = Math.min(start.hi, free.hi + 1);
      if (lo <= hi) widened.push({ lo: Math.max(lo - hold, free.lo), hi });
    }
  }
  return normalise(widened);
}

/** Starts of step `index + 1` that can follow an end of step `index` in `ends`. */
function startsAfter(
  steps: readonly PlanStep[],
  index: number,
  ends: Spans,
  rules: PlacementRules,
): Span[] {
  const hold = stepAt(steps, index).holdMaxMin ?? 0;
  const widened: Span[] = [...ends];
  for (const end of ends) {
    if (!keepsEquipment(stepAt(steps, index)) || !rules.freeDuringHold) {
      widened.push({ lo: end.lo, hi: end.hi + hold });
      continue;
    }
    for (const free of rules.freeDuringHold(index)) {
      const lo = Math.max(end.lo, free.lo);
      const hi = Math.min(end.hi, free.hi);
      if (lo <= hi) widened.push({ lo, hi: Math.min(hi + hold, free.hi + 1) });
    }
  }
  return normalise(widened);
}

function placed(step: PlanStep, startMin: number): PlacedStep {
  const workEndMin = startMin + step.workingMin;
  return { id: step.id, startMin, workEndMin, endMin: workEndMin + step.waitingMin };
}

function batchOf(steps: readonly PlacedStep[]): PlacedBatch {
  const first = steps[0];
  const last = steps.at(-1);
  if (!first || !last) throw new RangeError('A batch has at least one step');
  return { startMin: first.startMin, readyMin: last.endMin, steps };
}

/**
 * The batch placed as late as it can be with its last step ending inside `readyWithin`. Exact: the
 * set of possible starts is carried backward step by step, so no earlier choice can shut out a later
 * start. Ties go to the latest time of every step (freshest at service).
 *
 * @returns undefined when no placement exists; `blockedAt` of placeability is found by the caller
 */
export function placeLatest(
  steps: readonly PlanStep[],
  readyWithin: Span,
  rules: PlacementRules,
  notBeforeMin = Number.NEGATIVE_INFINITY,
): { readonly batch: PlacedBatch } | { readonly blockedStep: number } {
  const starts: Spans[] = [];
  let ends: Spans = normalise([readyWithin]);
  for (let index = steps.length - 1; index >= 0; index -= 1) {
    const possible = intersect(shift(ends, -lengthOf(stepAt(steps, index))), rules.startsOf(index));
    const usable =
      index === 0 ? intersect(possible, [{ lo: notBeforeMin, hi: Infinity }]) : possible;
    if (usable.length === 0) return { blockedStep: index };
    starts[index] = usable;
    if (index > 0) ends = endsBefore(steps, index - 1, usable, rules);
  }
  const out: PlacedStep[] = [];
  let startMin = latest(starts[0] ?? []);
  for (let index = 0; index < steps.length; index += 1) {
    if (startMin === undefined) throw new Error('The backward sets promised a start');
    const step = placed(stepAt(steps, index), startMin);
    out.push(step);
    if (index + 1 < steps.length) {
      const next = startsAfter(steps, index, [{ lo: step.endMin, hi: step.endMin }], rules);
      startMin = latest(intersect(next, starts[index + 1] ?? []));
    }
  }
  return { batch: batchOf(out) };
}

/**
 * The batch placed so that it is ready as early as can be, starting no earlier than `notBeforeMin`;
 * among those, as late a start as that finish allows. Exact, like placeLatest.
 */
export function placeEarliest(
  steps: readonly PlanStep[],
  notBeforeMin: number,
  rules: PlacementRules,
): { readonly batch: PlacedBatch } | { readonly blockedStep: number } {
  const endSets: Spans[] = [];
  let from: Spans = [{ lo: notBeforeMin, hi: Number.POSITIVE_INFINITY }];
  for (let index = 0; index < steps.length; index += 1) {
    const starts = intersect(from, rules.startsOf(index));
    if (starts.length === 0) return { blockedStep: index };
    endSets[index] = shift(starts, lengthOf(stepAt(steps, index)));
    if (index + 1 < steps.length) from = startsAfter(steps, index, endSets[index] ?? [], rules);
  }
  const out: PlacedStep[] = [];
  let endMin = earliest(endSets[steps.length - 1] ?? []);
  for (let index = steps.length - 1; index >= 0; index -= 1) {
    if (endMin === undefined) throw new Error('The forward sets promised an end');
    const step = stepAt(steps, index);
    const startMin = endMin - lengthOf(step);
    out.unshift(placed(step, startMin));
    if (index > 0) {
      const before = endsBefore(steps, index - 1, [{ lo: startMin, hi: startMin }], rules);
      endMin = latest(intersect(before, endSets[index - 1] ?? []));
    }
  }
  return { batch: batchOf(out) };
}
