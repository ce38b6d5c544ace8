import { GRID_SIZE, gridPlace } from './booking-grid.ts';

/**
 * What the booking curve of a series has shown, by grid day before service.
 *
 * Exponentially weighted sums by weekday and over all weekdays of final covers, bookings at that
 * day and usual level. From them: the part of the level usually booked (Σ booked/Σ level), the
 * multiplicative pickup ratio (Σ final/Σ booked, pooled so that an empty curve does not break it)
 * and the additive pickup per cover of usual level (Σ final − kept·Σ booked)/Σ level.
 * `slopes` regress the surprise of the day on being ahead of the usual curve.
 * Sources: classical pickup as in Weatherford & Kimes 2003 (Int. J. Forecasting 19) and the
 * comparative study of Zakhary, El Gayar & Atiya; regression on bookings as in the former.
 */
export interface PickupModel {
  /** [grid][weekday 0–6, 7 = all][final, booked, level], flat. */
  readonly sums: Float64Array;
  /** [grid][Σxy, Σxx], flat. */
  readonly slopes: Float64Array;
}

/** The usual booking curve at one day before service. Fractions of the usual level. */
export interface CurvePoint {
  /** False when nothing was learned there; the figures then mean nothing. */
  known: boolean;
  bookedFraction: number;
  finalFraction: number;
  /** Extra final covers for one cover booked more than usual. */
  slope: number;
}

export const PER_CELL = 3;
export const CELLS = 8;
export const ALL = 7;
/** Weight kept from one service of a weekday to the next of that weekday, and over all. */
export const KEEP_WEEKDAY = 0.95;
export const KEEP_ALL = 0.985;
export const KEEP_SLOPE = 0.99;
/** Services of all weekdays' experience that a single weekday's is mixed with. */
export const BORROWED_SERVICES = 4;
/** Services that a curve borrowed from the group is worth. */
const SEED_SERVICES = 6;
/** The slope starts at one cover for one cover (additive pickup), with this weight. */
export const PRIOR_SLOPE_WEIGHT = 1.5;
export const MOST_SLOPE = 4;
/** Level below which a sum is no experience, covers. */
export const LEAST_LEVEL = 1e-9;

export function emptyPickup(): PickupModel {
  return {
    sums: new Float64Array(GRID_SIZE * CELLS * PER_CELL),
    slopes: new Float64Array(GRID_SIZE * 2),
  };
}

/** An unknown curve point, to be filled by `curveAt`. */
export function emptyCurve(): CurvePoint {
  return { known: false, bookedFraction: 0, finalFraction: 0, slope: 1 };
}

/** Starts the curve from the group's, so that the series' own services take over as they come. */
export function seedPickup(
  model: PickupModel,
  curve: readonly ({ readonly booked: number; readonly final: number } | null)[],
  level: number,
): void {
  for (let grid = 0; grid < GRID_SIZE; grid += 1) {
    const point = curve[grid];
    if (point === null || point === undefined) continue;
    const at = (grid * CELLS + ALL) * PER_CELL;
    model.sums[at] = point.final * level * SEED_SERVICES;
    model.sums[at + 1] = point.booked * level * SEED_SERVICES;
    model.sums[at + 2] = level * SEED_SERVICES;
  }
}

/** Fills `point` with the usual curve at a grid day, for a weekday (0 Monday) and usual level. */
export function curveOnGrid(
  model: PickupModel,
  grid: number,
  weekday: number,
  level: number,
  point: CurvePoint,
): void {
  const { sums, slopes } = model;
  const all = (grid * CELLS + ALL) * PER_CELL;
  const own = (grid * CELLS + weekday) * PER_CELL;
  const allLevel = sums[all + 2] ?? 0;
  point.known = allLevel > LEAST_LEVEL;
  if (!point.known) return;
  // A few services of all weekdays' experience, at this level, join the weekday's own.
  const borrowedLevel = BORROWED_SERVICES * Math.max(level, LEAST_LEVEL);
  const borrowed = borrowedLevel / allLevel;
  const perLevel = 1 / ((sums[own + 2] ?? 0) + borrowedLevel);
  point.bookedFraction = ((sums[own + 1] ?? 0) + borrowed * (sums[all + 1] ?? 0)) * perLevel;
  point.finalFraction = ((sums[own] ?? 0) + borrowed * (sums[all] ?? 0)) * perLevel;
  const xy = (slopes[grid * 2] ?? 0) + PRIOR_SLOPE_WEIGHT;
  const xx = (slopes[grid * 2 + 1] ?? 0) + PRIOR_SLOPE_WEIGHT;
  point.slope = Math.min(MOST_SLOPE, Math.max(0, xy / xx));
}

/** The usual curve `daysBefore` days before service, interpolated between grid days. */
export function curveAt(
  model: PickupModel,
  daysBefore: number,
  weekday: number,
  level: number,
): CurvePoint {
  const { low, share } = gridPlace(daysBefore);
  const lower = emptyCurve();
  curveOnGrid(model, low, weekday, level, lower);
  if (share === 0 || !lower.known) return lower;
  const upper = emptyCurve();
  curveOnGrid(model, low + 1, weekday, level, upper);
  if (!upper.known) return lower;
  return {
    known: true,
    bookedFraction: lower.bookedFraction + share * (upper.bookedFraction - lower.bookedFraction),
    finalFraction: lower.finalFraction + share * (upper.finalFraction - lower.finalFraction),
    slope: lower.slope + share * (upper.slope - lower.slope),
  };
}

/** The curve over all weekdays at one grid day, for the group's profile; null if never learned. */
export function pooledCurve(
  sums: readonly number[],
  grid: number,
): { readonly booked: number; readonly final: number } | null {
  const at = (grid * CELLS + ALL) * PER_CELL;
  const level = sums[at + 2] ?? 0;
  if (level <= LEAST_LEVEL) return null;
  return { booked: (sums[at + 1] ?? 0) / level, final: (sums[at] ?? 0) / level };
}
