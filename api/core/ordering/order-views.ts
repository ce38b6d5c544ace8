import { wallClockOf } from '../calendar/index.ts';
import type { EpochMin, ServiceDate, WallClock } from '../calendar/index.ts';
import { Decimal } from '../money/index.ts';
import type { Result } from '../shared/result.ts';
import { ok } from '../shared/result.ts';
import type { OrderRecord } from './order-record.ts';

/** One way to look at orders. */
export type OrderGrouping = 'supplier' | 'site' | 'delivery-date' | 'group';

/** Orders added up under one key: value, and each ingredient over packs and suppliers. */
export interface OrderGroup {
  /** Supplier id, site id, delivery date, or 'group'. */
  readonly key: string;
  readonly currency: string;
  readonly orderIds: readonly string[];
  readonly goodsValue: string;
  readonly deliveryCharges: string;
  readonly total: string;
  readonly ingredients: readonly OrderedIngredient[];
}

export interface OrderedIngredient {
  readonly ingredientId: string;
  readonly quantityBase: number;
  /** The part that booked covers alone need; the rest is forecast. */
  readonly certainBase: number;
  readonly value: string;
}

function keyOf(order: OrderRecord, by: OrderGrouping): string {
  if (by === 'supplier') return order.supplierId;
  if (by === 'site') return order.siteId;
  return by === 'delivery-date' ? order.deliveryDate : 'group';
}

/**
 * Adds orders up by supplier, site, delivery date or all together. Cancelled orders are left out;
 * orders in different currencies are never added: each currency has a group of its own.
 *
 * @returns groups by key, then currency; ingredients by id
 */
export function groupOrders(orders: readonly OrderRecord[], by: OrderGrouping): OrderGroup[] {
  const groups = new Map<string, OrderRecord[]>();
  for (const order of orders) {
    if (order.state === 'cancelled') continue;
    const key = JSON.stringify([keyOf(order, by), order.currency]);
    groups.set(key, [...(groups.get(key) ?? []), order]);
  }
  return [...groups.values()]
    .map((members) => addUp(members, by))
    .sort((a, b) => a.key.localeCompare(b.key) || a.currency.localeCompare(b.currency));
}

function addUp(orders: readonly OrderRecord[], by: OrderGrouping): OrderGroup {
  const first = orders[0];
  if (!first) throw new RangeError('A group has at least one order');
  const ingredients = new Map<string, OrderedIngredient>();
  let goods = new Decimal(0);
  let charges = new Decimal(0);
  for (const order of orders) {
    charges = charges.plus(order.deliveryCharge);
    for (const line of order.lines) {
      const value = new Decimal(line.pricePerPack).times(line.packs);
      goods = goods.plus(value);
      const quantityBase = line.packs * line.packBase;
      const { ingredientId } = line;
      const known = ingredients.get(ingredientId);
      ingredients.set(ingredientId, {
        ingredientId,
        quantityBase: (known?.quantityBase ?? 0) + quantityBase,
        certainBase: (known?.certainBase ?? 0) + Math.min(line.certainBase, quantityBase),
        value: value.plus(known?.value ?? 0).toString(),
      });
    }
  }
  return {
    key: keyOf(first, by),
    currency: first.currency,
    orderIds: orders.map((order) => order.orderId),
    goodsValue: goods.toString(),
    deliveryCharges: charges.toString(),
    total: goods.plus(charges).toString(),
    ingredients: [...ingredients.values()]
      .filter((i) => i.quantityBase > 0)
      .sort((a, b) => a.ingredientId.localeCompare(b.ingredientId)),
  };
}

/** How an ingredient differs from an earlier group; null for what was or is not there. */
export interface IngredientDifference {
  readonly ingredientId: string;
  readonly beforeBase: number | null;
  readonly nowBase: number | null;
  /** Now less before over before; null when there is nothing to compare with. */
  readonly changeFraction: number | null;
}

