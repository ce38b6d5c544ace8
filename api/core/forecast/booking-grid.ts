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

/** Grid place of each whole day before service: the last grid day that is not after it. */
const GRID_OF_DAY = Int8Array.from({ length: 42 }, (_, day) => gridPlace(day).low);
const NONE_KNOWN: readonly number[] = new Array<number>(GRID_SIZE).fill(-1);

/**
 * Bookings at every grid day, −1 where not known, at most `ceiling`. A snapshot stands for the
 * grid day on or next after it (closer to service) but not for later ones: an older one says too
 * little about them.
 */
export function bookedOnGrid(snapshots: readonly BookingSnapshot[], ceiling: number): number[] {
  const booked = NONE_KNOWN.slice();
  let newestFirst = true;
  let previous = Infinity;
  for (let i = 0; i < snapshots.length; i += 1) {
    const snapshot = snapshots[i] as BookingSnapshot;
    const { daysBefore } = snapshot;
    // In the usual order, nearing the service, a later snapshot simply takes the place.
    if (daysBefore > previous) newestFirst = false;
    previous = daysBefore;
    if (daysBefore >= GRID_OF_DAY.length || daysBefore < 0) continue;
    const grid = GRID_OF_DAY[daysBefore] ?? 0;
    booked[grid] = snapshot.booked > ceiling ? ceiling : snapshot.booked;
  }
  if (newestFirst) return booked;
  return bookedOnGrid(
    [...snapshots].sort((a, b) => b.daysBefore - a.daysBefore),
    ceiling,
  );
}
