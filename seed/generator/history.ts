import { addDays, datesBetween } from '../../api/core/calendar/index.ts';
import { playService } from './covers.ts';
import {
  AHEAD_DAYS,
  HISTORY_DAYS,
  datedEvents,
  datedMenus,
  eventAt,
  menuFor,
  servicesOn,
} from './dated.ts';
import { indexDemoData } from './demo-index.ts';
import { openOrders } from './open-orders.ts';
import { pastOrders } from './past-orders.ts';
import { roughDailyUse } from './rough-need.ts';
import { playSales } from './sales.ts';
import { openingLots } from './stock.ts';
import type {
  ActualCovers,
  CoversSnapshot,
  DemoData,
  DemoHistory,
  DishSale,
  GenerateOptions,
} from './types.ts';
import { pastWaste } from './waste.ts';

/** Stock and orders are sized for so many days from today. */
const STOCK_DAYS = 3;

/**
 * The demo group's last 26 weeks and its bookings for the next 28 days, as they stand at 05:30 local
 * on `today`: dated cards and events, booking snapshots, actual covers, dishes sold, what is in
 * stock, what was thrown away and what is on order.
 *
 * The same data, today and seed give the same history. Covers and sales of a past service hang on
 * its own site, service and date, so a later today sees the same past; only what the data dates by
 * today itself (events, first services of recipes) moves along.
 *
 * @param options.today `YYYY-MM-DD`; throws RangeError when it is no date
 */
export function generateHistory(data: DemoData, options: GenerateOptions): DemoHistory {
  const { today, seed } = options;
  const index = indexDemoData(data);
  const menus = datedMenus(data, today);
  const events = datedEvents(data, today);
  const snapshots: CoversSnapshot[] = [];
  const actuals: ActualCovers[] = [];
  const sales: DishSale[] = [];
  for (const site of data.sites) {
    for (const date of datesBetween(addDays(today, -HISTORY_DAYS), addDays(today, AHEAD_DAYS))) {
      for (const service of servicesOn(site, date, events)) {
        const profile = site.demand.find((candidate) => candidate.service === service.key);
        if (profile === undefined) continue;
        const event = eventAt(events, site.key, service.key, date);
        const played = playService(site, service, profile, date, event, seed);
        snapshots.push(...played.snapshots.filter((s) => addDays(date, -s.daysBefore) <= today));
        if (date >= today) continue;
        const at = { site: site.key, service: service.key, serviceDate: date };
        actuals.push({ ...at, covers: played.covers });
        const menu = menuFor(menus, site.key, service.key, date);
        if (menu === undefined) continue;
        sales.push(...playSales(site, service, date, played.covers, menu, event, seed));
      }
    }
  }
  const perSite = data.sites.map((site) => {
    const uses = roughDailyUse(index, site, menus, events, today, STOCK_DAYS, today);
    return {
      lots: openingLots(index, site, uses, events, today, seed),
      wastes: pastWaste(index, site, menus, events, today, seed),
      orders: openOrders(data, site, uses, events, today, seed),
      past: pastOrders(data, site, uses, events, today, seed),
    };
  });
  return {
    today,
    seed,
    menus,
    events,
    snapshots,
    actuals,
    sales,
    lots: perSite.flatMap((made) => made.lots),
    wastes: perSite.flatMap((made) => made.wastes),
    openOrders: perSite.flatMap((made) => made.orders),
    pastOrders: perSite.flatMap((made) => made.past),
  };
}
