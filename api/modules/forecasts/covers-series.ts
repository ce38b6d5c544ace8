import { addDays, parseServiceDate, serviceDateOf, weekdayOf } from '../../core/calendar/index.ts';
import type {
  BookingSnapshot,
  CompletedService,
  KnownEvent,
  OpenBookings,
  StatedCovers,
} from '../../core/forecast/index.ts';
import { dayNumber } from '../../core/forecast/index.ts';
import { unwrap } from '../../core/shared/index.ts';
import type { MealService } from '../sites/index.ts';
import type { SeriesRows } from './series-rows.ts';

/** How far back a series is learned from. */
export const HISTORY_DAYS = 400;
/**
 * How far back rows are read, so that what was learned weeks ago can still be checked against all it
 * was learned from.
 */
export const ROWS_DAYS = HISTORY_DAYS + 35;

/** Sittings of one evening one after the other: common practice, no source; covers above are capped. */
const SITTINGS = 2;

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

/** The dates from `from` on, `days` of them. @throws Error on a malformed date */
export function datesFrom(from: string, days: number): readonly string[] {
  unwrap(parseServiceDate(from));
  return Array.from({ length: days }, (_, i) => addDays(from, i));
}

/** Most covers a service can take. */
export function roomCovers(service: Pick<MealService, 'seats'>): number {
  return service.seats * SITTINGS;
}

/** The rows of one service as the core's series: what has been, and what is known ahead. */
export interface CoversSeries {
  /** Services held before today, by date. */
  readonly history: readonly CompletedService[];
  readonly statedCovers: readonly StatedCovers[];
  readonly capacityCovers: number;
  bookingsOf(date: string): OpenBookings;
  eventOn(date: string): KnownEvent | undefined;
}

/**
 * Snapshots as whole days before service in the site's zone, outcomes as history, events as known
 * ahead. What was taken after `now` is left aside.
 */
export function coversSeries(input: {
  readonly service: MealService;
  readonly rows: SeriesRows;
  readonly zone: string;
  readonly now: Date;
}): CoversSeries {
  const { service, rows, zone, now } = input;
  const today = siteDate(now, zone);
  const own = <T extends { readonly serviceId: string }>(list: readonly T[]): readonly T[] =>
    list.filter((row) => row.serviceId === service.id);
  const snapshots = new Map<string, BookingSnapshot[]>();
  // Booking systems send many sittings at one instant: each instant is put in the zone once.
  const dayTaken = new Map<number, number>();
  const takenOn = (takenAt: Date): number => {
    const known = dayTaken.get(takenAt.getTime());
    if (known !== undefined) return known;
    const day = unwrap(dayNumber(siteDate(takenAt, zone)));
    dayTaken.set(takenAt.getTime(), day);
    return day;
  };
  for (const row of own(rows.snapshots)) {
    if (row.takenAt > now) continue;
    const daysBefore = unwrap(dayNumber(row.serviceDate)) - takenOn(row.takenAt);
    if (daysBefore < 0) continue;
    const list = snapshots.get(row.serviceDate) ?? [];
    if (list.length === 0) snapshots.set(row.serviceDate, list);
    // Left out where nobody counted, so that what was learned before counting began still stands.
    list.push({
      daysBefore,
      booked: row.booked,
      ...(row.cancelled === null ? {} : { cancelledSoFar: row.cancelled }),
    });
  }
  const events = new Map<string, KnownEvent>();
  for (const row of own(rows.events)) {
    events.set(row.serviceDate, withEvent(events.get(row.serviceDate), row));
  }
  const history = own(rows.outcomes)
    .filter((row) => row.serviceDate < today)
    .map((row): CompletedService => {
      const label = events.get(row.serviceDate)?.label;
      return {
        serviceDate: row.serviceDate,
        weekday: weekdayOf(row.serviceDate),
        actualCovers: row.covers,
        ...(row.walkIns === null ? {} : { walkInCovers: row.walkIns }),
        ...(row.noShows === null ? {} : { noShowCovers: row.noShows }),
        ...(row.cancelled === null ? {} : { cancelledCovers: row.cancelled }),
        closed: row.closed,
        privateHire: events.get(row.serviceDate)?.privateHire === true,
        snapshots: snapshots.get(row.serviceDate) ?? [],
        ...(label === undefined ? {} : { event: label }),
      };
    })
    .sort((a, b) => (a.serviceDate < b.serviceDate ? -1 : 1));
  return {
    history,
    statedCovers: own(rows.stated).map((row) => ({
      weekday: row.weekday as StatedCovers['weekday'],
      covers: row.covers,
    })),
    capacityCovers: roomCovers(service),
    bookingsOf: (serviceDate) => ({ serviceDate, snapshots: snapshots.get(serviceDate) ?? [] }),
    eventOn: (date) => events.get(date),
  };
}

/** Several things said of one sitting together: a closed one is closed whatever else is said. */
function withEvent(
  standing: KnownEvent | undefined,
  row: SeriesRows['events'][number],
): KnownEvent {
  const factor = row.factor === null ? standing?.factor : (standing?.factor ?? 1) * row.factor;
  return {
    ...standing,
    serviceDate: row.serviceDate,
    // Days that carry the same words share what they showed.
    ...(row.kind === 'factor' ? { label: row.reason.trim().toLowerCase() } : {}),
    ...(row.kind === 'closed' ? { closed: true } : {}),
    ...(row.kind === 'private_hire' ? { privateHire: true } : {}),
    ...(factor === undefined ? {} : { factor }),
    ...(row.covers === null ? {} : { covers: row.covers }),
  };
}
