import { serviceDateOf } from '../../core/calendar/index.ts';
import type { OrderDocument } from '../../core/exports/index.ts';
import { orRefuse, Refusal } from '../platform/index.ts';
import type { Order } from './orders.ports.ts';
import type { OrderBook } from './orders.service.ts';

/**
 * An approved order as it is sent: numbered, dated by its approval at the site, lines without packs
 * left out. The site buys and receives.
 * @throws Refusal when the order has no number yet
 */
export function toOrderDocument(order: Order, book: OrderBook): OrderDocument {
  if (order.number === null || order.approvedAt === null) {
    throw new Refusal('conflict', 'This order has no number yet. Approve it before you send it.');
  }
  const supplier = book.suppliers.get(order.supplierId);
  const site = book.sites.get(order.siteId);
  const approvedMin = Math.floor(order.approvedAt.getTime() / 60_000);
  const party = { name: site?.name ?? order.siteId };
  return {
    number: String(order.number),
    issueDate: orRefuse(serviceDateOf(approvedMin, site?.zone ?? 'UTC')),
    currency: order.currency,
    buyer: party,
    site: party,
    supplier: {
      name: supplier?.name ?? order.supplierId,
      ...(supplier?.email ? { email: supplier.email } : {}),
    },
    deliveryDate: order.deliveryDate,
    deliveryCharge: supplier?.deliveryCharge ?? '0',
    lines: order.lines
      .filter((line) => line.packs > 0)
      .map((line, i) => {
        const pack = book.packs.get(line.packId);
        const ingredient = book.ingredients.get(line.ingredientId);
        if (!pack || !ingredient) {
          throw new Refusal(
            'conflict',
            'A pack of this order is not on sale any more, so its content is not known. Use the CSV file.',
          );
        }
        return {
          lineNumber: i + 1,
          ingredientName: ingredient.name,
          packName: pack.name,
          supplierCode: pack.sku,
          ...(pack.gtin ? { gtin: pack.gtin } : {}),
          packs: line.packs,
          packBase: pack.quantityBase,
          baseUnit: ingredient.baseUnit,
          pricePerPack: line.unitPrice,
        };
      }),
  };
}
