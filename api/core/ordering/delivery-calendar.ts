import {
  addDays,
  minutesOfDay,
  parseServiceDate,
  serviceDateOf,
  serviceInstant,
  weekdayOf,
  zoneNamed,
} from '../calendar/index.ts';
import type { ClockTime, EpochMin, ServiceDate, Weekday } from '../calendar/index.ts';
import { coreError } from '../shared/errors.ts';
import { err, ok, type Result } from '../shared/result.ts';

/** When a supplier delivers and until when it takes orders. Times are the supplier's own. */
export interface DeliveryRules {
  /** IANA zone of the supplier. */
  readonly zone: string;
  /** ISO weekdays on which it delivers, 1 Monday … 7 Sunday. */
  readonly deliveryWeekdays: readonly Weekday[];
  /** Orders close at `time`, at the latest `daysBefore` calendar days before the delivery date. */
  readonly cutoff: { readonly daysBefore: number; readonly time: ClockTime };
  /** Working days the supplier needs, counted from the day after the cutoff to the delivery. */
  readonly leadDays: number;
  /** Dates on which it neither delivers nor takes orders; they are no working days. */
  readonly holidays: readonly ServiceDate[];
  /** Weekdays on which it takes and makes up orders; all seven when left out. */
  readonly workingWeekdays?: readonly Weekday[];
  /** Latest arrival; needed when orders may close on the delivery date itself. */
  readonly arrivesBy?: ClockTime;
  /** Days after the delivery from which the goods can be used: 0 (when left out) or more. */
  readonly usableAfterDays?: number;
}

/** One delivery that can still be ordered. */
export interface DeliveryOption {
  readonly deliveryDate: ServiceDate;
  /** Last minute at which the order is taken. */
  readonly cutoffMin: EpochMin;
  /** First date whose needs it can cover. */
  readonly usableFromDate: ServiceDate;
}

/** Longest look-ahead: more is a slip of the keyboard. */
const MAX_HORIZON_DAYS = 731;
/** A cutoff is looked for this far back before the rules count as never letting an order in. */
const MAX_LOOKBACK_DAYS = 120;

function refuse(message: string, path: string, detail: Record<string, unknown>): Result<never> {
  return err(coreError('out-of-range', message, { path: [path], detail }));
}

/**
 * Checks a supplier's delivery rules.
 *
 * Errors: `missing-data` without a delivery weekday; `invalid-zone`; `invalid-date` for a time or
 * holiday that is none; `out-of-range` for negative or broken days and for a cutoff that is not
 * before the delivery.
 */
export function checkDeliveryRules(rules: DeliveryRules): Result<DeliveryRules> {
  const zone = zoneNamed(rules.zone);
  if (!zone.ok) return zone;
  const weekdays = [...rules.deliveryWeekdays, ...(rules.workingWeekdays ?? [])];
  if (weekdays.some((day) => !Number.isInteger(day) || day < 1 || day > 7)) {
    return refuse('A weekday is a number from 1, Monday, to 7, Sunday.', 'deliveryWeekdays', {
      weekdays,
    });
  }
  if (rules.deliveryWeekdays.length === 0) {
    return err(
      coreError('missing-data', 'The supplier has no delivery days, so nothing can be ordered.', {
        path: ['deliveryWeekdays'],
      }),
    );
  }
  if (rules.workingWeekdays?.length === 0) {
    return refuse('A supplier works on at least one weekday.', 'workingWeekdays', {});
  }
  const { daysBefore, time } = rules.cutoff;
  for (const [name, days] of [
    ['cutoff', daysBefore],
    ['leadDays', rules.leadDays],
    ['usableAfterDays', rules.usableAfterDays ?? 0],
  ] as const) {
    if (!Number.isInteger(days) || days < 0 || days > 60) {
      return refuse(
        name === 'cutoff' && days < 0
          ? 'Orders cannot close after the delivery.'
          : 'Days are whole numbers from 0 to 60.',
        name,
        { days },
      );
    }
  }
  const cutoffTime = minutesOfDay(time);
  if (!cutoffTime.ok) return cutoffTime;
  const arrival = rules.arrivesBy === undefined ? null : minutesOfDay(rules.arrivesBy);
  if (arrival && !arrival.ok) return arrival;
  if (daysBefore === 0 && rules.leadDays === 0 && !(arrival && cutoffTime.value < arrival.value)) {
    return refuse(
      'Orders that close on the delivery day must close before the stated arrival.',
      'cutoff',
      { cutoff: time, arrivesBy: rules.arrivesBy ?? null },
    );
  }
  for (const holiday of rules.holidays) {
    const date = parseServiceDate(holiday);
    if (!date.ok) return date;
  }
  return ok(rules);
}

