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
  if (serviceDate.length === 10 && serviceDate[4] === '-' && serviceDate[7] === '-') {
    const year = digits(serviceDate, 0, 4);
    const month = digits(serviceDate, 5, 7);
    const day = digits(serviceDate, 8, 10);
    // A broken number is not ≥ anything, so it falls through to the refusal.
    if (year >= 1 && month >= 1 && month <= 12 && day >= 1 && day <= daysInMonth(year, month)) {
      return ok(daysFromCivil(year, month, day));
    }
  }
  return err(
    coreError('invalid-date', `"${serviceDate}" is not a calendar date (YYYY-MM-DD).`, {
      detail: { serviceDate },
    }),
  );
}

/** The number its characters from `from` to `to` spell, or NaN where one is not a digit. */
function digits(text: string, from: number, to: number): number {
  let value = 0;
  for (let i = from; i < to; i += 1) {
    const digit = text.charCodeAt(i) - 48;
    if (digit < 0 || digit > 9) return Number.NaN;
    value = value * 10 + digit;
  }
  return value;
}

/**
 * Days since 1970-01-01 of a Gregorian date, the year counted from March so that the leap day ends
 * it (Hinnant, "chrono-compatible low-level date algorithms"; from memory). Kept apart from Date
 * because two years of services are 700 dates a series.
 */
function daysFromCivil(year: number, month: number, day: number): number {
  const y = month <= 2 ? year - 1 : year;
  const era = Math.floor(y / 400);
  const yearOfEra = y - era * 400;
  const dayOfYear = Math.floor((153 * (month + (month > 2 ? -3 : 9)) + 2) / 5) + day - 1;
  const dayOfEra =
    yearOfEra * 365 + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100) + dayOfYear;
  return era * 146_097 + dayOfEra - 719_468;
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