/** What changed since an earlier group (last week's same view), the greatest change first. */
export function compareGroups(before: OrderGroup, now: OrderGroup): IngredientDifference[] {
  const earlier = new Map(before.ingredients.map((i) => [i.ingredientId, i.quantityBase]));
  const current = new Map(now.ingredients.map((i) => [i.ingredientId, i.quantityBase]));
  const ids = [...new Set([...earlier.keys(), ...current.keys()])];
  const weight = (d: IngredientDifference): number =>
    d.changeFraction === null ? Infinity : Math.abs(d.changeFraction);
  return ids
    .map((ingredientId): IngredientDifference => {
      const beforeBase = earlier.get(ingredientId) ?? null;
      const nowBase = current.get(ingredientId) ?? null;
      const changeFraction =
        beforeBase === null || nowBase === null ? null : (nowBase - beforeBase) / beforeBase;
      return { ingredientId, beforeBase, nowBase, changeFraction };
    })
    .filter((d) => d.changeFraction === null || Math.abs(d.changeFraction) > 1e-9)
    .sort((a, b) => weight(b) - weight(a) || a.ingredientId.localeCompare(b.ingredientId));
}

/** The total now less the one before, over the one before; null when nothing was spent before. */
export function totalChange(before: OrderGroup, now: OrderGroup): number | null {
  const was = new Decimal(before.total);
  return was.isZero() ? null : new Decimal(now.total).minus(was).div(was).toNumber();
}

/** A cutoff still ahead, as the site's clock shows it. */
export interface OpenCutoff {
  readonly orderId: string;
  readonly supplierId: string;
  readonly siteId: string;
  readonly deliveryDate: ServiceDate;
  readonly cutoffMin: EpochMin;
  readonly minutesLeft: number;
  readonly onSiteClock: WallClock;
}

/**
 * Cutoffs of orders that are not sent yet, soonest first, counted down from `nowMin` and shown on
 * the clock of the site (the cutoff itself is the supplier's instant).
 *
 * Errors: `invalid-zone` for a site's zone that is none.
 */
export function openCutoffs(
  orders: readonly OrderRecord[],
  nowMin: EpochMin,
  zoneOf: (siteId: string) => string,
): Result<OpenCutoff[]> {
  const open: OpenCutoff[] = [];
  for (const order of orders) {
    const waiting = order.state === 'proposed' || order.state === 'approved';
    if (!waiting || order.cutoffMin < nowMin) continue;
    const onSiteClock = wallClockOf(order.cutoffMin, zoneOf(order.siteId));
    if (!onSiteClock.ok) return onSiteClock;
    const { orderId, supplierId, siteId, deliveryDate, cutoffMin } = order;
    const minutesLeft = cutoffMin - nowMin;
    open.push({
      orderId,
      supplierId,
      siteId,
      deliveryDate,
      cutoffMin,
      minutesLeft,
      onSiteClock: onSiteClock.value,
    });
  }
  return ok(open.sort((a, b) => a.cutoffMin - b.cutoffMin || a.orderId.localeCompare(b.orderId)));
}

/** A price that was paid, from receipts. */
export interface PaidPrice {
  readonly offerId: string;
  readonly date: ServiceDate;
  readonly pricePerPack: string;
  /** Against the price paid before; null for the first. */
  readonly changeFraction: number | null;
}

/** Prices written on deliveries, by offer and date; only the first and those that changed. */
export function priceHistory(orders: readonly OrderRecord[]): PaidPrice[] {
  const paid = orders.flatMap((order) =>
    order.receipts.flatMap((receipt) =>
      receipt.lines.flatMap((line) => {
        const offerId = order.lines.find((l) => l.lineId === line.lineId)?.offerId;
        const { pricePerPack } = line;
        const told = offerId !== undefined && pricePerPack !== undefined && line.packs > 0;
        return told ? [{ offerId, date: receipt.date, pricePerPack }] : [];
      }),
    ),
  );
  paid.sort((a, b) => a.offerId.localeCompare(b.offerId) || a.date.localeCompare(b.date));
  const history: PaidPrice[] = [];
  for (const price of paid) {
    const last = history.at(-1);
    const before = last?.offerId === price.offerId ? new Decimal(last.pricePerPack) : null;
    const now = new Decimal(price.pricePerPack);
    if (before?.eq(now)) continue;
    const changeFraction =
      before === null || before.isZero() ? null : now.minus(before).div(before).toNumber();
    history.push({ ...price, changeFraction });
  }
  return history;
}
