import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';
import { coreError } from '../shared/errors.ts';
import type { IsoWeekday } from './forecast-input.ts';

const MS_PER_DAY = 24 * 60 * 60 * 1000;
const HYPHEN = 45;
/** Takes any date it is part of below every bound. */
const NOT_DIGITS = -1_000_000;

/**
 * Days since 1970-01-01 of a service date `YYYY-MM-DD`. A service date is a calendar day, not an
 * instant, so daylight saving changes nothing here and 29 February is one more day.
 * Error: `invalid-date`.
 */
export function dayNumber(serviceDate: string): Result<number> {
  if (
    serviceDate.length === 10 &&
    serviceDate.charCodeAt(4) === HYPHEN &&
    serviceDate.charCodeAt(7) === HYPHEN
  ) {
    const year = 100 * twoDigits(serviceDate, 0) + twoDigits(serviceDate, 2);
    const month = twoDigits(serviceDate, 5);
    const day = twoDigits(serviceDate, 8);
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

/** The number two characters spell, or one far below 0 where one of them is not a digit. */
function twoDigits(text: string, at: number): number {
  const tens = text.charCodeAt(at) - 48;
  const ones = text.charCodeAt(at + 1) - 48;
  return tens >= 0 && tens <= 9 && ones >= 0 && ones <= 9 ? tens * 10 + ones : NOT_DIGITS;
}

/**
 * Days since 1970-01-01 of a Gregorian date, the year counted from March so that the leap day ends
 * it (Hinnant, "chrono-compatible low-level date algorithms"; from memory). Kept apart from Date
 * because two years of services are 700 dates a series.
 */
function daysFromCivil(year: number, month: number, day: number): number {
  const y = month <= 2 ? year - 1 : year;
  // Whole numbers from 0 up: cutting off a fraction is the floor, and stays among whole numbers.
  const era = (y / 400) | 0;
  const yearOfEra = y - era * 400;
  const dayOfYear = (((153 * (month + (month > 2 ? -3 : 9)) + 2) / 5) | 0) + day - 1;
  const dayOfEra = yearOfEra * 365 + ((yearOfEra / 4) | 0) - ((yearOfEra / 100) | 0) + dayOfYear;
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
