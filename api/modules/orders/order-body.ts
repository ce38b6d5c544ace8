import { Decimal } from 'decimal.js';
import type { z } from 'zod';
import { toCsv } from '../../core/exports/index.ts';
import { missingToMinimum } from './order-value.ts';
import type { OrderBook } from './order-book.ts';
import type { Order, OrderLine } from './orders.ports.ts';
import type {
  OrderHeaderSchema,
  OrderLineSchema,
  OrderSchema,
  OrderTotalsSchema,
} from './orders.schema.ts';
import type { PackTotal } from './pack-totals.ts';

const UCUM = { g: 'g', ml: 'mL', each: '{each}' } as const;
/** Money is shown and sent at two decimals; sums are rounded here, once. */
export const rounded = (amount: Decimal.Value): string =>
  new Decimal(amount).toDecimalPlaces(2, Decimal.ROUND_HALF_EVEN).toFixed(2);

/** An id with its name, or the id again where the thing is gone. */
export const named = (of: ReadonlyMap<string, { readonly name: string }>, id: string) => ({
  id,
  name: of.get(id)?.name ?? id,
});

/** An amount of an ingredient in its base unit. */
export const amountOf = (book: OrderBook, ingredientId: string, value: number) => ({
  value: Math.max(0, value),
  unit: UCUM[book.ingredients.get(ingredientId)?.baseUnit ?? 'g'],
});

const moneyIn = (currency: string) => (amount: Decimal.Value) => ({
  amount: rounded(amount),
  currency,
});

export function toOrderHeader(order: Order, book: OrderBook): z.infer<typeof OrderHeaderSchema> {
  const money = moneyIn(order.currency);
  const missing = missingToMinimum(order, book.suppliers.get(order.supplierId));
  const ordered = order.lines.some((line) => line.packs > 0);
  const charge = ordered ? order.deliveryCharge : '0';
  return {
    id: order.id,
    number: order.number,
    supplier: named(book.suppliers, order.supplierId),
    site: named(book.sites, order.siteId),
    deliveryDate: order.deliveryDate,
    cutoffAt: order.cutoffAt.toISOString(),
    status: order.status,
    goods: money(order.total),
    deliveryCharge: money(charge),
    total: money(new Decimal(order.total).plus(charge)),
    lineCount: order.lines.length,
    certainFraction: certainFraction(order),
    missingToMinimum: missing && { value: money(missing.value), packs: missing.packs },
    method: order.choice?.method ?? null,
    gap: order.choice?.gap ?? null,
    coversFrom: order.choice?.coversFrom ?? null,
    coversTo: order.choice?.coversTo ?? null,
    notes: [...order.notes],
    rev: order.rev,
  };
}

/** Part of the goods value that booked covers alone need, 0 to 1; 0 for an empty order. */
function certainFraction(order: Order): number {
  let certain = new Decimal(0);
  for (const line of order.lines) {
    const quantity = line.packs * line.packQuantity;
    if (quantity <= 0) continue;
    const part = Math.min(1, line.certainQuantity / quantity);
    certain = certain.plus(lineTotal(line).times(part));
  }
  const total = new Decimal(order.total);
  return total.isZero() ? 0 : Math.min(1, certain.div(total).toDecimalPlaces(4).toNumber());
}

function toLineBody(
  line: OrderLine,
  order: Order,
  book: OrderBook,
): z.infer<typeof OrderLineSchema> {
  const pack = book.packs.get(line.packId);
  const amount = (value: number) => amountOf(book, line.ingredientId, value);
  const money = moneyIn(order.currency);
  return {
    id: line.id,
    pack: {
      ...named(book.packs, line.packId),
      sku: pack?.sku ?? null,
      gtin: pack?.gtin ?? null,
      quantity: amount(line.packQuantity),
    },
    ingredient: named(book.ingredients, line.ingredientId),
    proposedPacks: line.proposedPacks,
    packs: line.packs,
    changedByHand: line.changedByHand,
    changedBy: line.changedBy,
    changeReason: line.changeReason,
    confirmedPacks: line.confirmedPacks,
    unitPrice: money(line.unitPrice),
    lineTotal: money(lineTotal(line)),
    need: amount(line.needQuantity),
    certain: amount(line.certainQuantity),
    surplus: amount(line.surplusQuantity),
    short: amount(shortOf(line)),
    waste: amount(line.wasteQuantity),
    surplusFate: line.surplusFate,
    packsForMinimum: line.packsForMinimum,
    neededOn: line.uses.map((use) => ({
      date: use.needDate,
      site: named(book.sites, use.siteId),
      amount: amount(use.quantity),
      certain: amount(use.certain),
    })),
    forOthers: forOthers(line, order).map(({ siteId, quantity }) => ({
      site: named(book.sites, siteId),
      amount: amount(quantity),
    })),
    receivedPacks: line.receivedPacks,
    refusedPacks: line.refusedPacks,
    note: line.note,
    contract: line.contractId
      ? { id: line.contractId, note: book.contracts.get(line.contractId)?.note ?? null }
      : null,
    explained: line.explanationNode !== null,
  };
}

