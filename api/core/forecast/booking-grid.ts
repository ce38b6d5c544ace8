import type { BookingSnapshot } from './forecast-input.ts';

/** Days before service at which the booking curve is learned; between them it is interpolated. */
export const GRID = [0, 1, 2, 3, 4, 5, 6, 7, 10, 14, 21, 28] as const;
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

/**
 * Bookings at every grid day, −1 where not known. A snapshot stands for grid days after it until a
 * newer one, but not past the next grid day: an older one says too little about that day.
 */
export function bookedOnGrid(snapshots: readonly BookingSnapshot[], ceiling: number): number[] {
  const booked = new Array<number>(GRID_SIZE).fill(-1);
  const age = new Array<number>(GRID_SIZE).fill(Infinity);
  for (const snapshot of snapshots) {
    const d = snapshot.daysBefore;
    for (let g = 0; g < GRID_SIZE; g += 1) {
      const at = GRID[g] ?? 0;
      if (at > d) break;
      const limit = GRID[g + 1] ?? 42;
      if (d < limit && d <= (age[g] ?? Infinity)) {
        age[g] = d;
        booked[g] = Math.min(ceiling, snapshot.booked);
      }
    }
  }
  return booked;
}
