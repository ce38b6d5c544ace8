import {
  addDays,
  daysBetween,
  parseServiceDate,
  serviceDateOf,
  weekdayOf,
} from '../../core/calendar/index.ts';
import { forecastCovers } from '../../core/forecast/index.ts';
import type {
  BookingSnapshot,
  CoversForecast,
  CoversForecastInput,
  KnownEvent,
} from '../../core/forecast/index.ts';
import type { Result } from '../../core/shared/index.ts';
import { unwrap } from '../../core/shared/index.ts';
import type { MealService } from '../sites/index.ts';
import type { CoversRows } from './planning-data.ports.ts';

/** How far back a series is learned from. */
export const HISTORY_DAYS = 400;

/** @returns whether the service is held on that date by its weekdays and active dates */
export function isHeldOn(service: MealService, date: string): boolean {
  return (
    service.weekdays.includes(weekdayOf(date)) &&
    (service.activeFrom === null || service.activeFrom <= date) &&
    (service.activeTo === null || date <= service.activeTo)
  );
}

/** The site's date of an instant. @throws Error on a zone that is not known */
export function siteDate(at: Date, zone: string): string {
  return unwrap(serviceDateOf(Math.floor(at.getTime() / 60_000), zone));
}

/**
 * The forecast input of one service from its rows: snapshots as whole days before service in the
 * site's zone, outcomes as history, events as known ahead.
 */
export function coversSeries(input: {
  readonly service: MealService;
  readonly rows: CoversRows;
  readonly zone: string;
  readonly now: Date;
  readonly dates: readonly string[];
  readonly levels: readonly number[];
}): CoversForecastInput {
  const { service, rows, zone, now, dates } = input;
  const today = siteDate(now, zone);
  const own = <T extends { readonly serviceId: string }>(list: readonly T[]): readonly T[] =>
    list.filter((row) => row.serviceId === service.id);
  const snapshots = new Map<string, BookingSnapshot[]>();
  for (const row of own(rows.snapshots)) {
    if (row.takenAt > now) continue;
    const list = snapshots.get(row.serviceDate) ?? [];
    if (list.length === 0) snapshots.set(row.serviceDate, list);
    const daysBefore = daysBetween(siteDate(row.takenAt, zone), row.serviceDate);
    if (daysBefore >= 0) list.push({ daysBefore, booked: row.booked });
  }
  const history = own(rows.outcomes)
    .filter((row) => row.serviceDate < today)
    .map((row) => ({
      serviceDate: row.serviceDate,
      weekday: weekdayOf(row.serviceDate),
      actualCovers: row.covers,
      closed: row.closed,
      privateHire: own(rows.events).some(
        (event) => event.serviceDate === row.serviceDate && event.kind === 'private_hire',
      ),
      snapshots: snapshots.get(row.serviceDate) ?? [],
    }));
  return {
    asOf: now.toISOString(),
    targets: dates.map((serviceDate) => ({
      serviceDate,
      weekday: weekdayOf(serviceDate),
      horizonDays: daysBetween(today, serviceDate),
    })),
    history,
    openBookings: dates.map((serviceDate) => ({
      serviceDate,
      snapshots: snapshots.get(serviceDate) ?? [],
    })),
    statedCovers: own(rows.stated).map((row) => ({
      weekday: row.weekday as 1 | 2 | 3 | 4 | 5 | 6 | 7,
      covers: row.covers,
    })),
    // Two sittings at most: common practice, no source; covers above it are capped.
    capacityCovers: service.seats * 2,
    knownEvents: own(rows.events).map(toKnownEvent),
    levels: input.levels,
  };
}

function toKnownEvent(event: CoversRows['events'][number]): KnownEvent {
  return {
    serviceDate: event.serviceDate,
    ...(event.kind === 'closed' ? { closed: true } : {}),
    ...(event.kind === 'private_hire' ? { privateHire: true } : {}),
    ...(event.factor === null ? {} : { factor: event.factor }),
    ...(event.covers === null ? {} : { covers: event.covers }),
  };
}

/** Forecasts one service of a site over a run of dates. */
export function forecastService(input: Parameters<typeof coversSeries>[0]): Result<CoversForecast> {
  return forecastCovers(coversSeries(input));
}

/** The dates from `from` on, `days` of them. @throws Error on a malformed date */
export function datesFrom(from: string, days: number): readonly string[] {
  unwrap(parseServiceDate(from));
  return Array.from({ length: days }, (_, i) => addDays(from, i));
}
