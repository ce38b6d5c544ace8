import { pricesInForce } from '../../core/cost/index.ts';
import { Decimal } from '../../core/money/index.ts';
import type { Pack, Supplier } from '../suppliers/index.ts';
import type { Order, OrderLine } from './orders.ports.ts';

/** @returns the price of one pack when so many are delivered on the date; null where none is known */
export function priceFor(pack: Pack, date: string, packs: number): string | null {
  const least = Math.max(1, packs, pack.minPacks);
  const reached = pricesInForce(pack.prices, date).findLast((price) => price.minPacks <= least);
  return reached?.amount ?? null;
}

/** Packs times price over the lines, exact, as decimal text. */
export function totalOf(lines: readonly OrderLine[]): string {
  return lines
    .reduce((sum, line) => sum.plus(new Decimal(line.unitPrice).times(line.packs)), new Decimal(0))
    .toFixed(4);
}

/** What is missing to the supplier's minimums; null when they are reached or nothing is ordered. */
export function missingToMinimum(
  order: Pick<Order, 'lines' | 'total'>,
  supplier: Supplier | undefined,
): { readonly value: string; readonly packs: number } | null {
  const packs = order.lines.reduce((sum, line) => sum + line.packs, 0);
  if (!supplier || packs === 0) return null;
  const value = new Decimal(supplier.minimumOrder).minus(order.total);
  const missing = Math.max(0, supplier.minimumPacks - packs);
  if (value.lte(0) && missing === 0) return null;
  return { value: Decimal.max(0, value).toFixed(), packs: missing };
}

const MINIMUM_WORDS = 'below the minimum order of';

/** The order with goods total, delivery charge and the note on the minimum brought up to its lines. */
export function withValue(order: Order, supplier: Supplier | undefined): Order {
  const total = totalOf(order.lines);
  const notes = order.notes.filter((note) => !note.includes(MINIMUM_WORDS));
  const missing = missingToMinimum({ lines: order.lines, total }, supplier);
  const waived =
    supplier?.freeDeliveryFrom !== null &&
    supplier !== undefined &&
    new Decimal(total).gte(supplier.freeDeliveryFrom);
  const charge = waived ? '0' : (supplier?.deliveryCharge ?? order.deliveryCharge);
  if (missing && supplier) {
    const short =
      Number(missing.value) > 0
        ? `${new Decimal(missing.value).toFixed(2)} ${order.currency} ${MINIMUM_WORDS} ${new Decimal(supplier.minimumOrder).toFixed(2)}`
        : `${missing.packs} packs ${MINIMUM_WORDS} ${supplier.minimumPacks}`;
    notes.push(
      `${short}: filling it up would cost more than it is worth. Ask the supplier, or add what keeps.`,
    );
  }
  return { ...order, total, deliveryCharge: charge, notes };
}

/** Who changed a line, when and why. */
export interface LineChange {
  readonly by: string;
  readonly at: Date;
  readonly reason: string | null;
}

/**
 * The order with another number of packs on one line, at the price for that number on the delivery
 * date, and what is left over of it.
 */
export function withPacks(
  order: Order,
  lineId: string,
  packs: number,
  book: ReadonlyMap<string, Pack>,
  change: LineChange,
): Order {
  return {
    ...order,
    lines: order.lines.map((line) => {
      if (line.id !== lineId) return line;
      const pack = book.get(line.packId);
      const price = pack && priceFor(pack, order.deliveryDate, packs);
      const byHand = packs !== line.proposedPacks;
      return {
        ...line,
        packs,
        unitPrice: price ?? line.unitPrice,
        changedByHand: byHand,
        changedBy: byHand ? change.by : null,
        changedAt: byHand ? change.at : null,
        changeReason: byHand ? change.reason : null,
        ...leftOver(line, packs),
        packsForMinimum: 0,
      };
    }),
  };
}

/** What is left over of a line at a number of packs; what becomes of it is known for the plan's own. */
function leftOver(line: OrderLine, packs: number) {
  const surplusQuantity = Math.max(0, packs * line.packQuantity - line.needQuantity);
  const same = packs === line.proposedPacks;
  return {
    surplusQuantity,
    wasteQuantity: same ? line.wasteQuantity : 0,
    surplusFate: same ? line.surplusFate : surplusQuantity > 0 ? 'not-known' : 'none',
  };
}
