import { coreError } from '../shared/errors.ts';
import { err, ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';
import { addDays, datesBetween, parseServiceDate, weekdayOf } from './service-date.ts';
import type { ServiceDate, Weekday } from './service-date.ts';
import { minutesOfDay, serviceInstant } from './service-instant.ts';
import type { ClockTime, EpochMin } from './service-instant.ts';

/** One stretch of a weekday in which the site's kitchen works. `closes` before `opens` is past midnight. */
export interface WeekdayHours {
  readonly weekday: Weekday;
  readonly opens: ClockTime;
  readonly closes: ClockTime;
  /** People on shift, where that is known. */
  readonly people?: number;
}

export interface OpeningCalendar {
  /** IANA zone of the site. */
  readonly zone: string;
  readonly hours: readonly WeekdayHours[];
  readonly closedDates: readonly ServiceDate[];
  /** First and last date wanted, both included. */
  readonly fromDate: ServiceDate;
  readonly toDate: ServiceDate;
}

/** A stretch in which hands can work: from `fromMin` up to `toMin`; `date` is the day it opened. */
export interface OpenInterval {
  readonly fromMin: EpochMin;
  readonly toMin: EpochMin;
  readonly date: ServiceDate;
  /** People on shift, where that is known. */
  readonly people?: number;
}

/**
 * The site's working stretches over a run of dates, in true minutes: a day on which the clocks go
 * forward has 23 hours, one on which they go back 25.
 *
 * Stretches of one weekday may be several (a break in the afternoon). One that closes before
 * the time it opens runs past midnight into the next day, also into a closed day, and belongs to
 * the date it opened; where it would overlap the next stretch, the later one starts when it ends.
 *
 * @returns ascending, disjoint, non-empty stretches (possibly none)
 *          errors: `invalid-date`, `invalid-zone`; `out-of-range` when a stretch opens and closes at
 *          the same time (round the clock is '00:00' to '24:00') or the dates are the wrong way round
 */
export function openIntervals(calendar: OpeningCalendar): Result<OpenInterval[]> {
  const { zone, hours, closedDates, fromDate, toDate } = calendar;
  for (const date of [fromDate, toDate, ...closedDates]) {
    const parsed = parseServiceDate(date);
    if (!parsed.ok) return parsed;
  }
  if (fromDate > toDate) {
    return err(
      coreError('out-of-range', `The dates run backwards: ${fromDate} to ${toDate}.`, {
        detail: { fromDate, toDate },
      }),
    );
  }
  const closed = new Set(closedDates);
  const found: OpenInterval[] = [];
  for (const date of datesBetween(fromDate, toDate)) {
    if (closed.has(date)) continue;
    for (const [index, stretch] of hours.entries()) {
      if (stretch.weekday !== weekdayOf(date)) continue;
      const interval = stretchOn(date, stretch, zone, index);
      if (!interval.ok) return interval;
      found.push(interval.value);
    }
  }
  return ok(withoutOverlap(found));
}

function stretchOn(
  date: ServiceDate,
  stretch: WeekdayHours,
  zone: string,
  index: number,
): Result<OpenInterval> {
  const opens = minutesOfDay(stretch.opens);
  if (!opens.ok) return opens;
  const closes = minutesOfDay(stretch.closes);
  if (!closes.ok) return closes;
  if (opens.value === closes.value) {
    return err(
      coreError('out-of-range', `Opening and closing are both ${stretch.opens}.`, {
        path: ['hours', index],
        detail: { ...stretch },
      }),
    );
  }
  const closesOn = closes.value < opens.value ? addDays(date, 1) : date;
  const fromMin = serviceInstant(date, stretch.opens, zone);
  if (!fromMin.ok) return fromMin;
  const toMin = serviceInstant(closesOn, stretch.closes, zone);
  if (!toMin.ok) return toMin;
  const { people } = stretch;
  return ok({
    fromMin: fromMin.value,
    toMin: toMin.value,
    date,
    ...(people === undefined ? {} : { people }),
  });
}

function withoutOverlap(intervals: readonly OpenInterval[]): OpenInterval[] {
  const sorted = [...intervals].sort((a, b) => a.fromMin - b.fromMin || a.toMin - b.toMin);
  const kept: OpenInterval[] = [];
  let endMin = Number.NEGATIVE_INFINITY;
  for (const interval of sorted) {
    const fromMin = Math.max(interval.fromMin, endMin);
    if (fromMin >= interval.toMin) continue;
    kept.push({ ...interval, fromMin });
    endMin = interval.toMin;
  }
  return kept;
}

/** The stretch open at `atMin` (its end counts as open: a plate can go at the last minute), if any. */
export function openAt(open: readonly OpenInterval[], atMin: EpochMin): OpenInterval | undefined {
  return open.find((interval) => interval.fromMin <= atMin && atMin <= interval.toMin);
}

/**
 * Refuses a service that starts while the site is closed.
 *
 * @returns the stretch it falls in; error `infeasible` with `reason: 'service-when-closed'`
 */
export function requireOpenAt(
  open: readonly OpenInterval[],
  atMin: EpochMin,
  name: string,
): Result<OpenInterval> {
  const found = openAt(open, atMin);
  if (found) return ok(found);
  return err(
    coreError('infeasible', `${name} falls when the kitchen is closed.`, {
      detail: { reason: 'service-when-closed', atMin, name },
    }),
  );
}
