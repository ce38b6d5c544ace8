import type {
  BookingSnapshot,
  CompletedService,
  IsoWeekday,
  KnownEvent,
} from '../../../api/core/forecast/index.ts';
import { serviceDateOf, weekdayOf } from '../../../api/core/forecast/index.ts';

/**
 * Simulated truth: a dining room whose guests come in parties, book, cancel, stay away and walk in,
 * with weather, holidays, coach parties, a season and changes of level. It shares no formula with
 * the core: no count distribution is drawn from, nothing is log-linear in waves of the year, and
 * covers are sums of parties that were refused when the room was full. Invented; seeded.
 */

/** Uniform numbers in [0, 1) from a seed (mulberry32, a public-domain generator; from memory). */
export function seededUniform(seed: number): () => number {
  let a = seed >>> 0;
  return () => {
    a = (a + 0x6d2b79f5) >>> 0;
    let t = Math.imul(a ^ (a >>> 15), 1 | a);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

export interface SimulatedSeries {
  readonly history: CompletedService[];
  /** Public holidays, known years ahead. */
  readonly events: KnownEvent[];
  readonly capacityCovers: number;
  /** The hidden intensity of each service of `history`: covers that would like to come. */
  readonly demand: number[];
}

export interface SimulationOptions {
  readonly seed: number;
  readonly days: number;
  /** Covers of a middling day. */
  readonly covers: number;
  /** Part of the guests who walk in. */
  readonly walkInPart: number;
  /** Day number of the first day. */
  readonly firstDay?: number;
  /** Which weekdays the service is held on (default all). */
  readonly open?: readonly IsoWeekday[];
  readonly walkInsRecorded?: boolean;
}

export const SNAPSHOT_DAYS = [28, 21, 14, 10, 7, 6, 5, 4, 3, 2, 1, 0];
const WEEKDAY_SHAPE = [0.62, 0.7, 0.8, 0.95, 1.35, 1.6, 1.1];
/** Month by month, as a hotel by a lake might have it. */
const MONTH_SHAPE = [0.7, 0.78, 0.86, 0.98, 1.08, 1.18, 1.3, 1.32, 1.12, 0.98, 0.8, 1.05];
const HOLIDAYS: readonly [string, string, number][] = [
  ['01-01', 'new year', 0.6],
  ['02-14', 'lovers day', 1.5],
  ['05-01', 'may day', 1.3],
  ['06-21', 'lake fair', 1.45],
  ['08-15', 'high summer day', 1.3],
  ['11-01', 'all saints', 1.25],
  ['12-24', 'christmas eve', 0.45],
  ['12-25', 'christmas day', 1.4],
  ['12-26', 'second christmas day', 1.3],
  ['12-31', 'old year', 1.5],
];
export const PARTY_SIZES: readonly [number, number][] = [
  [1, 0.07],
  [2, 0.5],
  [3, 0.13],
  [4, 0.19],
  [5, 0.05],
  [6, 0.04],
  [8, 0.02],
];
export const MEAN_PARTY = PARTY_SIZES.reduce((a, [size, chance]) => a + size * chance, 0);

/** Part of the parties that cancel, and of the covers then due that stay away on a usual day. */
export const CANCEL_PART = 0.12;
export const NO_SHOW_PART = 0.045;
/** Mean days ahead that a party of a size books: large parties plan longer. */
export const bookingReach = (size: number): number => 4 + 2.2 * size;

interface Booking {
  readonly size: number;
  readonly made: number;
  /** Days before service on which it is cancelled; −1 never. */
  readonly cancelled: number;
}

/** Simulates `days` services of one room, oldest first, with everything that was recorded. */
export function simulateSeries(options: SimulationOptions): SimulatedSeries {
  const uniform = seededUniform(options.seed);
  const normal = () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
  const partySize = () => {
    let u = uniform();
    for (const [size, chance] of PARTY_SIZES) {
      u -= chance;
      if (u < 0) return size;
    }
    return 10;
  };
  const arrivals = (mean: number) => {
    // Counting exponential gaps: the number of parties is Poisson, the covers are not.
    let count = 0;
    for (let t = -Math.log(1 - uniform()); t < mean; t -= Math.log(1 - uniform())) count += 1;
    return count;
  };
  const firstDay = options.firstDay ?? 19_723;
  const open = options.open ?? [1, 2, 3, 4, 5, 6, 7];
  const capacity = Math.round(options.covers * 2.6);
  const history: CompletedService[] = [];
  const events: KnownEvent[] = [];
  const demands: number[] = [];
  let reputation = 1;
  let weather = 0;
  for (let i = 0; i < options.days; i += 1) {
    const day = firstDay + i;
    const serviceDate = serviceDateOf(day);
    const weekday = weekdayOf(day);
    // Reputation wanders, and once in a while a review or a new chef makes a step.
    reputation *= 1 + 0.006 * normal();
    if (uniform() < 1 / 250) reputation *= uniform() < 0.5 ? 0.88 : 1.13;
    weather = 0.55 * weather + normal();
    const local = 1 + 0.13 * normal();
    const holiday = HOLIDAYS.find(([date]) => date === serviceDate.slice(5));
    if (holiday !== undefined) events.push({ serviceDate, label: holiday[1] });
    if (!open.includes(weekday)) continue;
    const demand =
      options.covers *
      (WEEKDAY_SHAPE[weekday - 1] ?? 1) *
      monthShape(serviceDate) *
      reputation *
      Math.max(0.4, local) *
      (holiday?.[2] ?? 1);
    demands.push(demand);
    const bookings: Booking[] = [];
    const bookedDemand = (demand * (1 - options.walkInPart)) / 0.84;
    for (let p = arrivals(bookedDemand / MEAN_PARTY); p > 0; p -= 1) {
      const size = partySize();
      const made = Math.min(60, Math.floor(-Math.log(1 - uniform()) * bookingReach(size)));
      const cancels = uniform() < CANCEL_PART;
      bookings.push({ size, made, cancelled: cancels ? Math.floor(uniform() * (made + 1)) : -1 });
    }
    if (uniform() < 0.04) {
      const made = 14 + Math.floor(uniform() * 40);
      bookings.push({ size: 12 + Math.floor(uniform() * 16), made, cancelled: -1 });
    }
    bookings.sort((a, b) => b.made - a.made);
    const accepted: Booking[] = [];
    for (const booking of bookings) {
      const onBooks = covers(accepted, booking.made);
      if (onBooks + booking.size <= capacity * 0.92) accepted.push(booking);
    }
    const snapshots: BookingSnapshot[] = SNAPSHOT_DAYS.map((daysBefore) => ({
      daysBefore,
      booked: covers(accepted, daysBefore),
      cancelledSoFar: accepted
        .filter((b) => b.cancelled >= daysBefore && b.made >= daysBefore)
        .reduce((a, b) => a + b.size, 0),
    }));
    // Storms keep booked guests away too; fine days bring people in off the street.
    const storm = weather < -1.9;
    let seated = 0;
    for (const b of accepted) {
      if (b.cancelled < 0 && uniform() > (storm ? 0.16 : NO_SHOW_PART)) seated += b.size;
    }
    const draw = storm ? 0.35 : Math.min(1.7, Math.max(0.5, 1 + 0.22 * weather));
    let walkIns = 0;
    for (let p = arrivals((demand * options.walkInPart * draw) / MEAN_PARTY); p > 0; p -= 1) {
      const size = partySize();
      if (seated + walkIns + size <= capacity) walkIns += size;
    }
    history.push({
      serviceDate,
      weekday,
      actualCovers: seated + walkIns,
      snapshots,
      ...(options.walkInsRecorded === true ? { walkInCovers: walkIns } : {}),
      ...(holiday === undefined ? {} : { event: holiday[1] }),
    });
  }
  return { history, events, capacityCovers: capacity, demand: demands };
}

function covers(bookings: readonly Booking[], daysBefore: number): number {
  return bookings
    .filter((b) => b.made >= daysBefore && (b.cancelled < 0 || b.cancelled < daysBefore))
    .reduce((a, b) => a + b.size, 0);
}

/** Season of a date, going straight from mid-month to mid-month. */
function monthShape(serviceDate: string): number {
  const month = Number(serviceDate.slice(5, 7)) - 1;
  const offset = (Number(serviceDate.slice(8, 10)) - 15) / 30.5;
  const here = MONTH_SHAPE[month] ?? 1;
  const other = MONTH_SHAPE[(month + (offset < 0 ? 11 : 1)) % 12] ?? 1;
  return here + Math.abs(offset) * (other - here);
}
