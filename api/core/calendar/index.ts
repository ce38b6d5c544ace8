/** Dates, clock times, zones and opening hours. Takes every instant as an argument; reads no clock. */
export {
  addDays,
  addMonths,
  datesBetween,
  daysBetween,
  firstOfMonth,
  isInSeason,
  monthOf,
  parseServiceDate,
  weekdayOf,
} from './service-date.ts';
export type { ServiceDate, Weekday } from './service-date.ts';
export {
  fromRfc3339,
  MIN_PER_DAY,
  MIN_PER_HOUR,
  minutesOfDay,
  serviceDateOf,
  serviceInstant,
  toRfc3339,
  wallClockOf,
  zoneNamed,
} from './service-instant.ts';
export type { ClockTime, EpochMin, WallClock } from './service-instant.ts';
export { openAt, openIntervals, requireOpenAt } from './open-intervals.ts';
export type { OpenInterval, OpeningCalendar, WeekdayHours } from './open-intervals.ts';
