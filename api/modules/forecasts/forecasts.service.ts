import { addDays } from '../../core/calendar/index.ts';
import { chain, evaluate, subgraph } from '../../core/explanation/index.ts';
import type { ExplanationGraph } from '../../core/explanation/index.ts';
import { invalid, notFound, orRefuse, requireSite } from '../platform/index.ts';
import type { Actor, Clock, NewId, UnitOfWork } from '../platform/index.ts';
import type { MealService, Site } from '../sites/index.ts';
import { ROWS_DAYS, datesFrom, isHeldOn, siteDate } from './covers-series.ts';
import { keptPortions, portionsHash } from './dish-portions.ts';
import { shareLearner } from './dish-shares.ts';
import { explainForecast } from './explain-forecast.ts';
import { forecastSite, rowsFrom } from './forecast-site.ts';
import type {
  CoversOverride,
  ForecastsWork,
  KeptForecast,
  KeptPortions,
} from './forecasts.ports.ts';
import type { SeriesRows } from './series-rows.ts';

export interface ForecastsDependencies {
  readonly work: UnitOfWork<ForecastsWork>;
  readonly clock: Clock;
  readonly newId: NewId;
}

/** One sitting with what was expected of it and, once held, what came. */
export interface SittingView {
  readonly service: MealService;
  readonly serviceDate: string;
  /** Null: a sitting gone by of which no forecast was kept. */
  readonly forecast: KeptForecast | null;
  readonly override: CoversOverride | null;
  readonly booked: number | null;
  readonly snapshotTakenAt: Date | null;
  readonly actual: Omit<SeriesRows['outcomes'][number], 'serviceId' | 'serviceDate'> | null;
}

export interface SiteForecastView {
  readonly site: Site;
  readonly today: string;
  readonly sittings: readonly SittingView[];
}

/** A sitting with the portions of each dish on offer. */
export interface SittingPortions {
  readonly service: MealService;
  readonly forecast: KeptForecast;
  readonly dishes: readonly { readonly name: string; readonly portions: KeptPortions }[];
}

export interface DateWindow {
  readonly from?: string;
  readonly to?: string;
  readonly serviceId?: string;
}

export const MOST_DAYS_COVERS = 120;
export const MOST_DAYS_PORTIONS = 14;
const USUAL_DAYS = 28;

/** Forecasts of covers and portions: worked out from what is kept, kept, and explained. */
export class ForecastsService {
  readonly #deps: ForecastsDependencies;

  constructor(deps: ForecastsDependencies) {
    this.#deps = deps;
  }

  /**
   * The covers of a site's sittings between two dates. Those to come are worked out anew where
   * something new is known; of those gone by the last forecast that was kept is shown.
   * @throws Refusal `invalid-input` for a window turned round or too long
   */
  async covers(actor: Actor, siteId: string, window: DateWindow): Promise<SiteForecastView> {
    requireSite(actor, siteId);
    return this.#deps.work.run((work) => this.#covers(work, siteId, window, MOST_DAYS_COVERS));
  }

