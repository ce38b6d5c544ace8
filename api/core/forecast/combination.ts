import { GRID_SIZE, gridPlace } from './booking-grid.ts';
import { MEMBERS } from './members.ts';

/**
 * How well each member forecast did at each grid day before service, and how wide the truth lay
 * around the combined forecast.
 *
 * Weights ∝ (discounted mean squared error)^−κ at the same horizon: κ = 1 is Bates & Granger 1969
 * without correlations; a higher κ leans on the better member (Stock & Watson 2004, J. Forecasting
 * 23, discounted-MSFE weights; from memory). Errors are squared ÷ level, so busy and quiet weekdays
 * count alike.
 */
export interface CombinationState {
  /** [grid][member][Σ squared error ÷ level, Σ weight], flat. */
  errors: number[];
  /** [grid][Σ squared error of the combination ÷ variance expected, Σ weight], flat. */
  spread: number[];
}

const KEEP = 0.985;
/** Exponent κ of the weights. */
const SHARPNESS = 4;
/** Services that a member's starting error, and the starting spread, are worth. */
const PRIOR_SERVICES = 5;
/** Starting squared error ÷ level of each member before it has been tried. */
const PRIOR_ERROR = [3, 3, 4, 2.6];
/** Squared error ÷ variance beyond which a day counts as not usual. */
const CLIP_SPREAD = 12;

export function startCombination(): CombinationState {
  return {
    errors: new Array<number>(GRID_SIZE * MEMBERS.length * 2).fill(0),
    spread: new Array<number>(GRID_SIZE * 2).fill(0),
  };
}

/** The members' forecasts at one horizon; absent ones could not be made. */
export type MemberValues = readonly (number | undefined)[];

/** Learns how each member and the combination did for one service at one grid day. */
export function learnCombination(
  state: CombinationState,
  grid: number,
  values: MemberValues,
  combined: number,
  expectedVariance: number,
  final: number,
  level: number,
): void {
  const scale = 1 / Math.max(1, level);
  for (let m = 0; m < MEMBERS.length; m += 1) {
    const value = values[m];
    if (value === undefined) continue;
    const at = (grid * MEMBERS.length + m) * 2;
    const error = final - value;
    state.errors[at] = (state.errors[at] ?? 0) * KEEP + error * error * scale;
    state.errors[at + 1] = (state.errors[at + 1] ?? 0) * KEEP + 1;
  }
  const ratio = (final - combined) ** 2 / Math.max(1e-9, expectedVariance);
  const at = grid * 2;
  state.spread[at] = (state.spread[at] ?? 0) * KEEP + Math.min(CLIP_SPREAD, ratio);
  state.spread[at + 1] = (state.spread[at + 1] ?? 0) * KEEP + 1;
}

/** Weights of the members that have a value, `daysBefore` days before service; they add up to 1. */
export function weightsAt(
  state: CombinationState,
  daysBefore: number,
  values: MemberValues,
): number[] {
  const { low, share } = gridPlace(daysBefore);
  const weights = MEMBERS.map((_, m) => {
    if (values[m] === undefined) return 0;
    const error =
      share === 0
        ? errorAt(state, low, m)
        : (1 - share) * errorAt(state, low, m) + share * errorAt(state, low + 1, m);
    return Math.max(error, 1e-6) ** -SHARPNESS;
  });
  const total = weights.reduce((a, w) => a + w, 0);
  return weights.map((w) => w / total);
}

function errorAt(state: CombinationState, grid: number, member: number): number {
  const at = (grid * MEMBERS.length + member) * 2;
  const prior = (PRIOR_ERROR[member] ?? 1) * PRIOR_SERVICES;
  return ((state.errors[at] ?? 0) + prior) / ((state.errors[at + 1] ?? 0) + PRIOR_SERVICES);
}

/** Factor by which the variance expected at this horizon has to be multiplied. */
export function spreadAt(state: CombinationState, daysBefore: number): number {
  const { low, share } = gridPlace(daysBefore);
  const at = (g: number) =>
    ((state.spread[g * 2] ?? 0) + PRIOR_SERVICES) /
    ((state.spread[g * 2 + 1] ?? 0) + PRIOR_SERVICES);
  return share === 0 ? at(low) : (1 - share) * at(low) + share * at(low + 1);
}
