import { addDays, weekdayOf } from '../../api/core/calendar/index.ts';
import { LOADING_TIME, addMinutes, instantAt, worksOn } from './dated.ts';
import { diceFor } from './dice.ts';
import type { DailyUse } from './rough-need.ts';
import type {
  DatedEvent,
  DemoData,
  DemoPack,
  DemoSite,
  DemoSupplier,
  OpenOrder,
  ServiceDate,
} from './types.ts';

const DAYS_AHEAD = 4;
const LINES_AT_MOST = 9;

/**
 * Orders already with the suppliers on the morning of loading: one for each delivery of the next
 * days whose cutoff has passed, where the site needs enough to reach the minimum order.
 */
export function openOrders(
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
    .flatMap((supplier) =>
      deliveriesClosed(supplier, site, events, today).flatMap((deliveryDate) => {
        const dice = diceFor(seed, 'order', site.key, supplier.key, deliveryDate);
        const lines = orderLines(data.packs, supplier, perDay, dice.between(1.6, 2.6));
        const total = lines.reduce((sum, line) => sum + line.packs * line.price, 0);
        if (total < Number(supplier.minimumOrder)) return [];
        const cutoff = cutoffOf(supplier, deliveryDate);
        return [
          {
            site: site.key,
            supplier: supplier.key,
            placedAt: addMinutes(cutoff, -dice.whole(15, 160)),
            deliveryDate,
            lines: lines.map(({ sku, packs }) => ({ sku, packs })),
          },
        ];
      }),
    );
}

export function cutoffOf(supplier: DemoSupplier, deliveryDate: ServiceDate): string {
  const { daysBefore, time } = supplier.cutoff;
  return instantAt(addDays(deliveryDate, -daysBefore), time, supplier.zone);
}

/** Delivery dates from today on whose cutoff is over at 05:30 local and on which the site works. */
function deliveriesClosed(
  supplier: DemoSupplier,
  site: DemoSite,
  events: readonly DatedEvent[],
  today: ServiceDate,
): ServiceDate[] {
  const now = instantAt(today, LOADING_TIME, site.zone);
  return Array.from({ length: DAYS_AHEAD }, (_, ahead) => addDays(today, ahead)).filter(
    (date) =>
      supplier.deliveryWeekdays.includes(weekdayOf(date)) &&
      worksOn(site, date, events) &&
      cutoffOf(supplier, date) <= now,
  );
}

export interface PackLine {
  readonly sku: string;
  readonly packs: number;
  readonly price: number;
}

/** The items used most by value, for so many days, in the largest pack that is not too much. */
export function orderLines(
  packs: readonly DemoPack[],
  supplier: DemoSupplier,
  perDay: ReadonlyMap<string, number>,
  days: number,
  linesAtMost = LINES_AT_MOST,
): PackLine[] {
  const sold = packs.filter((pack) => pack.supplier === supplier.key);
  return [...new Set(sold.map((pack) => pack.ingredient))]
    .flatMap((ingredient): (PackLine & { readonly value: number })[] => {
      const wanted = (perDay.get(ingredient) ?? 0) * days;
      const sizes = sold
        .filter((pack) => pack.ingredient === ingredient)
        .sort((a, b) => b.quantityBase - a.quantityBase);
      const pack = sizes.find((size) => size.quantityBase <= wanted * 1.2) ?? sizes.at(-1);
      if (pack === undefined || wanted <= 0) return [];
      const price = Number(pack.prices.filter((p) => p.fromDaysAgo >= 0).at(-1)?.amount ?? 0);
      const count = Math.ceil(wanted / pack.quantityBase - 0.35);
      return count > 0 ? [{ sku: pack.sku, packs: count, price, value: count * price }] : [];
    })
    .sort((a, b) => b.value - a.value)
    .slice(0, linesAtMost)
    .map(({ sku, packs: count, price }) => ({ sku, packs: count, price }));
}
