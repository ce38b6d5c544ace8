import { addDays, weekdayOf } from '../../api/core/calendar/index.ts';
import { addMinutes, worksOn } from './dated.ts';
import { diceFor } from './dice.ts';
import { cutoffOf, orderLines, type PackLine } from './open-orders.ts';
import type { DailyUse } from './rough-need.ts';
import type {
  DatedEvent,
  DemoData,
  DemoSite,
  DemoSupplier,
  OpenOrder,
  ServiceDate,
} from './types.ts';

/** Deliveries of so many days before the day of loading: the week that this one is compared with. */
const DAYS_BACK = 8;

/** A pantry order of a week has as many lines as this. */
const LINES_AT_MOST = 30;
/** Nobody orders for longer than this to reach a minimum. */
const DAYS_AT_MOST = 12;

/**
 * Orders that came in the days before loading and are done with, of what the site uses until the
 * supplier comes again. Where that does not reach the minimum order, one order covers more days and
 * the deliveries in between are left out.
 */
export function pastOrders(
  data: DemoData,
  site: DemoSite,
  uses: readonly DailyUse[],
  events: readonly DatedEvent[],
  today: ServiceDate,
  seed: number,
): OpenOrder[] {
  const perDay = new Map(uses.map((use) => [use.key, use.perDay]));
  return data.suppliers
    .filter((supplier) => supplier.sites.includes(site.key))
    .flatMap((supplier) => {
      const orders: OpenOrder[] = [];
      let coveredUntil = '';
      for (const deliveryDate of deliveriesMade(supplier, site, events, today)) {
        if (deliveryDate < coveredUntil) continue;
        const dice = diceFor(seed, 'past order', site.key, supplier.key, deliveryDate);
        const ordered = enough(data, supplier, perDay, deliveryDate, dice.between(0.85, 1.1));
        if (ordered === null) continue;
        coveredUntil = addDays(deliveryDate, ordered.days);
        orders.push({
          site: site.key,
          supplier: supplier.key,
          placedAt: addMinutes(cutoffOf(supplier, deliveryDate), -dice.whole(15, 160)),
          deliveryDate,
          lines: ordered.lines.map(({ sku, packs }) => ({ sku, packs })),
        });
      }
      return orders;
    });
}

/** What is used until one of the next deliveries, the first that makes the minimum; null for none. */
function enough(
  data: DemoData,
  supplier: DemoSupplier,
  perDay: ReadonlyMap<string, number>,
  deliveryDate: ServiceDate,
  factor: number,
): { readonly lines: readonly PackLine[]; readonly days: number } | null {
  let days = daysUntilNext(supplier, deliveryDate);
  while (days <= DAYS_AT_MOST) {
    const lines = orderLines(data.packs, supplier, perDay, days * factor, LINES_AT_MOST);
    const total = lines.reduce((sum, line) => sum + line.packs * line.price, 0);
    if (total >= Number(supplier.minimumOrder)) return { lines, days };
    days += daysUntilNext(supplier, addDays(deliveryDate, days));
  }
  return null;
}

function deliveriesMade(
  supplier: DemoSupplier,
  site: DemoSite,
  events: readonly DatedEvent[],
  today: ServiceDate,
): ServiceDate[] {
  return Array.from({ length: DAYS_BACK }, (_, back) => addDays(today, back - DAYS_BACK)).filter(
    (date) => supplier.deliveryWeekdays.includes(weekdayOf(date)) && worksOn(site, date, events),
  );
}

/** Days from a delivery to the supplier's next. */
function daysUntilNext(supplier: DemoSupplier, date: ServiceDate): number {
  for (let days = 1; days < 7; days += 1) {
    if (supplier.deliveryWeekdays.includes(weekdayOf(addDays(date, days)))) return days;
  }
  return 7;
}