/** The last date on which an order for `deliveryDate` is taken, or null when there is none. */
function cutoffDate(
  rules: DeliveryRules,
  deliveryDate: ServiceDate,
  isWorkingDay: (date: ServiceDate) => boolean,
): ServiceDate | null {
  let workingDays = 0;
  for (let back = 0; back <= MAX_LOOKBACK_DAYS; back += 1) {
    const date = addDays(deliveryDate, -back);
    const longEnough = back >= rules.cutoff.daysBefore && workingDays >= rules.leadDays;
    if (longEnough && isWorkingDay(date)) return date;
    if (isWorkingDay(date)) workingDays += 1;
  }
  return null;
}

/**
 * The deliveries that can still be ordered at `fromMin`, soonest first: those on a delivery weekday
 * that is no holiday, within `horizonDays` after today in the supplier's zone, whose cutoff is at
 * or after `fromMin`.
 *
 * The cutoff falls on the last working day of the supplier that is at least `cutoff.daysBefore`
 * calendar days and `leadDays` working days before the delivery, at `cutoff.time` on the clock of
 * the supplier (a clock change moves the instant, not the time on the wall).
 *
 * @param fromMin     now, minutes since the epoch
 * @param horizonDays whole days to look ahead, 0 to 731
 * @returns possibly none; errors as checkDeliveryRules, and `out-of-range` for the horizon
 */
export function deliveryOptions(
  rules: DeliveryRules,
  fromMin: EpochMin,
  horizonDays: number,
): Result<DeliveryOption[]> {
  const checked = checkDeliveryRules(rules);
  if (!checked.ok) return checked;
  if (!Number.isInteger(horizonDays) || horizonDays < 0 || horizonDays > MAX_HORIZON_DAYS) {
    return refuse('Look ahead a whole number of days, at most two years.', 'horizonDays', {
      horizonDays,
    });
  }
  const today = serviceDateOf(fromMin, rules.zone);
  if (!today.ok) return today;
  const holidays = new Set(rules.holidays);
  const working = new Set(rules.workingWeekdays ?? [1, 2, 3, 4, 5, 6, 7]);
  const isWorkingDay = (date: ServiceDate): boolean =>
    working.has(weekdayOf(date)) && !holidays.has(date);

  const options: DeliveryOption[] = [];
  for (let ahead = 0; ahead <= horizonDays; ahead += 1) {
    const deliveryDate = addDays(today.value, ahead);
    const delivers = rules.deliveryWeekdays.includes(weekdayOf(deliveryDate));
    if (!delivers || holidays.has(deliveryDate)) continue;
    const closesOn = cutoffDate(rules, deliveryDate, isWorkingDay);
    if (closesOn === null) continue;
    const cutoffMin = serviceInstant(closesOn, rules.cutoff.time, rules.zone);
    if (!cutoffMin.ok) return cutoffMin;
    if (cutoffMin.value < fromMin) continue;
    options.push({
      deliveryDate,
      cutoffMin: cutoffMin.value,
      usableFromDate: addDays(deliveryDate, rules.usableAfterDays ?? 0),
    });
  }
  return ok(options);
}