  /** The portions of each dish on offer, sitting by sitting, from today on. */
  async portions(
    actor: Actor,
    siteId: string,
    window: DateWindow,
  ): Promise<{ readonly site: Site; readonly sittings: readonly SittingPortions[] }> {
    requireSite(actor, siteId);
    return this.#deps.work.run(async (work) => {
      const now = this.#deps.clock.now();
      const view = await this.#covers(work, siteId, window, MOST_DAYS_PORTIONS);
      const ahead = view.sittings.flatMap(({ service, serviceDate, forecast }) =>
        forecast !== null && serviceDate >= view.today ? [{ service, forecast }] : [],
      );
      const dates = ahead.map(({ forecast }) => forecast.serviceDate).sort();
      const lines = await work.menus.activeLines(
        siteId,
        dates[0] ?? view.today,
        dates.at(-1) ?? view.today,
      );
      const from = addDays(view.today, -ROWS_DAYS);
      const serviceIds = [...new Set(ahead.map(({ service }) => service.id))];
      const { outcomes } = await work.forecasts.rowsOf(serviceIds, from, view.today);
      const sales = await work.forecasts.salesOf(siteId, from, view.today);
      const preOrders = await work.forecasts.preOrdersOf(siteId, from, dates.at(-1) ?? view.today);
      const sharesOn = shareLearner(lines, { outcomes, sales, preOrders });
      const standing = new Map(
        (await work.forecasts.portionsOf(ahead.map(({ forecast }) => forecast.id))).map((p) => [
          p.inputsHash,
          p,
        ]),
      );
      const names = await work.forecasts.dishNames([...new Set(lines.map((line) => line.dishId))]);
      const fresh: KeptPortions[] = [];
      const sittings = ahead.map(({ service, forecast }): SittingPortions => {
        const dishes = sharesOn(service.id, forecast.serviceDate).map((dish) => {
          const kept = standing.get(portionsHash(forecast, dish));
          const portions = kept ?? keptPortions(forecast, dish, now, this.#deps.newId);
          if (!kept) fresh.push(portions);
          return { name: names.get(dish.line.dishId) ?? dish.line.dishId, portions };
        });
        return { service, forecast, dishes };
      });
      await work.forecasts.insertPortions(fresh);
      return { site: view.site, sittings };
    });
  }

  /** One kept forecast. */
  async one(
    actor: Actor,
    id: string,
  ): Promise<{ readonly forecast: KeptForecast; readonly view: SittingView }> {
    const { forecasts, sites } = this.#deps.work.read;
    const forecast = await forecasts.find(id);
    const service = forecast && (await sites.findService(forecast.serviceId));
    if (!forecast || !service) throw notFound('forecast', id);
    requireSite(actor, forecast.siteId);
    const { serviceDate } = forecast;
    const rows = await forecasts.rowsOf([service.id], serviceDate, serviceDate);
    const override = forecast.overrideId ? await forecasts.findOverride(forecast.overrideId) : null;
    return { forecast, view: sittingView(service, serviceDate, forecast, override, rows) };
  }

  /** How the covers of a kept forecast came about. */
  async explain(actor: Actor, id: string) {
    const { forecast, view } = await this.one(actor, id);
    const { nodeId, graph } = explainForecast(forecast, view.service.name, view.override);
    return explained(graph, nodeId);
  }

  async #covers(
    work: ForecastsWork,
    siteId: string,
    window: DateWindow,
    mostDays: number,
  ): Promise<SiteForecastView> {
    const now = this.#deps.clock.now();
    const site = await work.sites.find(siteId);
    if (!site) throw notFound('site', siteId);
    const today = siteDate(now, site.zone);
    const from = window.from ?? today;
    const to = window.to ?? addDays(from, Math.min(USUAL_DAYS, mostDays) - 1);
    if (to < from) throw invalid('/querystring/to', 'The last date is before the first.');
    if (to > addDays(from, mostDays - 1)) {
      throw invalid('/querystring/to', `Ask for at most ${mostDays} days at a time.`);
    }
    if (to > addDays(today, MOST_DAYS_COVERS)) {
      throw invalid('/querystring/to', `A forecast reaches ${MOST_DAYS_COVERS} days ahead.`);
    }
    const all = await work.sites.servicesOf(siteId, false);
    const services = all.filter((s) => window.serviceId === undefined || s.id === window.serviceId);
    if (window.serviceId !== undefined && services.length === 0) {
      throw notFound('service of this site', window.serviceId);
    }
    const closed = new Set((await work.sites.closedDaysOf(siteId)).map((day) => day.date));
    const days = datesFrom(from, daysIn(from, to));
    const held = (service: MealService) =>
      days.filter((date) => isHeldOn(service, date) && !closed.has(date));
    const historyFrom = addDays(today, -ROWS_DAYS);
    const ids = services.map((service) => service.id);
    const need = rowsFrom(ids, await work.forecasts.seriesOf(ids), historyFrom);
    const rows = await work.forecasts.rowsOf(
      ids,
      need.from < from ? need.from : from,
      to < today ? today : to,
    );
    const ahead = await forecastSite(work.forecasts, {
      site,
      services,
      rows,
      historyFrom,
      whole: need.whole,
      now,
      datesOf: (service) => held(service).filter((date) => date >= today),
      newId: this.#deps.newId,
    });
    const past = from < today ? await work.forecasts.newest(ids, from, addDays(today, -1)) : [];
    const forecasts = new Map(
      [...past, ...ahead].map((f) => [keyOf(f.serviceId, f.serviceDate), f]),
    );
    const overrides = new Map(
      (await work.forecasts.overridesOf(ids, from, to)).map((o) => [
        keyOf(o.serviceId, o.serviceDate),
        o,
      ]),
    );
    const sittings = services.flatMap((service) => {
      const dates = new Set([
        ...held(service).filter((date) => date >= today),
        ...rows.outcomes
          .filter((o) => o.serviceId === service.id && o.serviceDate >= from && o.serviceDate <= to)
          .map((o) => o.serviceDate),
        ...past.filter((f) => f.serviceId === service.id).map((f) => f.serviceDate),
      ]);
      return [...dates].map((date) => {
        const key = keyOf(service.id, date);
        return sittingView(
          service,
          date,
          forecasts.get(key) ?? null,
          overrides.get(key) ?? null,
          rows,
        );
      });
    });
    sittings.sort(
      (a, b) =>
        a.serviceDate.localeCompare(b.serviceDate) ||
        a.service.startsAt.localeCompare(b.service.startsAt),
    );
    return { site, today, sittings };
  }
}

const keyOf = (serviceId: string, date: string): string => `${serviceId} ${date}`;

function daysIn(from: string, to: string): number {
  return Math.round((Date.parse(to) - Date.parse(from)) / 86_400_000) + 1;
}

function sittingView(
  service: MealService,
  serviceDate: string,
  forecast: KeptForecast | null,
  override: CoversOverride | null,
  rows: SeriesRows,
): SittingView {
  const ofSitting = (row: { serviceId: string; serviceDate: string }) =>
    row.serviceId === service.id && row.serviceDate === serviceDate;
  const snapshots = rows.snapshots.filter(ofSitting);
  const snapshot = forecast
    ? snapshots.find((row) => row.id === forecast.snapshotId)
    : snapshots.at(-1);
  const outcome = rows.outcomes.find(ofSitting);
  return {
    service,
    serviceDate,
    forecast,
    override,
    booked: snapshot?.booked ?? null,
    snapshotTakenAt: snapshot?.takenAt ?? null,
    actual: outcome ?? null,
  };
}

/** A figure with the nodes it rests on and the same as lines of text. */
export function explained(graph: ExplanationGraph, nodeId: string) {
  return {
    nodeId,
    value: orRefuse(evaluate(graph, nodeId)),
    graph: orRefuse(subgraph(graph, nodeId)),
    lines: orRefuse(chain(graph, nodeId)),
  };
}
