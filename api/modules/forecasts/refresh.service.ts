import { addDays } from '../../core/calendar/index.ts';
import {
  FORECAST_MODEL_VERSION,
  MAX_HORIZON_DAYS,
  learnGroupProfile,
} from '../../core/forecast/index.ts';
import type { SeriesState } from '../../core/forecast/index.ts';
import { notFound } from '../platform/index.ts';
import type { Actor } from '../platform/index.ts';
import type { MealService } from '../sites/index.ts';
import {
  HISTORY_DAYS,
  ROWS_DAYS,
  coversSeries,
  datesFrom,
  isHeldOn,
  siteDate,
} from './covers-series.ts';
import { forecastSite, groupName, keepSittings, rowsFrom, sisterProfile } from './forecast-site.ts';
import type { ForecastsDependencies } from './forecasts.service.ts';
import { learnAnew } from './kept-series.ts';

/** Days ahead that the full run works out. */
const RUN_DAYS = 28;
/** After so many days only the last forecast of a sitting is kept. */
const KEEP_ALL_DAYS = 35;
/** Services of one name that make a group: with one there is no sister. */
const LEAST_SISTERS = 2;

/** What a full run did. */
export interface FullRun {
  readonly sites: number;
  readonly series: number;
  /** Sittings worked out. */
  readonly sittings: number;
  readonly groups: number;
  /** Earlier forecasts of sittings long gone by that were forgotten. */
  readonly forgotten: number;
}

/** A sitting of which something new is known. */
export interface ChangedSitting {
  readonly serviceId: string;
  readonly serviceDate: string;
}

/** Keeps forecasts fresh: one series when its bookings change, all of them once a night. */
export class ForecastRefreshService {
  readonly #deps: ForecastsDependencies;

  constructor(deps: ForecastsDependencies) {
    this.#deps = deps;
  }

  /**
   * Bookings or something else known of these sittings has come in. Those to come are worked out
   * from what is kept of their series: nothing is learned again. Where something is told of days
   * gone by, that series is checked against its whole history, moved on or learned anew. No other
   * series is touched.
   */
  async sittingsChanged(sittings: readonly ChangedSitting[]): Promise<void> {
    for (const serviceId of new Set(sittings.map((s) => s.serviceId))) {
      const dates = sittings.filter((s) => s.serviceId === serviceId).map((s) => s.serviceDate);
      await this.#refreshService(serviceId, new Set(dates));
    }
  }

  /** The usual covers of a service were stated: its series begins from them. */
  statedChanged(serviceId: string): Promise<void> {
    return this.#refreshService(serviceId, null);
  }

  /** @param changed the dates of which something new is known; null: all of them */
  async #refreshService(serviceId: string, changed: ReadonlySet<string> | null): Promise<void> {
    const now = this.#deps.clock.now();
    await this.#deps.work.run(async ({ forecasts, sites }) => {
      const service = await sites.findService(serviceId);
      const site = service && (await sites.find(service.siteId));
      if (!service || !site || service.archived) return;
      const today = siteDate(now, site.zone);
      const whole = changed === null || [...changed].some((date) => date < today);
      const closed = new Set((await sites.closedDaysOf(site.id)).map((day) => day.date));
      const dates = datesFrom(today, whole ? RUN_DAYS : MAX_HORIZON_DAYS + 1).filter(
        (date) => (whole || changed.has(date)) && isHeldOn(service, date) && !closed.has(date),
      );
      if (dates.length === 0) return;
      const historyFrom = addDays(today, -ROWS_DAYS);
      const need = whole
        ? { from: historyFrom, whole }
        : rowsFrom([serviceId], await forecasts.seriesOf([serviceId]), historyFrom);
      const rows = await forecasts.rowsOf([serviceId], need.from, dates.at(-1) ?? today);
      await forecastSite(forecasts, {
        site,
        services: [service],
        rows,
        historyFrom,
        whole: need.whole,
        now,
        datesOf: () => dates,
        newId: this.#deps.newId,
      });
    });
  }

  /**
   * The nightly run: every series learned from its whole history, what each group of services
   * shows, and the next four weeks of every sitting. One transaction a site, so that a run that is
   * cut short keeps what it has done.
   * @param siteIds left out: every site the actor may see
   */
  async refreshAll(actor: Actor, siteIds?: readonly string[]): Promise<FullRun> {
    const { sites } = this.#deps.work.read;
    const all = (await sites.all()).filter((site) => !site.archived);
    for (const id of siteIds ?? []) {
      if (!all.some((site) => site.id === id)) throw notFound('site', id);
    }
    const own = all.filter(
      (site) =>
        (actor.siteIds === 'all' || actor.siteIds.includes(site.id)) &&
        (siteIds === undefined || siteIds.includes(site.id)),
    );
    const states = new Map<string, SeriesState[]>();
    let [series, sittings, forgotten] = [0, 0, 0];
    for (const site of own) {
      const done = await this.#refreshSite(site.id, states);
      series += done.series;
      sittings += done.sittings;
      forgotten += done.forgotten;
    }
    const groups = siteIds === undefined ? await this.#learnGroups(states) : 0;
    return { sites: own.length, series, sittings, groups, forgotten };
  }

  async #refreshSite(siteId: string, states: Map<string, SeriesState[]>) {
    const now = this.#deps.clock.now();
    return this.#deps.work.run(async ({ forecasts, sites }) => {
      const site = await sites.find(siteId);
      if (!site) throw notFound('site', siteId);
      const today = siteDate(now, site.zone);
      const services = await sites.servicesOf(siteId, false);
      const closed = new Set((await sites.closedDaysOf(siteId)).map((day) => day.date));
      const historyFrom = addDays(today, -HISTORY_DAYS);
      const dates = datesFrom(today, RUN_DAYS);
      const ids = services.map((service) => service.id);
      const rows = await forecasts.rowsOf(ids, historyFrom, dates.at(-1) ?? today);
      const datesOf = (service: MealService) =>
        dates.filter((date) => isHeldOn(service, date) && !closed.has(date));
      let sittings = 0;
      for (const service of services) {
        const series = coversSeries({ service, rows, zone: site.zone, now });
        const input = { serviceId: service.id, siteId, series, historyFrom, now, today };
        const learned = learnAnew(input, await sisterProfile(forecasts, service, series));
        await forecasts.saveSeries(learned.kept);
        const name = groupName(service);
        states.set(name, [...(states.get(name) ?? []), learned.kept.state]);
        const parts = { rows, now, site, datesOf, newId: this.#deps.newId };
        sittings += (await keepSittings(forecasts, service, series, learned, parts)).length;
      }
      const forgotten = await forecasts.forgetBefore(siteId, addDays(today, -KEEP_ALL_DAYS));
      return { series: services.length, sittings, forgotten };
    });
  }

  /** What services of one name show, for those that have little history of their own. */
  async #learnGroups(states: ReadonlyMap<string, readonly SeriesState[]>): Promise<number> {
    const learnedAt = this.#deps.clock.now();
    return this.#deps.work.run(async ({ forecasts }) => {
      let groups = 0;
      for (const [name, own] of states) {
        const profile = learnGroupProfile(own);
        if (!profile.ok || profile.value.seriesCount < LEAST_SISTERS) continue;
        await forecasts.saveGroup({
          name,
          modelVersion: FORECAST_MODEL_VERSION,
          profile: profile.value,
          seriesCount: profile.value.seriesCount,
          learnedAt,
        });
        groups += 1;
      }
      return groups;
    });
  }
}
