import { GRID_SIZE, gridPlace } from './booking-grid.ts';
import { MEMBER_COUNT } from './members.ts';

/**
 * How well each member forecast did at each grid day before service, and how wide the truth lay
 * around the combined forecast.
 *
 * Weights ∝ (discounted mean squared error)^−4 at the same horizon: power 1 is Bates & Granger 1969
 * without correlations; a higher one leans on the better member (Stock & Watson 2004, J.
 * Forecasting 23, discounted-MSFE weights; from memory). Errors are squared ÷ level, so busy and
 * quiet weekdays count alike. Averages are exponentially weighted and start from a prior.
 */
export interface CombinationModel {
  /** [grid][member] mean squared error ÷ level. */
  readonly errors: Float64Array;
  /** [grid] mean of squared error of the combination ÷ variance expected. */
  readonly spread: Float64Array;
  /** [grid][services averaged so far, those among them with bookings] */
  readonly counts: Float64Array;
}

const KEEP = 0.985;
/** Services that a member's starting error, and the starting spread, are worth. */
const PRIOR_SERVICES = 5;
/** Starting squared error ÷ level of each member before it has been tried. */
const PRIOR_ERROR = [3, 3, 4, 2.6];
/** Squared error ÷ variance beyond which a day counts as not usual. */
export const CLIP_SPREAD = 12;
export const LEAST_ERROR = 1e-6;

/** Weight of the next service in an average of n services and the prior, oldest forgotten. */
const GAINS = gains(512);

function gains(length: number): Float64Array {
  const list = new Float64Array(length);
  let weight = PRIOR_SERVICES;
  for (let n = 0; n < length; n += 1) {
    weight = weight * KEEP + 1;
    list[n] = 1 / weight;
  }
  return list;
}

/** The gain for the next service after so many. */
export function gainAfter(services: number): number {
  return GAINS[Math.min(services, GAINS.length - 1)] ?? 1 - KEEP;
}

export function emptyCombination(): CombinationModel {
  const errors = new Float64Array(GRID_SIZE * MEMBER_COUNT);
  for (let i = 0; i < errors.length; i += 1) errors[i] = PRIOR_ERROR[i % MEMBER_COUNT] ?? 1;
  return {
    errors,
    spread: new Float64Array(GRID_SIZE).fill(1),
    counts: new Float64Array(GRID_SIZE * 2),
  };
}

/**
 * Fills `weights` with the weights of the members that have a value (≥ 0) at a grid day, mixed with
 * `share` of the next grid day's errors; they add up to 1.
 */
export function weightsOnGrid(
  model: CombinationModel,
  grid: number,
  share: number,
  values: Float64Array,
  weights: Float64Array,
): void {
  const { errors } = model;
  let total = 0;
  for (let m = 0; m < MEMBER_COUNT; m += 1) {
    if ((values[m] ?? -1) < 0) {
      weights[m] = 0;
      continue;
    }
    const at = grid * MEMBER_COUNT + m;
    let error = errors[at] ?? 1;
    if (share > 0) error += share * ((errors[at + MEMBER_COUNT] ?? 1) - error);
    if (error < LEAST_ERROR) error = LEAST_ERROR;
    const square = error * error;
    const weight = 1 / (square * square);
    weights[m] = weight;
    total += weight;
  }
  const scale = 1 / total;
  for (let m = 0; m < MEMBER_COUNT; m += 1) weights[m] = (weights[m] ?? 0) * scale;
}

/** Weights `daysBefore` days before service. */
export function weightsAt(
  model: CombinationModel,
  daysBefore: number,
  values: Float64Array,
): Float64Array {
  const { low, share } = gridPlace(daysBefore);
  const weights = new Float64Array(MEMBER_COUNT);
  weightsOnGrid(model, low, share, values, weights);
  return weights;
}

/** Factor by which the variance expected at this horizon has to be multiplied. */
export function spreadAt(model: CombinationModel, daysBefore: number): number {
  const { low, share } = gridPlace(daysBefore);
  const lower = model.spread[low] ?? 1;
  return share === 0 ? lower : lower + share * ((model.spread[low + 1] ?? 1) - lower);
}
