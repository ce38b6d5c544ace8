import { serviceDateOf } from '../../core/calendar/index.ts';
import type { OrderDocument } from '../../core/exports/index.ts';
import { orRefuse, Refusal } from '../platform/index.ts';
import type { Order } from './orders.ports.ts';
import type { OrderBook } from './order-book.ts';

/**
 * An approved order as it is sent: numbered, dated by its approval at the site, lines without packs
 * left out. The group buys, the site receives. Once it is sent, another export says that it is a copy.
 * @throws Refusal when the order has no number yet
 */
export function toOrderDocument(
  order: Order,
  book: OrderBook,
  groupName: string | null,
): OrderDocument {
  if (order.number === null || order.approvedAt === null) {
    throw new Refusal('conflict', 'This order has no number yet. Approve it before you send it.');
  }
  const supplier = book.suppliers.get(order.supplierId);
  const site = book.sites.get(order.siteId);
  const approvedMin = Math.floor(order.approvedAt.getTime() / 60_000);
  const siteName = site?.name ?? order.siteId;
  return {
    number: String(order.number),
    copy: order.sentAt !== null,
    language: supplier?.language ?? 'en',
    issueDate: orRefuse(serviceDateOf(approvedMin, site?.zone ?? 'UTC')),
    currency: order.currency,
    buyer: {
      name: groupName ?? siteName,
      ...(supplier?.accountNumber ? { accountId: supplier.accountNumber } : {}),
    },
    site: {
      name: siteName,
      addressLines: site?.addressLines ?? [],
      ...(site?.gln ? { gln: site.gln } : {}),
    },
    supplier: {
      name: supplier?.name ?? order.supplierId,
      addressLines: supplier?.addressLines ?? [],
      ...(supplier?.email ? { email: supplier.email } : {}),
      ...(supplier?.phone ? { phone: supplier.phone } : {}),
      ...(supplier?.gln ? { gln: supplier.gln } : {}),
    },
    deliveryDate: order.deliveryDate,
    deliveryCharge: order.deliveryCharge,
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
          packBase: line.packQuantity > 0 ? line.packQuantity : pack.quantityBase,
          baseUnit: ingredient.baseUnit,
          pricePerPack: line.unitPrice,
          certainFraction: certainFractionOf(line),
        };
      }),
  };
}

/** Part of a line that booked covers alone need, 0 to 1. */
function certainFractionOf(line: Order['lines'][number]): number {
  const quantity = line.packs * line.packQuantity;
  return quantity > 0 ? Math.min(1, Math.max(0, line.certainQuantity / quantity)) : 0;
}
