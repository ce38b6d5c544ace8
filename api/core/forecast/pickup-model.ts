import { GRID_SIZE, gridPlace } from './booking-grid.ts';

/**
 * What the booking curve of a series has shown, by grid day before service.
 *
 * Exponentially weighted sums by weekday and over all weekdays of final covers, bookings at that
 * day and usual level. From them: the part of the level usually booked (Σ booked/Σ level), the
 * multiplicative pickup ratio (Σ final/Σ booked, pooled so that an empty curve does not break it)
 * and the additive pickup per cover of usual level (Σ final − kept·Σ booked)/Σ level.
 * `slope` sums regress the surprise of the day on being ahead of the usual curve.
 * Sources: classical pickup as in Weatherford & Kimes 2003 (Int. J. Forecasting 19) and the
 * comparative study of Zakhary, El Gayar & Atiya; regression on bookings as in the former.
 */
export interface PickupState {
  /** [grid][weekday 0–6, 7 = all][final, booked, level], flat. */
  sums: number[];
  /** [grid][Σxy, Σxx], flat. */
  slope: number[];
}

const PER_CELL = 3;
const CELLS = 8;
const ALL = 7;
/** Weight kept from one service of a weekday to the next of that weekday, and over all. */
const KEEP_WEEKDAY = 0.95;
const KEEP_ALL = 0.985;
const KEEP_SLOPE = 0.99;
/** Services of all weekdays' experience that a single weekday's is mixed with. */
const BORROWED_SERVICES = 4;

export function startPickup(): PickupState {
  return {
    sums: new Array<number>(GRID_SIZE * CELLS * PER_CELL).fill(0),
    slope: new Array<number>(GRID_SIZE * 2).fill(0),
  };
}

/** Services that a curve borrowed from the group is worth. */
const SEED_SERVICES = 6;

/** Starts the curve from the group's, so that the series' own services take over as they come. */
export function seedPickup(
  state: PickupState,
  curve: readonly ({ readonly booked: number; readonly final: number } | null)[],
  level: number,
): void {
  curve.forEach((point, grid) => {
    if (point === null) return;
    const at = (grid * CELLS + ALL) * PER_CELL;
    state.sums[at] = point.final * level * SEED_SERVICES;
    state.sums[at + 1] = point.booked * level * SEED_SERVICES;
    state.sums[at + 2] = level * SEED_SERVICES;
  });
}

/** Learns one service at one grid day. `final`, `booked`, `level` in covers. */
export function learnPickup(
  state: PickupState,
  grid: number,
  weekday: number,
  final: number,
  booked: number,
  level: number,
): void {
  const curve = curveAtGrid(state, grid, weekday, level);
  if (curve !== undefined) {
    const x = booked - curve.bookedFraction * level;
    const y = final - curve.finalFraction * level;
    const scale = 1 / Math.max(1, level);
    const at = grid * 2;
    state.slope[at] = (state.slope[at] ?? 0) * KEEP_SLOPE + x * y * scale;
    state.slope[at + 1] = (state.slope[at + 1] ?? 0) * KEEP_SLOPE + x * x * scale;
  }
  addTo(state.sums, (grid * CELLS + weekday) * PER_CELL, KEEP_WEEKDAY, final, booked, level);
  addTo(state.sums, (grid * CELLS + ALL) * PER_CELL, KEEP_ALL, final, booked, level);
}

function addTo(sums: number[], at: number, keep: number, f: number, b: number, l: number): void {
  sums[at] = (sums[at] ?? 0) * keep + f;
  sums[at + 1] = (sums[at + 1] ?? 0) * keep + b;
  sums[at + 2] = (sums[at + 2] ?? 0) * keep + l;
}

/** The usual booking curve at one day before service. Fractions of the usual level. */
export interface CurvePoint {
  readonly bookedFraction: number;
  readonly finalFraction: number;
  /** Extra final covers for one cover booked more than usual. */
  readonly slope: number;
}

/** Level below which a sum is no experience, covers. */
const LEAST_LEVEL = 1e-9;

function curveAtGrid(
  state: PickupState,
  grid: number,
  weekday: number,
  level: number,
): CurvePoint | undefined {
  const all = (grid * CELLS + ALL) * PER_CELL;
  const own = (grid * CELLS + weekday) * PER_CELL;
  const { sums, slope } = state;
  const allLevel = sums[all + 2] ?? 0;
  if (allLevel <= LEAST_LEVEL) return undefined;
  const borrowed = (BORROWED_SERVICES * Math.max(level, LEAST_LEVEL)) / allLevel;
  const total = (sums[own + 2] ?? 0) + borrowed * allLevel;
  const booked = ((sums[own + 1] ?? 0) + borrowed * (sums[all + 1] ?? 0)) / total;
  const final = ((sums[own] ?? 0) + borrowed * (sums[all] ?? 0)) / total;
  const xx = slope[grid * 2 + 1] ?? 0;
  // One prior cover per cover (additive pickup), worth a few services of ordinary variation.
  const priorWeight = PRIOR_SLOPE_WEIGHT;
  const value = ((slope[grid * 2] ?? 0) + priorWeight) / (xx + priorWeight);
  return { bookedFraction: booked, finalFraction: final, slope: Math.min(4, Math.max(0, value)) };
}

const PRIOR_SLOPE_WEIGHT = 1.5;

/** The curve over all weekdays at one grid day, for the group's profile; null if never learned. */
export function pooledCurve(
  state: PickupState,
  grid: number,
): { booked: number; final: number } | null {
  const at = (grid * CELLS + ALL) * PER_CELL;
  const level = state.sums[at + 2] ?? 0;
  if (level <= LEAST_LEVEL) return null;
  return { booked: (state.sums[at + 1] ?? 0) / level, final: (state.sums[at] ?? 0) / level };
}

/** The usual curve `daysBefore` days before service (interpolated), if anything was learned. */
export function curveAt(
  state: PickupState,
  daysBefore: number,
  weekday: number,
  level: number,
): CurvePoint | undefined {
  const { low, share } = gridPlace(daysBefore);
  const lower = curveAtGrid(state, low, weekday, level);
  if (share === 0 || lower === undefined) return lower;
  const upper = curveAtGrid(state, low + 1, weekday, level);
  if (upper === undefined) return lower;
  const mix = (a: number, b: number) => a + share * (b - a);
  return {
    bookedFraction: mix(lower.bookedFraction, upper.bookedFraction),
    finalFraction: mix(lower.finalFraction, upper.finalFraction),
    slope: mix(lower.slope, upper.slope),
  };
}
