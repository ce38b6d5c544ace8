import { coreError } from '../shared/errors.ts';
import { err, ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';

/** Equipment a step occupies: `amount` decks, shelves, bowls or mould sets of one `kind`. */
export interface StepEquipment {
  readonly kind: string;
  readonly amount: number;
  /** Which part of the step occupies it; 'whole' (working and waiting) when left out. */
  readonly during?: 'working' | 'waiting' | 'whole';
  /**
   * Stays occupied while the batch waits at the hold point after this step, until the next step
   * starts (a mould that still holds the set cream). After the last step the batch is done.
   */
  readonly keptDuringHold?: boolean;
}

/**
 * One step of a recipe as a plan sees it. Steps run in order. `workingMin` needs hands and lies
 * inside one working stretch of the site; `waitingMin` (set, chill, bake, freeze) follows at once,
 * needs no hands and flows across nights and closed days.
 */
export interface PlanStep {
  readonly id: string;
  readonly workingMin: number;
  readonly waitingMin: number;
  /**
   * Hold point after the step: the longest time the batch may wait for the next step. Left out = 0,
   * the next step follows at once. On the last step it limits the wait until the ready-by time;
   * left out there = no limit (shelf life governs).
   */
  readonly holdMaxMin?: number;
  readonly equipment?: StepEquipment | readonly StepEquipment[];
  /** Temperature the step's equipment is set to, °C; batches share a deck only when these agree. */
  readonly temperatureC?: number;
  /**
   * Part of `workingMin` that grows with the batches of a making, 0 to 1: 1 for filling moulds, less
   * where one pot is watched whatever its size; 0 when left out.
   */
  readonly growingFraction?: number;
  /** People needed during the working time; 1 when left out. */
  readonly hands?: number;
}

/** When one step of a batch happens, in absolute minutes. */
export interface PlacedStep {
  readonly id: string;
  readonly startMin: number;
  readonly workEndMin: number;
  readonly endMin: number;
}

/** When a batch happens. `readyMin` is the end of its last step. */
export interface PlacedBatch {
  readonly startMin: number;
  readonly readyMin: number;
  readonly steps: readonly PlacedStep[];
}

/** The equipment of a step as a list. */
export function equipmentOf(step: PlanStep): readonly StepEquipment[] {
  if (step.equipment === undefined) return [];
  return Array.isArray(step.equipment)
    ? (step.equipment as readonly StepEquipment[])
    : [step.equipment as StepEquipment];
}

/** Shortest time from start to ready with no holds, minutes. */
export function leadTimeMin(steps: readonly PlanStep[]): number {
  return steps.reduce((sum, step) => sum + step.workingMin + step.waitingMin, 0);
}

/**
 * Refuses steps a plan cannot use.
 *
 * @returns the steps; error `missing-data` when there are none, `out-of-range` when a duration is
 *          negative, not whole minutes or longer than 60 days, or an equipment amount is not positive
 */
export function checkSteps(steps: readonly PlanStep[]): Result<readonly PlanStep[]> {
  if (steps.length === 0) {
    return err(
      coreError('missing-data', 'The recipe has no steps, so nothing says when to start.'),
    );
  }
  const longest = 60 * 24 * 60;
  const whole = (value: number): boolean =>
    Number.isInteger(value) && value >= 0 && value <= longest;
  for (const [index, step] of steps.entries()) {
    const durations = [step.workingMin, step.waitingMin, step.holdMaxMin ?? 0];
    if (!durations.every(whole)) {
      return err(
        coreError('out-of-range', `Step ${step.id} needs whole minutes from 0 to 60 days.`, {
          path: ['steps', index],
          detail: { ...step },
        }),
      );
    }
    const hands = step.hands ?? 1;
    if (!(hands > 0) || equipmentOf(step).some((use) => !(use.amount > 0))) {
      return err(
        coreError('out-of-range', `Step ${step.id} needs more than none of what it uses.`, {
          path: ['steps', index],
          detail: { ...step },
        }),
      );
    }
  }
  return ok(steps);
}
