import type { BookingSnapshot } from './forecast-input.ts';
import { GRID, GRID_SIZE, gridPlace, snapshotAt } from './booking-grid.ts';

/**
 * What becomes of a booking: cancelled before service, not turning up, or kept; and walk-ins, which
 * never were bookings. Learned only where the source records them.
 *
 * Cancellation between two grid days is a life-table hazard: cancelled ÷ (booked at the start +
 * half of the new bookings in between); the part surviving from a day to service is the product
 * of 1 − hazard (Cutler & Ederer 1958 actuarial method, from memory).
 */
export interface KeptModel {
  /** [grid interval g → g−1][cancelled, at risk], flat; index 0 unused. */
  readonly cancelled: Float64Array;
  /** [not turned up, booked on the day] */
  readonly noShow: Float64Array;
  /** [weekday 0–6][walk-ins, services], flat. */
  readonly walkIns: Float64Array;
  /** Part kept from each grid day to the table, as it now stands. */
  readonly keptOnGrid: Float64Array;
  /** False when `keptOnGrid` has to be worked out again. */
  fresh: boolean;
}

const KEEP = 0.985;
const KEEP_WALK_INS = 0.95;
/** No-show part assumed until it is recorded (common practice, no source), and its weight, covers. */
const ASSUMED_NO_SHOW = 0.05;
const ASSUMED_NO_SHOW_COVERS = 60;
/** Covers at risk without a cancellation that a hazard starts from. */
const ASSUMED_AT_RISK = 30;

export function emptyKept(): KeptModel {
  return {
    cancelled: new Float64Array(GRID_SIZE * 2),
    noShow: new Float64Array(2),
    walkIns: new Float64Array(14),
    keptOnGrid: new Float64Array(GRID_SIZE),
    fresh: false,
  };
}

/** Learns cancellations, no-shows and walk-ins of one completed service. */
export function learnKept(
  model: KeptModel,
  weekday: number,
  snapshots: readonly BookingSnapshot[],
  bookedOnDay: number,
  finalCovers: number,
  walkInCovers: number | undefined,
): void {
  if (snapshots[0]?.cancelledSoFar !== undefined) {
    learnCancelled(model, snapshots);
    model.fresh = false;
  }
  if (walkInCovers === undefined) return;
  const at = weekday * 2;
  model.walkIns[at] = (model.walkIns[at] ?? 0) * KEEP_WALK_INS + walkInCovers;
  model.walkIns[at + 1] = (model.walkIns[at + 1] ?? 0) * KEEP_WALK_INS + 1;
  if (bookedOnDay < 0) return;
  const lost = Math.max(0, bookedOnDay - Math.max(0, finalCovers - walkInCovers));
  model.noShow[0] = (model.noShow[0] ?? 0) * KEEP + lost;
  model.noShow[1] = (model.noShow[1] ?? 0) * KEEP + bookedOnDay;
  model.fresh = false;
}

function learnCancelled(model: KeptModel, snapshots: readonly BookingSnapshot[]): void {
  const { cancelled } = model;
  for (let g = 1; g < GRID_SIZE; g += 1) {
    const start = snapshotAt(snapshots, GRID[g] ?? 0);
    const end = snapshotAt(snapshots, GRID[g - 1] ?? 0);
    if (start?.cancelledSoFar === undefined || end?.cancelledSoFar === undefined) continue;
    if (start.daysBefore === end.daysBefore) continue;
    const lost = Math.max(0, end.cancelledSoFar - start.cancelledSoFar);
    const made = Math.max(0, end.booked - start.booked + lost);
    const at = g * 2;
    cancelled[at] = (cancelled[at] ?? 0) * KEEP + lost;
    cancelled[at + 1] = (cancelled[at + 1] ?? 0) * KEEP + start.booked + made / 2;
  }
}

/** Part of the bookings held on each grid day that is kept: not cancelled and turning up. */
export function keptByGrid(model: KeptModel): Float64Array {
  if (!model.fresh) {
    let kept = 1 - noShowFraction(model);
    for (let g = 0; g < GRID_SIZE; g += 1) {
      if (g > 0) kept *= 1 - hazard(model, g);
      model.keptOnGrid[g] = kept;
    }
    model.fresh = true;
  }
  return model.keptOnGrid;
}

/** Fractions of the bookings held `daysBefore` days before service. */
export function keptAt(
  model: KeptModel,
  daysBefore: number,
): { readonly kept: number; readonly cancelled: number; readonly noShow: number } {
  const { low, share } = gridPlace(daysBefore);
  let surviving = 1;
  for (let g = 1; g <= low; g += 1) surviving *= 1 - hazard(model, g);
  if (share > 0) surviving *= (1 - hazard(model, low + 1)) ** share;
  const noShow = noShowFraction(model);
  return { kept: surviving * (1 - noShow), cancelled: 1 - surviving, noShow };
}

function noShowFraction(model: KeptModel): number {
  const lost = (model.noShow[0] ?? 0) + ASSUMED_NO_SHOW * ASSUMED_NO_SHOW_COVERS;
  return Math.min(1, lost / ((model.noShow[1] ?? 0) + ASSUMED_NO_SHOW_COVERS));
}

function hazard(model: KeptModel, g: number): number {
  const lost = model.cancelled[g * 2] ?? 0;
  return Math.min(1, lost / ((model.cancelled[g * 2 + 1] ?? 0) + ASSUMED_AT_RISK));
}

/** Walk-ins usual on a weekday, covers, or undefined where they were never recorded. */
export function walkInsOn(model: KeptModel, weekday: number): number | undefined {
  const services = model.walkIns[weekday * 2 + 1] ?? 0;
  return services > 0 ? (model.walkIns[weekday * 2] ?? 0) / services : undefined;
}
