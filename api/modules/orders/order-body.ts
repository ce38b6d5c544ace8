import { Decimal } from 'decimal.js';
import type { z } from 'zod';
import { toCsv } from '../../core/exports/index.ts';
import type { Order, OrderLine } from './orders.ports.ts';
import type { OrderHeaderSchema, OrderSchema, OrderTotalsSchema } from './orders.schema.ts';
import type { PackTotal } from './pack-totals.ts';
import type { OrderBook } from './orders.service.ts';

const UCUM = { g: 'g', ml: 'mL', each: '{each}' } as const;
/** Money is shown and sent at two decimals; sums are rounded here, once. */
const rounded = (amount: Decimal.Value): string =>
  new Decimal(amount).toDecimalPlaces(2, Decimal.ROUND_HALF_EVEN).toFixed(2);

export function toOrderHeader(order: Order, book: OrderBook): z.infer<typeof OrderHeaderSchema> {
  return {
    id: order.id,
    number: order.number,
    supplier: { id: order.supplierId, name: book.suppliers.get(order.supplierId)?.name ?? '' },
    site: { id: order.siteId, name: book.sites.get(order.siteId)?.name ?? '' },
    deliveryDate: order.deliveryDate,
    cutoffAt: order.cutoffAt.toISOString(),
    status: order.status,
    total: { amount: rounded(order.total), currency: order.currency },
    lineCount: order.lines.length,
    method: null,
    gap: null,
    notes: [...order.notes],
    rev: order.rev,
  };
}

export function toOrderBody(order: Order, book: OrderBook): z.infer<typeof OrderSchema> {
  return {
    ...toOrderHeader(order, book),
    lines: order.lines.map((line) => {
      const ingredient = book.ingredients.get(line.ingredientId);
      const pack = book.packs.get(line.packId);
      const amount = (value: number) => ({ value, unit: UCUM[ingredient?.baseUnit ?? 'g'] });
      const money = (value: Decimal.Value) => ({
        amount: rounded(value),
        currency: order.currency,
      });
      return {
        id: line.id,
        pack: {
          id: line.packId,
          name: pack?.name ?? line.packId,
          sku: pack?.sku ?? null,
          gtin: pack?.gtin ?? null,
          quantity: amount(pack?.quantityBase ?? 0),
        },
        ingredient: { id: line.ingredientId, name: ingredient?.name ?? line.ingredientId },
        proposedPacks: line.proposedPacks,
        packs: line.packs,
        changedByHand: line.changedByHand,
        unitPrice: money(line.unitPrice),
        lineTotal: money(lineTotal(line)),
        need: amount(line.needQuantity),
        certain: amount(line.certainQuantity),
        surplus: amount(line.surplusQuantity),
        receivedPacks: line.receivedPacks,
        note: line.note,
        explained: line.explanationNode !== null,
      };
    }),
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
  const named = (of: ReadonlyMap<string, { readonly name: string }>, id: string) => ({
    id,
    name: of.get(id)?.name ?? id,
  });
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
