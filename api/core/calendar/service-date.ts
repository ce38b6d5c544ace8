import { coreError } from '../shared/errors.ts';
import { err, ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';

/** A calendar date 'YYYY-MM-DD' in the site's own zone: the day a service belongs to. */
export type ServiceDate = string;

/** Day of the week, ISO 8601: 1 Monday … 7 Sunday. */
export type Weekday = 1 | 2 | 3 | 4 | 5 | 6 | 7;

const MS_PER_DAY = 24 * 60 * 60 * 1000;
const PATTERN = /^(\d{4})-(\d{2})-(\d{2})$/;

function utcMs(date: ServiceDate): number {
  const match = PATTERN.exec(date);
  if (!match) return Number.NaN;
  const [year, month, day] = [Number(match[1]), Number(match[2]), Number(match[3])];
  const ms = Date.UTC(year, month - 1, day);
  const back = new Date(ms);
  const same =
    back.getUTCFullYear() === year && back.getUTCMonth() === month - 1 && back.getUTCDate() === day;
  return same ? ms : Number.NaN;
}

function requireMs(date: ServiceDate): number {
  const ms = utcMs(date);
  if (Number.isNaN(ms)) throw new RangeError(`Not a service date: ${date}`);
  return ms;
}

function format(ms: number): ServiceDate {
  return new Date(ms).toISOString().slice(0, 10);
}

/**
 * Checks a date text. Use at the edge; the other functions here throw on a malformed date.
 *
 * @returns the same text; error `invalid-date` when it is not a real day of the Gregorian calendar
 */
export function parseServiceDate(text: string): Result<ServiceDate> {
  if (!Number.isNaN(utcMs(text))) return ok(text);
  return err(
    coreError('invalid-date', `${text} is not a date. Write it as year-month-day, 2026-03-14.`, {
      detail: { date: text },
    }),
  );
}

/** The date `days` calendar days later (earlier when negative). @throws RangeError on a malformed date */
export function addDays(date: ServiceDate, days: number): ServiceDate {
  return format(requireMs(date) + days * MS_PER_DAY);
}

/** Calendar days from `from` to `to`; negative when `to` is earlier. @throws RangeError on a malformed date */
export function daysBetween(from: ServiceDate, to: ServiceDate): number {
  return Math.round((requireMs(to) - requireMs(from)) / MS_PER_DAY);
}

/** ISO weekday of the date. @throws RangeError on a malformed date */
export function weekdayOf(date: ServiceDate): Weekday {
  const sundayFirst = new Date(requireMs(date)).getUTCDay();
  return (sundayFirst === 0 ? 7 : sundayFirst) as Weekday;
}

/** Every date from `from` to `to`, both included, ascending; empty when `to` is earlier. */
export function datesBetween(from: ServiceDate, to: ServiceDate): ServiceDate[] {
  const count = daysBetween(from, to) + 1;
  return Array.from({ length: Math.max(0, count) }, (_, day) => addDays(from, day));
}

/** Month of the date, 1 January … 12 December. @throws RangeError on a malformed date */
export function monthOf(date: ServiceDate): number {
  return new Date(requireMs(date)).getUTCMonth() + 1;
}

/** First day of the date's month. @throws RangeError on a malformed date */
export function firstOfMonth(date: ServiceDate): ServiceDate {
  requireMs(date);
  return `${date.slice(0, 7)}-01`;
}

/**
 * The same day of the month `months` later; a day the month lacks becomes its last day
 * (31 January + 1 month = 28 or 29 February). @throws RangeError on a malformed date
 */
export function addMonths(date: ServiceDate, months: number): ServiceDate {
  const start = new Date(requireMs(date));
  const year = start.getUTCFullYear();
  const month = start.getUTCMonth() + months;
  const lastDay = new Date(Date.UTC(year, month + 1, 0)).getUTCDate();
  return format(Date.UTC(year, month, Math.min(start.getUTCDate(), lastDay)));
}

/**
 * Whether the date's month lies in a season from month `firstMonth` to `lastMonth`, both included.
 * A season may run over new year: 11 to 2 is November to February.
 */
export function isInSeason(date: ServiceDate, firstMonth: number, lastMonth: number): boolean {
  const month = monthOf(date);
  return firstMonth <= lastMonth
    ? month >= firstMonth && month <= lastMonth
    : month >= firstMonth || month <= lastMonth;
}
