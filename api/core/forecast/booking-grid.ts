import type { BookingSnapshot } from './forecast-input.ts';

/** Days before service at which the booking curve is learned; between them it is interpolated. */
export const GRID = [0, 1, 2, 3, 5, 7, 10, 14, 21, 28] as const;
export const GRID_SIZE = GRID.length;
/** Furthest day before service at which bookings are used. */
export const GRID_LAST = 28;

/** Furthest ahead a forecast is given, days. Past it the answer would be a guess. */
export const MAX_HORIZON_DAYS = 120;

/** Where a day before service lies on the grid: `low` ≤ day ≤ `low + 1`, `share` of the upper. */
export function gridPlace(daysBefore: number): { readonly low: number; readonly share: number } {
  for (let g = 0; g < GRID_SIZE - 1; g += 1) {
    const upper = GRID[g + 1] ?? GRID_LAST;
    if (daysBefore < upper) {
      const lower = GRID[g] ?? 0;
      return { low: g, share: (daysBefore - lower) / (upper - lower) };
    }
  }
  return { low: GRID_SIZE - 1, share: 0 };
}

/**
 * The newest snapshot that was known `daysBefore` days before service (or longer before), from
 * snapshots in any order. Of two for the same day the later in the list wins.
 */
export function snapshotAt(
  snapshots: readonly BookingSnapshot[],
  daysBefore: number,
): BookingSnapshot | undefined {
  let best: BookingSnapshot | undefined;
  for (const snapshot of snapshots) {
    if (snapshot.daysBefore < daysBefore) continue;
    if (best === undefined || snapshot.daysBefore <= best.daysBefore) best = snapshot;
  }
  return best;
}

/** More days before service than any snapshot that is as usual; a whole number, to be compared as one. */
const FURTHEST = 1_000_000;
/** Grid place of each whole day before service: the last grid day that is not after it. */
const GRID_OF_DAY = Int8Array.from({ length: 42 }, (_, day) => gridPlace(day).low);

/**
 * Fills `booked` from index `from` on with the bookings at every grid day, −1 where not known, in
 * one pass over snapshots as they usually come: whole numbers, nearing the service, none after it
 * and none above `ceiling`. A snapshot stands for the grid day on or next after it (closer to
 * service) but not for later ones: an older one says too little about them.
 * @returns false where anything is not as usual; what was filled in is then of no use
 */
export function usualOnGrid(
  snapshots: readonly BookingSnapshot[],
  ceiling: number,
  booked: Float64Array,
  from: number,
): boolean {
  for (let g = 0; g < GRID_SIZE; g += 1) booked[from + g] = -1;
  let previous = FURTHEST;
  for (let i = 0; i < snapshots.length; i += 1) {
    const { daysBefore, booked: covers, cancelledSoFar } = snapshots[i] as BookingSnapshot;
    if (!(daysBefore <= previous && daysBefore >= 0 && covers >= 0 && covers <= ceiling)) {
      return false;
    }
    if (Math.floor(daysBefore) !== daysBefore || Math.floor(covers) !== covers) return false;
    if (
      cancelledSoFar !== undefined &&
      !(Number.isInteger(cancelledSoFar) && cancelledSoFar >= 0)
    ) {
      return false;
    }
    previous = daysBefore;
    if (daysBefore < GRID_OF_DAY.length) booked[from + (GRID_OF_DAY[daysBefore] ?? 0)] = covers;
  }
  return true;
}

/** The same from snapshots in any order: checked, but perhaps above `ceiling` (then cut to it). */
export function bookedOnGrid(
  snapshots: readonly BookingSnapshot[],
  ceiling: number,
  booked: Float64Array,
  from: number,
): void {
  for (let g = 0; g < GRID_SIZE; g += 1) booked[from + g] = -1;
  for (const snapshot of [...snapshots].sort((a, b) => b.daysBefore - a.daysBefore)) {
    const grid = GRID_OF_DAY[snapshot.daysBefore];
    if (grid !== undefined) booked[from + grid] = Math.min(ceiling, snapshot.booked);
  }
}
