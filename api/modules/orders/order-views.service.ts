import { addDays } from '../../core/calendar/index.ts';
import {
  compareGroups,
  groupOrders,
  openCutoffs,
  priceHistory,
} from '../../core/ordering/index.ts';
import type {
  IngredientDifference,
  OpenCutoff,
  OrderGroup,
  OrderGrouping,
  PaidPrice,
} from '../../core/ordering/index.ts';
import { invalid, notFound, orRefuse, type Actor } from '../platform/index.ts';
import { loadOrderBook, type OrderBook } from './order-book.ts';
import { toRecord } from './order-record.ts';
import { requireOrder, type OrdersDependencies } from './orders.service.ts';

/** Longest stretch of delivery dates that is added up at once. */
const MOST_DAYS = 62;
const WEEK_DAYS = 7;

/** A group with what changed since the same view a week earlier. */
export interface ComparedGroup {
  readonly group: OrderGroup;
  /** The week before; null when nothing was ordered under the key. */
  readonly before: OrderGroup | null;
  readonly differences: readonly IngredientDifference[];
}

/** Orders as purchasing looks at them: added up, against last week, by cutoff, by price paid. */
export class OrderViewsService {
  readonly #deps: OrdersDependencies;

  constructor(deps: OrdersDependencies) {
    this.#deps = deps;
  }

  book(): Promise<OrderBook> {
    return loadOrderBook(this.#deps.work.read);
  }

  /** Orders of the delivery dates added up by supplier, site, delivery date or all together. */
  async groups(
    actor: Actor,
    by: OrderGrouping,
    dates: { readonly from: string; readonly to: string },
  ): Promise<readonly ComparedGroup[]> {
    requireOrder(dates);
    if (addDays(dates.from, MOST_DAYS) < dates.to) {
      throw invalid('/to', `Ask for at most ${MOST_DAYS} days at once.`);
    }
    const now = await this.#records(actor, dates);
    const before = await this.#records(actor, {
      from: addDays(dates.from, -WEEK_DAYS),
      to: addDays(dates.to, -WEEK_DAYS),
    });
    const earlier = new Map(groupOrders(before, by).map((group) => [keyOf(group, by), group]));
    return groupOrders(now, by).map((group) => {
      const then = earlier.get(keyOf(group, by, -WEEK_DAYS)) ?? null;
      const differences = then === null ? [] : compareGroups(then, group);
      return { group, before: then, differences };
    });
  }

  /** Cutoffs of orders not sent yet, soonest first, on the clock of each site. */
  async cutoffs(actor: Actor): Promise<readonly OpenCutoff[]> {
    const { work, clock } = this.#deps;
    const orders = await work.read.orders.matching({
      siteIds: actor.siteIds,
      statuses: ['proposed', 'approved'],
    });
    const book = await this.book();
    const nowMin = Math.floor(clock.now().getTime() / 60_000);
    const zoneOf = (siteId: string): string => book.sites.get(siteId)?.zone ?? 'UTC';
    return orRefuse(
      openCutoffs(
        orders.map((order) => toRecord(order)),
        nowMin,
        zoneOf,
      ),
    );
  }

  /** What deliveries say was paid for a pack, first and changed prices only. */
  async paidPrices(actor: Actor, packId: string): Promise<readonly PaidPrice[]> {
    const { work } = this.#deps;
    const pack = await work.read.suppliers.findPack(packId);
    if (!pack) throw notFound('pack', packId);
    const orders = await work.read.orders.matching({
      siteIds: actor.siteIds,
      supplierId: pack.supplierId,
      statuses: ['part-delivered', 'received', 'closed'],
    });
    const own = orders.filter((order) => order.lines.some((line) => line.packId === packId));
    const deliveries = await work.read.orders.deliveriesOf(own.map((order) => order.id));
    const paid = priceHistory(own.map((order) => toRecord(order, deliveries)));
    return paid.filter((price) => price.offerId === packId);
  }

  async #records(actor: Actor, dates: { readonly from: string; readonly to: string }) {
    const filter = { siteIds: actor.siteIds, ...dates };
    return (await this.#deps.work.read.orders.matching(filter)).map((order) => toRecord(order));
  }
}

/** Under what a group is found again a week earlier: its dates move, its other keys do not. */
function keyOf(group: OrderGroup, by: OrderGrouping, days = 0): string {
  const key = by === 'delivery-date' ? addDays(group.key, days) : group.key;
  return `${key}|${group.currency}`;
}
