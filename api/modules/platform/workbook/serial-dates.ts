const DAY_MS = 86_400_000;
const SECONDS_A_DAY = 86_400;
/** The last day of 9999 in each system. */
const LAST = { 1900: 2_958_465, 1904: 2_957_003 } as const;

/** From which day a workbook counts: 1900-01-01 as day 1, or 1904-01-01 as day 0. */
export type DateBase = 1900 | 1904;

/** What of a serial value is shown. */
export type DateShown = 'date' | 'time' | 'date and time';

/**
 * A serial value as text: '2026-03-14', '05:30:00', or both with a T between them; a date alone
 * where a date and time is midnight. Null for what is no date: negative, or after 9999.
 *
 * In the 1900 system day 60 is the 29th of February 1900, which no calendar has: it is written as
 * that, so that whoever wants a date refuses it.
 *
 * Source: ECMA-376 (1st edition) Part 4 section 3.17.4.1, kept as 'backward compatibility' in later
 * editions (Part 1, 18.17.4.1). Times are rounded to the second.
 */
export function serialText(serial: number, base: DateBase, shown: DateShown): string | null {
  if (!(serial >= 0) || serial >= LAST[base] + 1) return null;
  let day = Math.floor(serial);
  let seconds = Math.round((serial - day) * SECONDS_A_DAY);
  if (seconds === SECONDS_A_DAY) [day, seconds] = [day + 1, 0];
  const time = clock(seconds);
  if (shown === 'time') return day === 0 ? time : null;
  if (day > LAST[base]) return null;
  const date = dayText(day, base);
  return shown === 'date' || seconds === 0 ? date : `${date}T${time}`;
}

function dayText(day: number, base: DateBase): string {
  if (base === 1904) return isoDay(Date.UTC(1904, 0, 1) + day * DAY_MS);
  if (day === 0) return '1900-01-00';
  if (day === 60) return '1900-02-29';
  return isoDay(Date.UTC(1899, 11, day < 60 ? 31 : 30) + day * DAY_MS);
}

const isoDay = (ms: number): string => new Date(ms).toISOString().slice(0, 10);

function clock(seconds: number): string {
  const two = (n: number): string => String(n).padStart(2, '0');
  return `${two(Math.floor(seconds / 3600))}:${two(Math.floor(seconds / 60) % 60)}:${two(seconds % 60)}`;
}
