import { locale, words } from '../texts/index.svelte.ts';

// Days and times for reading. Times are always those of the site, whatever the device thinks.

const MINUTE_MS = 60_000;
const DAY_MIN = 1440;

/** The service date of an instant in the site's zone, YYYY-MM-DD. */
export function dayOf(at: string | number, zone: string): string {
  return new Intl.DateTimeFormat('en-CA', { timeZone: zone }).format(new Date(at));
}

/** HH:MM in the site's zone. */
export function timeOf(at: string | number, zone: string): string {
  return new Intl.DateTimeFormat('en-GB', {
    timeZone: zone,
    hour: '2-digit',
    minute: '2-digit',
  }).format(new Date(at));
}

/** A weekday alone means one day only among these seven: from yesterday to five days ahead. */
const NEAREST = { from: -1, to: 5 };

/**
 * HH:MM, with the day before it when that is not the day on the page: 'Fri 14:00' within the days about
 * it, 'Fri 4 Dec 14:00' where a weekday alone would name a nearer day.
 */
export function clockOn(at: string | number, zone: string, day: string): string {
  const own = dayOf(at, zone);
  if (own === day) return timeOf(at, zone);
  const away = daysFrom(day, own);
  const near = away >= NEAREST.from && away <= NEAREST.to;
  return `${near ? weekday(own) : dayFrom(own, day)}\u00a0${timeOf(at, zone)}`;
}

const daysFrom = (from: string, to: string): number =>
  Math.round((utc(to).getTime() - utc(from).getTime()) / (DAY_MIN * MINUTE_MS));

/** Beyond so many days a day and month might be taken for this year's. */
const NEEDS_YEAR_DAYS = 300;

/** Tue 10 Mar; with its year where it is far from the other day. */
export function dayFrom(date: string, day: string): string {
  return new Intl.DateTimeFormat(locale(), {
    timeZone: 'UTC',
    weekday: 'short',
    day: 'numeric',
    month: 'short',
    ...(Math.abs(daysFrom(day, date)) > NEEDS_YEAR_DAYS ? { year: 'numeric' } : {}),
  })
    .format(utc(date))
    .replaceAll(' ', '\u00a0');
}

function utc(date: string): Date {
  return new Date(`${date}T00:00:00Z`);
}

export function weekday(date: string, width: 'short' | 'long' = 'short'): string {
  return new Intl.DateTimeFormat(locale(), { timeZone: 'UTC', weekday: width }).format(utc(date));
}

/** Tuesday 10 March. */
export function longDate(date: string): string {
  return new Intl.DateTimeFormat(locale(), {
    timeZone: 'UTC',
    weekday: 'long',
    day: 'numeric',
    month: 'long',
  }).format(utc(date));
}

/** Tue 10 Mar. */
export function shortDay(date: string): string {
  return new Intl.DateTimeFormat(locale(), {
    timeZone: 'UTC',
    weekday: 'short',
    day: 'numeric',
    month: 'short',
  }).format(utc(date));
}

/** Tue 10: enough where the month stands above it. */
export const dayOfWeek = (date: string): string =>
  `${weekday(date)}\u00a0${utc(date).getUTCDate()}`;

/** 10 Mar. */
export function shortDate(date: string): string {
  return new Intl.DateTimeFormat(locale(), {
    timeZone: 'UTC',
    day: 'numeric',
    month: 'short',
  }).format(utc(date));
}

/** March 2026, from YYYY-MM. */
export function monthName(month: string): string {
  return new Intl.DateTimeFormat(locale(), {
    timeZone: 'UTC',
    month: 'long',
    year: 'numeric',
  }).format(utc(`${month}-01`));
}

/** Tuesday 10 March 2026, for what is kept or hung up. */
export function fullDate(date: string): string {
  return new Intl.DateTimeFormat(locale(), { timeZone: 'UTC', dateStyle: 'full' }).format(
    utc(date),
  );
}

/** A text of the service with its dates made readable: 'Lunch 2026-03-10' as 'Lunch Tue 10 Mar'. */
export function withDates(text: string): string {
  const format = new Intl.DateTimeFormat(locale(), {
    timeZone: 'UTC',
    weekday: 'short',
    day: 'numeric',
    month: 'short',
  });
  return text.replace(/\b\d{4}-\d{2}-\d{2}\b/g, (date) => format.format(utc(date)));
}

export function shiftDate(date: string, days: number): string {
  const at = utc(date);
  at.setUTCDate(at.getUTCDate() + days);
  return at.toISOString().slice(0, 10);
}

/** 'today', 'tomorrow', 'Friday' within the week, else the date. */
export function dayWord(date: string, today: string): string {
  const days = daysFrom(today, date);
  if (days === 0) return words.t.today;
  if (days === 1) return words.t.tomorrow;
  if (days === -1) return words.t.yesterday;
  return days > 1 && days < 7 ? weekday(date, 'long') : longDate(date);
}

/** 45 min, 2 h 05 min, 3 days: a length of time, never below zero. */
export function span(ms: number): string {
  const minutes = Math.max(0, Math.round(ms / MINUTE_MS));
  if (minutes < 60) return `${minutes}\u00a0min`;
  const hours = Math.floor(minutes / 60);
  if (hours < 24 && minutes % 60 === 0) return `${hours}\u00a0h`;
  if (hours < 24) return `${hours}\u00a0h\u00a0${String(minutes % 60).padStart(2, '0')}\u00a0min`;
  return words.t.days(Math.floor(minutes / DAY_MIN), hours % 24);
}

/** 12:05 for a timer that runs. */
export function countdown(ms: number): string {
  const seconds = Math.max(0, Math.ceil(ms / 1000));
  const part = (n: number): string => String(n).padStart(2, '0');
  const hours = Math.floor(seconds / 3600);
  const rest = `${part(Math.floor(seconds / 60) % 60)}:${part(seconds % 60)}`;
  return hours > 0 ? `${hours}:${rest}` : rest;
}
