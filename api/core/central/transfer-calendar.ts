import {
  addDays,
  datesBetween,
  parseServiceDate,
  serviceInstant,
  weekdayOf,
} from '../calendar/index.ts';
import type { ClockTime, EpochMin, ServiceDate, Weekday } from '../calendar/index.ts';
import { coreError } from '../shared/errors.ts';
import { err, ok, type Result } from '../shared/result.ts';

/** The days on which goods go from the making site to another, and when. */
export interface TransferDays {
  /** ISO weekdays of leaving, at the making site. */
  readonly weekdays: readonly Weekday[];
  /** Clock time at the making site. */
  readonly leavesAt: ClockTime;
  /** Clock time at the receiving site, when it is unpacked and may be used. */
  readonly arrivesAt: ClockTime;
  /** Calendar days between leaving and arriving. */
  readonly arrivesDaysLater: number;
  /** Dates of leaving on which nobody drives. */
  readonly noTripDates: readonly ServiceDate[];
}

/** Where a trip begins or ends: its clock, and the dates on which nobody is there. */
export interface TripPlace {
  /** IANA zone. */
  readonly zone: string;
  readonly closedDates: readonly ServiceDate[];
}

/** One trip from the making site to a receiving one. */
export interface Trip {
  /** The date it leaves, which is unique on a route. */
  readonly id: string;
  readonly leaveDate: ServiceDate;
  readonly leaveMin: EpochMin;
  readonly arriveDate: ServiceDate;
  readonly arriveMin: EpochMin;
}

/** A transfer day on which nothing goes, and why. */
export interface TripDropped {
  readonly leaveDate: ServiceDate;
  readonly reason: 'no-trip' | 'maker-closed' | 'receiver-closed';
}

export interface TripCalendar {
  /** Ascending. */
  readonly trips: readonly Trip[];
  readonly dropped: readonly TripDropped[];
}

/**
 * The trips that leave on a run of dates. A trip does not go on a date that is left out, from a
 * closed maker or to a closed receiver; it is not moved to another day.
 *
 * @param from first date of leaving, at the making site; `to` the last, both included
 * @returns errors: `invalid-date`, `invalid-zone`; `out-of-range` where it would arrive before it leaves
 */
export function tripsBetween(
  days: TransferDays,
  maker: TripPlace,
  receiver: TripPlace,
  from: ServiceDate,
  to: ServiceDate,
): Result<TripCalendar> {
  for (const date of [from, to]) {
    const parsed = parseServiceDate(date);
    if (!parsed.ok) return parsed;
  }
  const trips: Trip[] = [];
  const dropped: TripDropped[] = [];
  for (const leaveDate of datesBetween(from, to)) {
    if (!days.weekdays.includes(weekdayOf(leaveDate))) continue;
    const arriveDate = addDays(leaveDate, days.arrivesDaysLater);
    const reason = days.noTripDates.includes(leaveDate)
      ? 'no-trip'
      : maker.closedDates.includes(leaveDate)
        ? 'maker-closed'
        : receiver.closedDates.includes(arriveDate)
          ? 'receiver-closed'
          : undefined;
    if (reason !== undefined) {
      dropped.push({ leaveDate, reason });
      continue;
    }
    const leave = serviceInstant(leaveDate, days.leavesAt, maker.zone);
    if (!leave.ok) return leave;
    const arrive = serviceInstant(arriveDate, days.arrivesAt, receiver.zone);
    if (!arrive.ok) return arrive;
    if (arrive.value < leave.value) return err(backwards(days));
    trips.push({
      id: leaveDate,
      leaveDate,
      leaveMin: leave.value,
      arriveDate,
      arriveMin: arrive.value,
    });
  }
  return ok({ trips, dropped });
}

function backwards({ leavesAt, arrivesAt }: TransferDays) {
  return coreError(
    'out-of-range',
    `It would arrive at ${arrivesAt} before it leaves at ${leavesAt}.`,
    { path: ['arrivesAt'], detail: { leavesAt, arrivesAt } },
  );
}
