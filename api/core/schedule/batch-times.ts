import type { EpochMin, OpenInterval } from '../calendar/index.ts';
import { coreError } from '../shared/errors.ts';
import { err, ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';
import { placeEarliest, placeLatest } from './place-batch.ts';
import type { PlacementRules } from './place-batch.ts';
import { checkSteps } from './plan-step.ts';
import type { PlacedBatch, PlanStep } from './plan-step.ts';
import { EVERY_MINUTE, normalise } from './spans.ts';
import type { Span, Spans } from './spans.ts';

/** Working stretches as spans of [from, to] where stretches that touch count as one. */
export function workingStretches(open: readonly OpenInterval[]): Span[] {
  const sorted = [...open].sort((a, b) => a.fromMin - b.fromMin);
  const joined: Span[] = [];
  for (const { fromMin, toMin } of sorted) {
    const last = joined.at(-1);
    if (last && fromMin <= last.hi)
      joined[joined.length - 1] = { lo: last.lo, hi: Math.max(last.hi, toMin) };
    else joined.push({ lo: fromMin, hi: toMin });
  }
  return joined;
}

/** Minutes at which `workingMin` of work can start so that it ends within the same stretch. */
export function workStarts(stretches: readonly Span[], workingMin: number): Spans {
  if (workingMin === 0) return EVERY_MINUTE;
  return normalise(stretches.map(({ lo, hi }) => ({ lo, hi: hi - workingMin })));
}

function rulesFor(steps: readonly PlanStep[], open: readonly OpenInterval[]): PlacementRules {
  const stretches = workingStretches(open);
  const starts = steps.map((step) => workStarts(stretches, step.workingMin));
  return { startsOf: (index) => starts[index] ?? [] };
}

function tooLong(steps: readonly PlanStep[], open: readonly OpenInterval[]): PlanStep | undefined {
  const longest = Math.max(0, ...workingStretches(open).map(({ lo, hi }) => hi - lo));
  return steps.find((step) => step.workingMin > longest);
}

function cannotPlace(
  steps: readonly PlanStep[],
  open: readonly OpenInterval[],
  blockedStep: number,
  when: Readonly<Record<string, number>>,
): Result<never> {
  const long = tooLong(steps, open);
  const step = long ?? steps[blockedStep];
  const message = long
    ? `Step ${long.id} takes ${long.workingMin} minutes of work, longer than the kitchen is open at a stretch.`
    : `Step ${step?.id ?? '?'} does not fit the kitchen's hours and hold limits in time.`;
  const reason = long ? 'step-longer-than-opening' : 'no-time-inside-hours';
  return err(
    coreError('infeasible', message, { detail: { reason, stepId: step?.id ?? null, ...when } }),
  );
}

/**
 * When to start one batch at the latest so that it is ready by `readyByMin`.
 *
 * Working time lies inside one working stretch (stretches that touch count as one); waiting time
 * runs through nights; a hold point lets the batch wait up to its limit. Exact over whole minutes.
 *
 * @param open working stretches, absolute minutes; nothing can be worked outside them
 * @returns start, ready and step times in absolute minutes, every step as late as it can be;
 *          errors: those of checkSteps; `infeasible` with `reason` 'step-longer-than-opening' or
 *          'no-time-inside-hours' and the step
 */
export function latestStart(
  steps: readonly PlanStep[],
  readyByMin: EpochMin,
  open: readonly OpenInterval[],
): Result<PlacedBatch> {
  const checked = checkSteps(steps);
  if (!checked.ok) return checked;
  const lo = readyByMin - (steps.at(-1)?.holdMaxMin ?? Number.POSITIVE_INFINITY);
  const found = placeLatest(steps, { lo, hi: readyByMin }, rulesFor(steps, open));
  if ('batch' in found) return ok(found.batch);
  return cannotPlace(steps, open, found.blockedStep, { readyByMin });
}

/**
 * When one batch started no earlier than `startMin` is ready at the earliest; among the plans that
 * finish then, the one that starts latest. Errors as for latestStart.
 */
export function earliestFinish(
  steps: readonly PlanStep[],
  startMin: EpochMin,
  open: readonly OpenInterval[],
): Result<PlacedBatch> {
  const checked = checkSteps(steps);
  if (!checked.ok) return checked;
  const found = placeEarliest(steps, startMin, rulesFor(steps, open));
  if ('batch' in found) return ok(found.batch);
  return cannotPlace(steps, open, found.blockedStep, { startMin });
}
