import {
  addDays,
  datesBetween,
  daysBetween,
  serviceInstant,
  weekdayOf,
} from '../../api/core/calendar/index.ts';
import type {
  ClockTime,
  DatedEvent,
  DatedMenu,
  DemoData,
  DemoService,
  DemoSite,
  Instant,
  Season,
  SeasonStarts,
  ServiceDate,
} from './types.ts';

/** Weeks of history behind today, and days of bookings ahead of it. */
export const HISTORY_DAYS = 26 * 7;
export const AHEAD_DAYS = 28;
/** Cards are dated this far ahead, so that a plan past the bookings still finds one. */
const MENU_DAYS_AHEAD = 90;
/** Local time at which the demo's stock is counted and its last bookings are in. */
export const LOADING_TIME: ClockTime = '05:30';

/** The season whose card is on, and the first date of the card. */
interface SeasonRun {
  readonly season: Season;
  readonly from: ServiceDate;
}

/** Season changes of a few years round a date, in order. */
function seasonRuns(starts: SeasonStarts, around: ServiceDate): SeasonRun[] {
  const year = Number(around.slice(0, 4));
  return [year - 2, year - 1, year, year + 1]
    .flatMap((y) =>
      Object.entries(starts).map(([season, monthDay]) => ({
        season: season as Season,
        from: `${String(y)}-${monthDay}`,
      })),
    )
    .sort((a, b) => a.from.localeCompare(b.from));
}

/** Every site's cards from the start of the history on, with their dates. */
export function datedMenus(data: DemoData, today: ServiceDate): DatedMenu[] {
  const first = addDays(today, -HISTORY_DAYS);
  const last = addDays(today, MENU_DAYS_AHEAD);
  const runs = seasonRuns(data.group.seasonStarts, today);
  return data.menus.flatMap((menu) =>
    runs.flatMap((run, i) => {
      const next = runs[i + 1];
      if (next === undefined) return [];
      const to = addDays(next.from, -1);
      if (to < first || run.from > last) return [];
      const year = run.from.slice(0, 4);
      return [
        {
          key: `${menu.key}-${run.season}-${year}`,
          menu: menu.key,
          site: menu.site,
          name: `${menu.name}, ${run.season} ${year}`,
          services: menu.services,
          season: run.season,
          from: run.from,
          to,
          lines: menu.lines
            .filter((line) => line.seasons === undefined || line.seasons.includes(run.season))
            .map(({ dish, share }) => ({ dish, share })),
        },
      ];
    }),
  );
}

/** The card a service sells from on a date, if there is one. */
export function menuFor(
  menus: readonly DatedMenu[],
  site: string,
  service: string,
  date: ServiceDate,
): DatedMenu | undefined {
  return menus.find(
    (menu) =>
      menu.site === site && menu.services.includes(service) && menu.from <= date && date <= menu.to,
  );
}

/** Closures, hires and events by date; days on which the site serves nothing anyway are left out. */
export function datedEvents(data: DemoData, today: ServiceDate): DatedEvent[] {
  return data.events.flatMap((event) => {
    const site = data.sites.find((candidate) => candidate.key === event.site);
    const dates = datesBetween(addDays(today, event.fromDays), addDays(today, event.toDays));
    return dates.flatMap((date) => {
      const services = (site?.services ?? [])
        .filter((service) => service.weekdays.includes(weekdayOf(date)))
        .map((service) => service.key)
        .filter((key) => event.services === undefined || event.services.includes(key));
      if (services.length === 0) return [];
      const { site: at, kind, guests, dish, coversFactor, name } = event;
      return [
        {
          site: at,
          date,
          kind,
          services,
          name,
          ...(guests === undefined ? {} : { guests }),
          ...(dish === undefined ? {} : { dish }),
          ...(coversFactor === undefined ? {} : { coversFactor }),
        },
      ];
    });
  });
}

/** What is out of the ordinary at one service, if anything. */
export function eventAt(
  events: readonly DatedEvent[],
  site: string,
  service: string,
  date: ServiceDate,
): DatedEvent | undefined {
  return events.find(
    (event) => event.site === site && event.date === date && event.services.includes(service),
  );
}

/** The services a site gives on a date, closures left out. */
export function servicesOn(
  site: DemoSite,
  date: ServiceDate,
  events: readonly DatedEvent[],
): DemoService[] {
  return site.services.filter(
    (service) =>
      service.weekdays.includes(weekdayOf(date)) &&
      eventAt(events, site.key, service.key, date)?.kind !== 'closed',
  );
}

/** Whether the pastry works at a site on a date: its hours name the weekday and it is not closed. */
export function worksOn(site: DemoSite, date: ServiceDate, events: readonly DatedEvent[]): boolean {
  return (
    site.hours.some((hours) => hours.weekday === weekdayOf(date)) &&
    !events.some((e) => e.site === site.key && e.date === date && e.kind === 'closed')
  );
}

/** Instants worked out before; zones are slow to ask and the history asks the same ones often. */
const knownInstants = new Map<string, Instant>();

/** The instant a wall clock shows a time on a date. Throws on a malformed date, time or zone. */
export function instantAt(date: ServiceDate, time: ClockTime, zone: string): Instant {
  const key = `${date} ${time} ${zone}`;
  const known = knownInstants.get(key);
  if (known !== undefined) return known;
  const found = serviceInstant(date, time, zone);
  if (!found.ok) throw new RangeError(found.error.message);
  const instant = new Date(found.value * 60_000).toISOString();
  knownInstants.set(key, instant);
  return instant;
}

/** An instant so many minutes later (earlier when negative). */
export function addMinutes(instant: Instant, minutes: number): Instant {
  return new Date(Date.parse(instant) + Math.round(minutes) * 60_000).toISOString();
}

/** Whole days a date lies before today; negative for dates to come. */
export const daysAgo = (date: ServiceDate, today: ServiceDate): number => daysBetween(date, today);
