import { addDays, daysBetween, monthOf, weekdayOf } from '../../api/core/calendar/index.ts';
import { diceFor } from './dice.ts';
import type { Dice } from './dice.ts';
import { instantAt } from './dated.ts';
import type {
  CoversSnapshot,
  DatedEvent,
  DemandProfile,
  DemoService,
  DemoSite,
  ServiceDate,
} from './types.ts';

/** Days before the service on which the bookings are sent over, at 05:00 local. */
export const SNAPSHOT_DAYS = [28, 21, 14, 10, 7, 5, 4, 3, 2, 1, 0] as const;
const SNAPSHOT_TIME = '05:00';
const SNAPSHOT_HOUR = 5;
/** Growth is counted from here, so that a later "today" sees the same past. */
const TREND_EPOCH = '2026-01-01';

/** Parties by size and how often each comes; invented. */
const PARTY_SIZES = [1, 2, 3, 4, 5, 6, 8, 10, 14] as const;
const PARTY_WEIGHTS = [6, 50, 12, 18, 4, 5, 3, 1.4, 0.6] as const;
const MEAN_PARTY =
  PARTY_SIZES.reduce((sum, size, i) => sum + size * (PARTY_WEIGHTS[i] ?? 0), 0) /
  PARTY_WEIGHTS.reduce((sum, weight) => sum + weight, 0);

/** Days of the year that pull guests in or keep them at home, `MM-DD`; invented factors. */
const HOLIDAYS: Readonly<Record<DemoSite['ruleSet'], Readonly<Record<string, number>>>> = {
  eu: {
    '01-01': 0.8,
    '01-06': 1.15,
    '04-25': 1.2,
    '05-01': 1.25,
    '06-02': 1.2,
    '08-15': 1.3,
    '11-01': 1.15,
    '12-08': 1.2,
    '12-24': 0.7,
    '12-25': 1.1,
    '12-26': 1.2,
    '12-31': 1.35,
  },
  uk: { '01-01': 0.85, '12-24': 0.9, '12-25': 0.8, '12-26': 1.2, '12-31': 1.3, '02-14': 1.25 },
};

/** What one service saw: the bookings as each morning knew them, and who came. */
export interface ServiceCovers {
  readonly snapshots: readonly CoversSnapshot[];
  readonly covers: number;
}

interface Party {
  readonly size: number;
  /** Days before the service begins; a fraction is hours. */
  readonly bookedAhead: number;
  /** Days before the service at which it called off; undefined: it held. */
  readonly calledOffAhead?: number;
  readonly comes: boolean;
}

/**
 * Plays one service from its first booking to the last guest. Parties book by size and lead time
 * while the room has seats, some call off, some stay away, others walk in as the weather goes.
 */
export function playService(
  site: DemoSite,
  service: DemoService,
  profile: DemandProfile,
  date: ServiceDate,
  event: DatedEvent | undefined,
  seed: number,
): ServiceCovers {
  const dice = diceFor(seed, 'covers', site.key, service.key, date);
  const parties =
    event?.kind === 'private-hire'
      ? hireParties(event.guests ?? service.statedCovers, dice)
      : bookedParties(site, service, profile, date, event, seed, dice);
  const startDay = Number(service.startTime.slice(0, 2)) + Number(service.startTime.slice(3)) / 60;
  const snapshots = SNAPSHOT_DAYS.map((daysBefore) => {
    const ahead = daysBefore + (startDay - SNAPSHOT_HOUR) / 24;
    const takenOn = addDays(date, -daysBefore);
    return {
      site: site.key,
      service: service.key,
      serviceDate: date,
      takenAt: instantAt(takenOn, SNAPSHOT_TIME, site.zone),
      daysBefore,
      booked: parties
        .filter((p) => p.bookedAhead >= ahead && (p.calledOffAhead ?? -1) < ahead)
        .reduce((sum, p) => sum + p.size, 0),
    };
  });
  const seated = parties
    .filter((party) => party.comes && party.calledOffAhead === undefined)
    .reduce((sum, party) => sum + party.size, 0);
  const walkIns =
    event?.kind === 'private-hire' ? 0 : walkInCovers(site, profile, date, event, seed, dice);
  return { snapshots, covers: Math.min(service.maxCovers, seated + walkIns) };
}

/** Covers the service would draw on average: weekday, month, growth, holidays and events. */
export function typicalCovers(
  site: DemoSite,
  profile: DemandProfile,
  date: ServiceDate,
  event: DatedEvent | undefined,
): number {
  const years = daysBetween(TREND_EPOCH, date) / 365.25;
  return (
    profile.baseCovers *
    (profile.weekdayFactors[weekdayOf(date) - 1] ?? 1) *
    monthFactor(profile, date) *
    (1 + profile.yearlyTrend) ** years *
    (HOLIDAYS[site.ruleSet][date.slice(5)] ?? 1) *
    (event?.coversFactor ?? 1)
  );
}