/** Base units of a line that other sites than the one it is delivered to need. */
function forOthers(line: OrderLine, order: Order): { siteId: string; quantity: number }[] {
  const bySite = new Map<string, number>();
  for (const { siteId, quantity } of line.uses) {
    if (siteId !== order.siteId) bySite.set(siteId, (bySite.get(siteId) ?? 0) + quantity);
  }
  return [...bySite].map(([siteId, quantity]) => ({ siteId, quantity }));
}

/** Base units that the packs ordered lack to the need; crumbs of arithmetic are none. */
function shortOf(line: OrderLine): number {
  const short = line.needQuantity - line.packs * line.packQuantity;
  return short > line.needQuantity * 1e-6 ? short : 0;
}

export function toOrderBody(order: Order, book: OrderBook): z.infer<typeof OrderSchema> {
  const money = moneyIn(order.currency);
  const { choice, lastRefresh } = order;
  return {
    ...toOrderHeader(order, book),
    supplierRef: order.supplierRef,
    approvedBy: order.approvedBy,
    sentAt: order.sentAt?.toISOString() ?? null,
    expectedWaste: choice && money(choice.expectedWasteCost),
    toReachMinimum: choice?.toReachMinimum
      ? {
          cost: money(choice.toReachMinimum.cost),
          expectedWaste: money(choice.toReachMinimum.expectedWasteCost),
        }
      : null,
    lastRefresh: lastRefresh && {
      at: lastRefresh.at,
      differences: lastRefresh.differences.map(
        ({ lineId: _line, offerId, ingredientId, ...rest }) => ({
          ingredient: named(book.ingredients, ingredientId),
          pack: offerId === undefined ? null : named(book.packs, offerId),
          ...rest,
        }),
      ),
    },
    history: order.history.map((step) => ({ ...step })),
    lines: order.lines.map((line) => toLineBody(line, order, book)),
  };
}

const lineTotal = (line: OrderLine): Decimal => new Decimal(line.unitPrice).times(line.packs);

const HEADS = [
  'delivery date',
  'supplier',
  'site',
  'order',
  'supplier code',
  'gtin',
  'pack',
  'packs',
  'price per pack',
  'line total',
  'currency',
  'status',
];

/** All lines of the orders as CSV (RFC 4180), safe to open in a spreadsheet. */
export function ordersCsv(orders: readonly Order[], book: OrderBook): string {
  return toCsv(
    HEADS,
    orders.flatMap((order) =>
      order.lines
        .filter((line) => line.packs > 0)
        .map((line) => {
          const pack = book.packs.get(line.packId);
          return [
            order.deliveryDate,
            book.suppliers.get(order.supplierId)?.name ?? order.supplierId,
            book.sites.get(order.siteId)?.name ?? order.siteId,
            order.number === null ? '' : String(order.number),
            pack?.sku ?? '',
            pack?.gtin ?? '',
            pack?.name ?? line.packId,
            line.packs,
            rounded(line.unitPrice),
            rounded(lineTotal(line)),
            order.currency,
            order.status,
          ];
        }),
    ),
  );
}

export function toTotalsBody(
  totals: readonly PackTotal[],
  book: OrderBook,
): z.infer<typeof OrderTotalsSchema> {
  return {
    items: totals.map((total) => ({
      ingredient: named(book.ingredients, total.ingredientId),
      supplier: named(book.suppliers, total.supplierId),
      pack: named(book.packs, total.packId),
      packs: total.packs,
      total: { amount: rounded(total.total), currency: total.currency },
      sites: total.sites.map(({ siteId, packs }) => ({ site: named(book.sites, siteId), packs })),
    })),
  };
}
