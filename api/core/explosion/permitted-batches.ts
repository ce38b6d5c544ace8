import { ROUND_UP_TOLERANCE, roundUpToMultiple } from '../explanation/index.ts';
import type { BatchLimits } from '../recipe-graph/index.ts';

/** Whole batches from one up, as many at a time as wanted. */
export const WHOLE_BATCHES: BatchLimits = { stepBatches: 1, minimumBatches: 1 };

/** So many makings of one size. */
export interface Makings {
  readonly count: number;
  /** Base batches in each. */
  readonly batches: number;
}

export interface PermittedBatches {
  /** Base batches in all, at or above what is needed. */
  readonly batches: number;
  /** How they are split where the pan holds less: at most two sizes, larger first. */
  readonly makings: readonly Makings[];
}

/**
 * The least that may be made to cover a need: whole steps, each making between the recipe's
 * minimum and maximum, as few makings as the maximum allows, of as equal a size as the step allows.
 *
 * @param limits   the recipe's batch limits (checked by `buildRecipeGraph`)
 * @param needed   base batches needed, not rounded; 0 or less needs nothing. Overshoot of
 *                 ROUND_UP_TOLERANCE (relative) is taken for arithmetic noise.
 */
export function permittedBatches(limits: BatchLimits, needed: number): PermittedBatches {
  const { stepBatches: step, minimumBatches } = limits;
  const wanted = roundUpToMultiple(needed, step, minimumBatches);
  if (wanted === 0) return { batches: 0, makings: [] };
  const minimumSteps = stepsUp(minimumBatches, step);
  const maximumSteps =
    limits.maximumBatches === undefined
      ? Infinity
      : Math.floor(limits.maximumBatches / step + ROUND_UP_TOLERANCE);
  const wantedSteps = Math.round(wanted / step);
  const count = Math.ceil(wantedSteps / maximumSteps) || 1;
  const steps = Math.max(wantedSteps, count * minimumSteps);
  const small = Math.floor(steps / count);
  const larger = steps - small * count;
  const makings = [
    { count: larger, batches: (small + 1) * step },
    { count: count - larger, batches: small * step },
  ].filter((making) => making.count > 0);
  return { batches: steps * step, makings };
}

function stepsUp(batches: number, step: number): number {
  return Math.ceil(batches / step - ROUND_UP_TOLERANCE);
}
