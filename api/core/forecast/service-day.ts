import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';
import { coreError } from '../shared/errors.ts';
import type { IsoWeekday } from './forecast-input.ts';

const MS_PER_DAY = 24 * 60 * 60 * 1000;

/**
 * Days since 1970-01-01 of a service date `YYYY-MM-DD`. A service date is a calendar day, not an
 * instant, so daylight saving changes nothing here and 29 February is one more day.
 * Error: `invalid-date`.
 */
export function dayNumber(serviceDate: string): Result<number> {
  const c = (i: number) => serviceDate.charCodeAt(i) - 48;
  const year = c(0) * 1000 + c(1) * 100 + c(2) * 10 + c(3);
  const month = c(5) * 10 + c(6);
  const day = c(8) * 10 + c(9);
  if (/^\d{4}-\d\d-\d\d$/.test(serviceDate) && month >= 1 && month <= 12 && day >= 1) {
    if (day <= daysInMonth(year, month)) return ok(Date.UTC(year, month - 1, day) / MS_PER_DAY);
  }
  return err(
    coreError('invalid-date', `"${serviceDate}" is not a calendar date (YYYY-MM-DD).`, {
      detail: { serviceDate },
    }),
  );
}

function daysInMonth(year: number, month: number): number {
  if (month === 2) return year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0) ? 29 : 28;
  return month === 4 || month === 6 || month === 9 || month === 11 ? 30 : 31;
}

/** The service date of a day number: the inverse of `dayNumber`. */
export function serviceDateOf(day: number): string {
  return new Date(day * MS_PER_DAY).toISOString().slice(0, 10);
}

/** ISO weekday (1 Monday … 7 Sunday) of a day number; 1970-01-01 was a Thursday. */
export function weekdayOf(day: number): IsoWeekday {
  return (((((day + 3) % 7) + 7) % 7) + 1) as IsoWeekday;
}
