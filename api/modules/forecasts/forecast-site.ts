import { addDays } from '../../core/calendar/index.ts';
import { FORECAST_MODEL_VERSION } from '../../core/forecast/index.ts';
import type { GroupProfile } from '../../core/forecast/index.ts';
import type { NewId } from '../platform/index.ts';
import type { MealService, Site } from '../sites/index.ts';
import { HISTORY_DAYS, coversSeries, datesFrom, isHeldOn, siteDate } from './covers-series.ts';
import type { CoversSeries } from './covers-series.ts';
import { forecastSittings } from './forecast-sittings.ts';
import type { MadeForecast } from './forecast-sittings.ts';
import type { CoversOverride, ForecastsRepository, KeptForecast } from './forecasts.ports.ts';
import {
  addServices,
  bringUpToDate,
  learnAnew,
  type BroughtUp,
  type KeptSeries,
} from './kept-series.ts';
import type { SeriesRows } from './series-rows.ts';

/** A series with fewer services of its own than this also starts from what sister sites show. */
const LITTLE_HISTORY = 120;

export interface SiteToForecast {
  readonly site: Pick<Site, 'id' | 'zone'>;
  readonly services: readonly MealService[];
  readonly rows: SeriesRows;
  /** First date of the rows' outcomes. */
  readonly historyFrom: string;
  /**
   * Whether the rows hold all the history, so that what was learned before can be checked against
   * it; otherwise they need only hold what came since (`rowsFrom`).
   */
  readonly whole: boolean;
  readonly now: Date;
  /** The dates wanted of a service, from today on; only those it is held on. */
  readonly datesOf: (service: MealService) => readonly string[];
  readonly newId: NewId;
}

/**
 * Brings the series of these services up to date and forecasts their sittings. Both are kept; a
 * sitting of which nothing is known that was not known before keeps its forecast.
 * @returns the standing forecast of every sitting asked for
 */
export async function forecastSite(
  forecasts: ForecastsRepository,
  input: SiteToForecast,
): Promise<readonly KeptForecast[]> {
  const ids = input.services.map((service) => service.id);
  const kept = new Map((await forecasts.seriesOf(ids)).map((one) => [one.serviceId, one]));
  const standing: KeptForecast[] = [];
  for (const service of input.services) {
    const series = coversSeries({
      service,
      rows: input.rows,
      zone: input.site.zone,
      now: input.now,
    });
    const before = kept.get(service.id) ?? null;
    const up = await upToDate(forecasts, service, series, before, input);
    if (up.refit !== 'unchanged') await forecasts.saveSeries(up.kept);
    standing.push(...(await keepSittings(forecasts, service, series, up, input)));
  }
  return standing;
}

async function upToDate(
  forecasts: ForecastsRepository,
  service: MealService,
  series: CoversSeries,
  before: KeptSeries | null,
  { site, historyFrom, now, whole }: SiteToForecast,
): Promise<BroughtUp> {
  const current = before?.modelVersion === FORECAST_MODEL_VERSION ? before : null;
  if (current !== null && !whole) return addServices(current, { series, now });
  const today = siteDate(now, site.zone);
  const input = { serviceId: service.id, siteId: service.siteId, series, historyFrom, now, today };
  if (current !== null && current.historyFrom >= historyFrom) {
    return bringUpToDate(current, inWindow(input, current.historyFrom));
  }
  const wanted = inWindow(input, addDays(today, -HISTORY_DAYS));
  return learnAnew(wanted, await sisterProfile(forecasts, service, wanted.series));
}

/**
 * First date that rows must hold for these services: what came after the service learned last, or
 * the whole history of one that was never learned (or by another model).
 */
