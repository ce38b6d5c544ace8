import { IANAZone } from 'luxon';
import { coreError } from '../shared/errors.ts';
import { err, ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';
import { addDays, parseServiceDate, weekdayOf } from './service-date.ts';
import type { ServiceDate, Weekday } from './service-date.ts';

/** Absolute time: whole minutes since 1970-01-01T00:00Z. Zone-free, so differences are true durations. */
export type EpochMin = number;

/** A wall-clock time 'HH:MM', 00:00 to 23:59; '24:00' is the midnight that ends the day. */
export type ClockTime = string;

/** What the clock on the kitchen wall shows at an instant. */
export interface WallClock {
  readonly date: ServiceDate;
  readonly time: ClockTime;
  readonly weekday: Weekday;
}

export const MIN_PER_HOUR = 60;
export const MIN_PER_DAY = 24 * MIN_PER_HOUR;
const MS_PER_MIN = 60_000;
const CLOCK = /^([01]\d|2[0-3]):([0-5]\d)$/;

/** Minutes after the midnight that starts the day, 0…1440. Error `invalid-date` for anything else. */
export function minutesOfDay(time: ClockTime): Result<number> {
  if (time === '24:00') return ok(MIN_PER_DAY);
  const match = CLOCK.exec(time);
  if (match) return ok(Number(match[1]) * MIN_PER_HOUR + Number(match[2]));
  return err(
    coreError('invalid-date', `${time} is not a time of day. Write it as 24-hour HH:MM, 18:30.`, {
      detail: { time },
    }),
  );
}

/** Zones found before: asking whether a name is one costs much more than a zone is worth. */
const knownZones = new Map<string, IANAZone>();

/** Looks up an IANA zone ('Europe/London'). Error `invalid-zone` when the name is unknown. */
export function zoneNamed(zone: string): Result<IANAZone> {
  const known = knownZones.get(zone);
  if (known) return ok(known);
  if (IANAZone.isValidZone(zone)) {
    const found = IANAZone.create(zone);
    knownZones.set(zone, found);
    return ok(found);
  }
  return err(coreError('invalid-zone', `${zone} is not a known time zone.`, { detail: { zone } }));
}

/** Local minutes (as if the wall clock were UTC) to absolute minutes, by the rules of serviceInstant. */
function absoluteMin(localMin: number, zone: IANAZone): EpochMin {
  const offsetAt = (min: number): number => Math.round(zone.offset(min * MS_PER_MIN));
  const before = offsetAt(localMin - MIN_PER_DAY);
  const after = offsetAt(localMin + MIN_PER_DAY);
  const valid = [before, after]
    .map((offset) => ({ instant: localMin - offset, offset }))
    .filter(({ instant, offset }) => offsetAt(instant) === offset)
    .map(({ instant }) => instant);
  return valid.length > 0 ? Math.min(...valid) : localMin - before;
}

/**
 * The instant at which the wall clock of `zone` shows `time` on `date`.
 *
 * When clocks go back and the time comes twice, it is the first of the two (prep is ready early,
 * never late). When clocks go forward and the time does not exist, it is the time as far after the
 * jump as it would have been after the hour before: 02:30 in a one-hour gap is the instant that
 * shows 03:30.
 *
 * @returns whole minutes since the Unix epoch; error `invalid-date` or `invalid-zone`
 */
export function serviceInstant(date: ServiceDate, time: ClockTime, zone: string): Result<EpochMin> {
  const day = parseServiceDate(date);
  if (!day.ok) return day;
  const minutes = minutesOfDay(time);
  if (!minutes.ok) return minutes;
  const found = zoneNamed(zone);
  if (!found.ok) return found;
  // '24:00' is the next day's midnight, so that it also falls right when the clocks change.
  const [onDate, ofDay] =
    minutes.value === MIN_PER_DAY ? [addDays(date, 1), 0] : [date, minutes.value];
  const midnightMin = Date.parse(`${onDate}T00:00:00Z`) / MS_PER_MIN;
  return ok(absoluteMin(midnightMin + ofDay, found.value));
}

/** What the wall clock of `zone` shows at `atMin`. Error `invalid-zone`. */
export function wallClockOf(atMin: EpochMin, zone: string): Result<WallClock> {
  const found = zoneNamed(zone);
  if (!found.ok) return found;
  const local = new Date((atMin + Math.round(found.value.offset(atMin * MS_PER_MIN))) * MS_PER_MIN);
  const text = local.toISOString();
  const date = text.slice(0, 10);
  return ok({ date, time: text.slice(11, 16), weekday: weekdayOf(date) });
}

/** The calendar date in `zone` at `atMin`. Error `invalid-zone`. */
export function serviceDateOf(atMin: EpochMin, zone: string): Result<ServiceDate> {
  const wall = wallClockOf(atMin, zone);
  return wall.ok ? ok(wall.value.date) : wall;
}

/** RFC 3339 in UTC, for the wire: '2026-03-14T18:30:00Z'. */
export function toRfc3339(atMin: EpochMin): string {
  return `${new Date(atMin * MS_PER_MIN).toISOString().slice(0, 19)}Z`;
}

/** Whole minutes since the epoch from RFC 3339; seconds are cut off. Error `invalid-date`. */
export function fromRfc3339(text: string): Result<EpochMin> {
  const ms = /^\d{4}-\d{2}-\d{2}[Tt]/.test(text) ? Date.parse(text) : Number.NaN;
  if (!Number.isNaN(ms)) return ok(Math.floor(ms / MS_PER_MIN));
  return err(coreError('invalid-date', `${text} is not an instant.`, { detail: { text } }));
}
