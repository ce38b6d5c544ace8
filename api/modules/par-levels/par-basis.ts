import { addDays, serviceInstant } from '../../core/calendar/index.ts';
import type { PriceBook } from '../../core/cost/index.ts';
import { unwrap } from '../../core/shared/index.ts';
import { kitchenAtSite, priceBookOf, type Kitchen } from '../dishes/index.ts';
import {
  ROWS_DAYS,
  planForecasts,
  plannedResult,
  portionsOf,
  shareLearner,
  siteDate,
  type OfferedDish,
  type PlannedForecast,
  type PreOrderRow,
  type SaleRow,
  type SeriesRows,
} from '../forecasts/index.ts';
import type { ActiveMenuLine } from '../menus/index.ts';
import { notFound, type NewId } from '../platform/index.ts';
import type { Site } from '../sites/index.ts';
import type { ParsRead } from './par-levels.ports.ts';

/** Days ahead whose demand a par may have to cover. */
const BASIS_DAYS = 28;

/** A sitting to come with the dishes on offer. */
export interface ParSitting {
  readonly serviceId: string;
  readonly serviceName: string;
  readonly serviceDate: string;
  readonly startMs: number;
  readonly forecast: PlannedForecast['kept'];
  readonly dishes: readonly OfferedDish<ActiveMenuLine>[];
}

/** Everything the pars of one site are worked out from, at one instant. */
export interface ParBasis {
  readonly site: Site;
  readonly today: string;
  /** Sittings that have not begun, in order. */
  readonly sittings: readonly ParSitting[];
  /** The same with those of today that have begun. */
  readonly fromToday: readonly ParSitting[];
  readonly kitchen: Kitchen;
  readonly book: PriceBook;
  /** Portions of a dish at a sitting; worked out once. */
  portions(sitting: ParSitting, dish: OfferedDish<ActiveMenuLine>): ReturnType<typeof portionsOf>;
}

/** What is read beside the forecasts: recipes in force today, menus and prices. */
export interface ParTables {
  readonly site: Site;
  readonly today: string;
  readonly kitchen: Kitchen;
  readonly book: PriceBook;
  readonly lines: readonly ActiveMenuLine[];
}

/** Reads recipes, menus and prices of a site. @throws Refusal `not-found` */
export async function readParTables(read: ParsRead, siteId: string, now: Date): Promise<ParTables> {
  const site = await read.sites.find(siteId);
  if (!site) throw notFound('site', siteId);
  const today = siteDate(now, site.zone);
  const kitchen = await kitchenAtSite(read, siteId, today);
  const book = priceBookOf(
    site,
    await read.suppliers.all(),
    await read.suppliers.packsWithPrices(),
    await read.rates.all(),
    kitchen.fromTheTap,
  );
  const lines = await read.menus.activeLines(siteId, today, addDays(today, BASIS_DAYS));
  return { site, today, kitchen, book, lines };
}

/** The basis over forecasts that are there already. */
export function parBasis(
  tables: ParTables,
  services: readonly { readonly id: string; readonly name: string; readonly startsAt: string }[],
  forecasts: readonly PlannedForecast[],
  sold: {
    readonly outcomes: SeriesRows['outcomes'];
    readonly sales: readonly SaleRow[];
    readonly preOrders: readonly PreOrderRow[];
  },
  now: Date,
): ParBasis {
  const sharesOn = shareLearner(tables.lines, sold);
  const byId = new Map(services.map((service) => [service.id, service]));
  const fromToday = forecasts.flatMap(({ kept }): ParSitting[] => {
    const service = byId.get(kept.serviceId);
    if (!service) return [];
    const { serviceDate } = kept;
    const start = unwrap(serviceInstant(serviceDate, service.startsAt, tables.site.zone)) * 60_000;
    return [
      {
        serviceId: service.id,
        serviceName: service.name,
        serviceDate,
        startMs: start,
        forecast: kept,
        dishes: sharesOn(service.id, serviceDate),
      },
    ];
  });
  fromToday.sort((a, b) => a.startMs - b.startMs);
  const known = new Map<string, ReturnType<typeof portionsOf>>();
  return {
    ...tables,
    fromToday,
    sittings: fromToday.filter((sitting) => sitting.startMs > now.getTime()),
    portions(sitting, dish) {
      const key = `${sitting.forecast.id} ${dish.line.id}`;
      const found = known.get(key) ?? portionsOf(sitting.forecast, dish);
      known.set(key, found);
      return found;
    },
  };
}

/** Reads everything the pars of a site are worked out from; the forecasts made for it are kept. */
export async function readParBasis(
  read: ParsRead,
  siteId: string,
  now: Date,
  newId: NewId,
): Promise<ParBasis> {
  const tables = await readParTables(read, siteId, now);
  const { today, site } = tables;
  const services = await read.sites.servicesOf(siteId, false);
  const ids = services.map((service) => service.id);
  const historyFrom = addDays(today, -ROWS_DAYS);
  const rows = await read.forecasts.rowsOf(ids, historyFrom, addDays(today, BASIS_DAYS));
  const forecasts = await planForecasts(read.forecasts, {
    site,
    services,
    rows,
    historyFrom,
    now,
    newId,
    closedDays: await read.sites.closedDaysOf(siteId),
    days: BASIS_DAYS,
  });
  const sales = await read.forecasts.salesOf(siteId, historyFrom, today);
  const preOrders = await read.forecasts.preOrdersOf(
    siteId,
    historyFrom,
    addDays(today, BASIS_DAYS),
  );
  return parBasis(tables, services, forecasts, { outcomes: rows.outcomes, sales, preOrders }, now);
}

/** Covers a sitting is planned with. */
export function coversOf(sitting: ParSitting) {
  return plannedResult(sitting.forecast);
}
