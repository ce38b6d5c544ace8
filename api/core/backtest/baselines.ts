import type { BookingSnapshot } from '../forecast/index.ts';

/** What any chef could guess without a model. */
export type BaselineName = 'same-weekday-last-week' | 'mean-of-last-four' | 'booked-only';

export const BASELINES: readonly BaselineName[] = [
  'same-weekday-last-week',
  'mean-of-last-four',
  'booked-only',
];

/**
 * The newest covers of the same weekday among those known; undefined where there are none.
 * @param sameWeekday covers of that weekday known at the origin, oldest first
 */
export function lastSameWeekday(sameWeekday: readonly number[]): number | undefined {
  return sameWeekday.at(-1);
}

/** Mean of the newest four (fewer where there are fewer) covers of the same weekday. */
export function meanOfLastFour(sameWeekday: readonly number[]): number | undefined {
  const last = sameWeekday.slice(-4);
  return last.length === 0 ? undefined : last.reduce((a, y) => a + y, 0) / last.length;
}

/** What was on the books `horizonDays` before service; undefined where no snapshot was known. */
export function bookedOnly(
  snapshots: readonly BookingSnapshot[],
  horizonDays: number,
): number | undefined {
  let best: BookingSnapshot | undefined;
  for (const s of snapshots) {
    if (s.daysBefore < horizonDays) continue;
    if (best === undefined || s.daysBefore <= best.daysBefore) best = s;
  }
  return best?.booked;
}