export function rowsFrom(
  serviceIds: readonly string[],
  kept: readonly KeptSeries[],
  historyFrom: string,
): { readonly from: string; readonly whole: boolean } {
  const current = kept.filter((one) => one.modelVersion === FORECAST_MODEL_VERSION);
  if (current.length < serviceIds.length) return { from: historyFrom, whole: true };
  const next = current.map((one) =>
    one.learnedTo === null ? historyFrom : addDays(one.learnedTo, 1),
  );
  return { from: next.sort()[0] ?? historyFrom, whole: false };
}

/** The same with only the history from a date on. */
function inWindow<T extends { readonly series: CoversSeries; readonly historyFrom: string }>(
  input: T,
  historyFrom: string,
): T {
  const history = input.series.history.filter((s) => s.serviceDate >= historyFrom);
  return { ...input, historyFrom, series: { ...input.series, history } };
}

/** What services of the same name show in the group, for one with little history of its own. */
export async function sisterProfile(
  forecasts: Pick<ForecastsRepository, 'group'>,
  service: Pick<MealService, 'name'>,
  series: Pick<CoversSeries, 'history'>,
): Promise<GroupProfile | null> {
  if (series.history.length >= LITTLE_HISTORY) return null;
  const group = await forecasts.group(groupName(service));
  return group?.modelVersion === FORECAST_MODEL_VERSION ? group.profile : null;
}

/** Lunches are like lunches: services of one name make a group. */
export function groupName(service: Pick<MealService, 'name'>): string {
  return service.name.trim().toLowerCase();
}

/** Forecasts the sittings of one service and keeps those that say something new. */
export async function keepSittings(
  forecasts: ForecastsRepository,
  service: MealService,
  series: CoversSeries,
  { kept, warnings }: Pick<BroughtUp, 'kept' | 'warnings'>,
  { rows, now, site, datesOf, newId }: Omit<SiteToForecast, 'services' | 'historyFrom' | 'whole'>,
): Promise<readonly KeptForecast[]> {
  const dates = datesOf(service);
  const [from, to] = [dates[0], dates.at(-1)];
  if (from === undefined || to === undefined) return [];
  const made = forecastSittings({
    service,
    series,
    kept,
    rows,
    overrides: await forecasts.overridesOf([service.id], from, to),
    now,
    today: siteDate(now, site.zone),
    dates,
    warnings,
  });
  const newest = new Map(
    (await forecasts.newest([service.id], from, to)).map((one) => [one.serviceDate, one]),
  );
  const fresh: KeptForecast[] = [];
  const standing = made.map((one: MadeForecast): KeptForecast => {
    const last = newest.get(one.serviceDate);
    if (last?.inputsHash === one.inputsHash) return last;
    const next = { id: newId('fc'), ...one };
    fresh.push(next);
    return next;
  });
  await forecasts.insert(fresh);
  return standing;
}

/** A kept forecast with the override that stood, ready to plan with. */
export interface PlannedForecast {
  readonly kept: KeptForecast;
  readonly override: CoversOverride | null;
}

/** The forecasts of the sittings a plan looks at: every service in use on the days it is held. */
export async function planForecasts(
  forecasts: ForecastsRepository,
  input: Omit<SiteToForecast, 'datesOf' | 'whole'> & {
    readonly closedDays: readonly { readonly date: string }[];
    readonly days: number;
  },
): Promise<readonly PlannedForecast[]> {
  const today = siteDate(input.now, input.site.zone);
  const dates = datesFrom(today, input.days);
  const closed = new Set(input.closedDays.map((day) => day.date));
  const services = input.services.filter((service) => !service.archived);
  const standing = await forecastSite(forecasts, {
    ...input,
    services,
    whole: true,
    datesOf: (service) => dates.filter((date) => isHeldOn(service, date) && !closed.has(date)),
  });
  const ids = services.map((service) => service.id);
  const overrides = new Map(
    (await forecasts.overridesOf(ids, today, dates.at(-1) ?? today)).map((o) => [o.id, o]),
  );
  return standing.map((kept) => ({ kept, override: overrides.get(kept.overrideId ?? '') ?? null }));
}
