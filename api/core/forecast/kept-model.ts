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
export interface KeptState {
  /** [grid interval g → g−1][cancelled, at risk], flat; index 0 unused. */
  cancelled: number[];
  /** [not turned up, booked on the day] */
  noShow: number[];
  /** [weekday 0–6][walk-ins, services], flat. */
  walkIns: number[];
}

const KEEP = 0.985;
/** No-show part assumed until it is recorded (common practice, no source), and its weight, covers. */
export const ASSUMED_NO_SHOW = 0.05;
const ASSUMED_NO_SHOW_COVERS = 60;
/** Covers at risk without a cancellation that a hazard starts from. */
const ASSUMED_AT_RISK = 30;

export function startKept(): KeptState {
  return {
    cancelled: new Array<number>(GRID_SIZE * 2).fill(0),
    noShow: [0, 0],
    walkIns: new Array<number>(14).fill(0),
  };
}

/** Learns cancellations, no-shows and walk-ins of one completed service. */
export function learnKept(
  state: KeptState,
  weekday: number,
  snapshots: readonly BookingSnapshot[],
  bookedOnDay: number,
  finalCovers: number,
  walkInCovers: number | undefined,
): void {
  if (snapshots.some((s) => s.cancelledSoFar !== undefined)) learnCancelled(state, snapshots);
  if (walkInCovers === undefined) return;
  const at = weekday * 2;
  state.walkIns[at] = (state.walkIns[at] ?? 0) * 0.95 + walkInCovers;
  state.walkIns[at + 1] = (state.walkIns[at + 1] ?? 0) * 0.95 + 1;
  if (bookedOnDay < 0) return;
  const lost = Math.max(0, bookedOnDay - Math.max(0, finalCovers - walkInCovers));
  state.noShow[0] = (state.noShow[0] ?? 0) * KEEP + lost;
  state.noShow[1] = (state.noShow[1] ?? 0) * KEEP + bookedOnDay;
}

function learnCancelled(state: KeptState, snapshots: readonly BookingSnapshot[]): void {
  for (let g = 1; g < GRID_SIZE; g += 1) {
    const start = snapshotAt(snapshots, GRID[g] ?? 0);
    const end = snapshotAt(snapshots, GRID[g - 1] ?? 0);
    if (start?.cancelledSoFar === undefined || end?.cancelledSoFar === undefined) continue;
    if (start.daysBefore === end.daysBefore) continue;
    const cancelled = Math.max(0, end.cancelledSoFar - start.cancelledSoFar);
    const fresh = Math.max(0, end.booked - start.booked + cancelled);
    const at = g * 2;
    state.cancelled[at] = (state.cancelled[at] ?? 0) * KEEP + cancelled;
    state.cancelled[at + 1] = (state.cancelled[at + 1] ?? 0) * KEEP + start.booked + fresh / 2;
  }
}

/** Fractions of the bookings held `daysBefore` days before service. */
export function keptAt(
  state: KeptState,
  daysBefore: number,
): { readonly kept: number; readonly cancelled: number; readonly noShow: number } {
  const { low, share } = gridPlace(daysBefore);
  let surviving = 1;
  for (let g = 1; g <= low; g += 1) surviving *= 1 - hazard(state, g);
  if (share > 0) surviving *= (1 - hazard(state, low + 1)) ** share;
  const lost = state.noShow[0] ?? 0;
  const booked = state.noShow[1] ?? 0;
  const noShow = Math.min(
    1,
    (lost + ASSUMED_NO_SHOW * ASSUMED_NO_SHOW_COVERS) / (booked + ASSUMED_NO_SHOW_COVERS),
  );
  return { kept: surviving * (1 - noShow), cancelled: 1 - surviving, noShow };
}

function hazard(state: KeptState, g: number): number {
  const cancelled = state.cancelled[g * 2] ?? 0;
  const atRisk = state.cancelled[g * 2 + 1] ?? 0;
  return Math.min(1, cancelled / (atRisk + ASSUMED_AT_RISK));
}

/** Walk-ins usual on a weekday, covers, or undefined where they were never recorded. */
export function walkInsOn(state: KeptState, weekday: number): number | undefined {
  const services = state.walkIns[weekday * 2 + 1] ?? 0;
  return services > 0 ? (state.walkIns[weekday * 2] ?? 0) / services : undefined;
}