/** Between the middles of two months the year's curve is a straight line. */
function monthFactor(profile: DemandProfile, date: ServiceDate): number {
  const month = monthOf(date);
  const position = (Number(date.slice(8)) - 15.5) / 30.5;
  const here = profile.monthFactors[month - 1] ?? 1;
  const other = profile.monthFactors[(month - 1 + (position < 0 ? 11 : 1)) % 12] ?? 1;
  const away = Math.min(0.5, Math.abs(position));
  return here * (1 - away) + other * away;
}

function bookedParties(
  site: DemoSite,
  service: DemoService,
  profile: DemandProfile,
  date: ServiceDate,
  event: DatedEvent | undefined,
  seed: number,
  dice: Dice,
): Party[] {
  const lakeDay = diceFor(seed, 'lake day', site.lake, date).gammaFactor(90);
  const kept = 1 - profile.cancelShare - profile.noShowShare;
  const mean = (typicalCovers(site, profile, date, event) * profile.bookedShare * lakeDay) / kept;
  const count = dice.poisson((mean * dice.gammaFactor(45)) / MEAN_PARTY);
  const weather = weatherOf(site, date, seed);
  const wanted = Array.from({ length: count }, () => {
    const size = PARTY_SIZES[dice.weighted(PARTY_WEIGHTS)] ?? 2;
    // Big tables ask earlier. A spread of 1.0 in the logarithm of the lead; invented.
    const bookedAhead = profile.medianLeadDays * (0.7 + size / 7) * Math.exp(dice.normal());
    const callsOff = dice.chance(profile.cancelShare);
    // Most who call off do so late.
    const calledOffAhead = bookedAhead * dice.uniform() ** 1.8;
    const away = profile.noShowShare * (weather < -1 ? 1 + profile.weatherWeight : 1);
    const comes = !dice.chance(away);
    return { size, bookedAhead, comes, ...(callsOff ? { calledOffAhead } : {}) };
  });
  return acceptInOrder(wanted, Math.round(service.maxCovers * 0.96));
}

/** First come, first seated; a seat called off can be given again. */
function acceptInOrder(wanted: readonly Party[], bookable: number): Party[] {
  const accepted: Party[] = [];
  for (const party of [...wanted].sort((a, b) => b.bookedAhead - a.bookedAhead)) {
    const held = accepted
      .filter((other) => (other.calledOffAhead ?? -1) < party.bookedAhead)
      .reduce((sum, other) => sum + other.size, 0);
    if (held + party.size <= bookable) accepted.push(party);
  }
  return accepted;
}

/** A hired room: a first guess early on, the rest confirmed in two steps, one or two stay away. */
function hireParties(guests: number, dice: Dice): Party[] {
  const first = Math.round(guests * 0.85);
  const second = Math.round((guests - first) * 0.6);
  const missing = Math.min(guests - first - second, dice.whole(0, 2));
  return [
    { size: first, bookedAhead: 70, comes: true },
    { size: second, bookedAhead: 12, comes: true },
    { size: guests - first - second - missing, bookedAhead: 6, comes: true },
    { size: missing, bookedAhead: 6, comes: false },
  ];
}

function walkInCovers(
  site: DemoSite,
  profile: DemandProfile,
  date: ServiceDate,
  event: DatedEvent | undefined,
  seed: number,
  dice: Dice,
): number {
  const weather = Math.exp(0.32 * profile.weatherWeight * weatherOf(site, date, seed));
  const mean = typicalCovers(site, profile, date, event) * (1 - profile.bookedShare) * weather;
  const parties = dice.poisson((mean * dice.gammaFactor(20)) / MEAN_PARTY);
  return Array.from(
    { length: parties },
    () => PARTY_SIZES[dice.weighted(PARTY_WEIGHTS)] ?? 2,
  ).reduce((sum, size) => sum + size, 0);
}

/** One standard normal for each lake, date and seed, thrown before. */
const knownLuck = new Map<string, number>();

function lakeLuck(lake: string, date: ServiceDate, seed: number): number {
  const key = `${String(seed)} ${lake} ${date}`;
  const luck = knownLuck.get(key) ?? diceFor(seed, 'weather', lake, date).normal();
  knownLuck.set(key, luck);
  return luck;
}

/**
 * How fine the day is at a lake, about standard normal: today's own luck and some of the days
 * before. Capped at two either way.
 */
export function weatherOf(site: DemoSite, date: ServiceDate, seed: number): number {
  const memory = 0.6;
  let sum = 0;
  for (let back = 0; back < 7; back++) {
    sum += memory ** back * lakeLuck(site.lake, addDays(date, -back), seed);
  }
  return Math.max(-2, Math.min(2, sum * Math.sqrt(1 - memory ** 2)));
}
