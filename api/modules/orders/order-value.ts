import { Decimal } from 'decimal.js';
import { unitPriceFor } from '../../core/ordering/index.ts';
import type { PackChoice } from '../../core/ordering/index.ts';
import type { Pack, Supplier } from '../suppliers/index.ts';
import type { Order, OrderLine } from './orders.ports.ts';

/** A pack with the prices in force on a date: those of the newest price date not after it. */
export function choiceOf(pack: Pack, onDate: string): PackChoice {
  const inForce = pack.prices.filter((price) => price.validFrom <= onDate);
  const newest = inForce.reduce(
    (last, price) => (price.validFrom > last ? price.validFrom : last),
    '',
  );
  return {
    id: pack.id,
    quantityBase: pack.quantityBase,
    minPacks: Math.max(1, pack.minPacks),
    prices: inForce
      .filter((price) => price.validFrom === newest)
      .map(({ minPacks, amount }) => ({ minPacks, amount })),
  };
}

/** Packs times price over the lines, exact, as decimal text. */
export function totalOf(lines: readonly OrderLine[]): string {
  return lines
    .reduce((sum, line) => sum.plus(new Decimal(line.unitPrice).times(line.packs)), new Decimal(0))
    .toFixed(4);
}

const MINIMUM_WORDS = 'below the minimum order of';

/** The order with its total and the note on the supplier's minimum brought up to its lines. */
export function withValue(order: Order, supplier: Supplier | undefined): Order {
  const total = totalOf(order.lines);
  const notes = order.notes.filter((note) => !note.includes(MINIMUM_WORDS));
  const minimum = new Decimal(supplier?.minimumOrder ?? 0);
  const missing = minimum.minus(total);
  return {
    ...order,
    total,
    notes: missing.gt(0)
      ? [
          ...notes,
          `${missing.toFixed(2)} ${order.currency} ${MINIMUM_WORDS} ${minimum.toFixed(2)}: nothing was added to reach it.`,
        ]
      : notes,
  };
}

/**
 * The order with another number of packs on one line, at the price for that number on the delivery
 * date, and what is left over of the ingredient worked out again.
 */
export function withPacks(
  order: Order,
  lineId: string,
  packs: number,
  book: ReadonlyMap<string, Pack>,
): Order {
  const changed = order.lines.map((line) => {
    if (line.id !== lineId) return line;
    const pack = book.get(line.packId);
    const price = pack && unitPriceFor(choiceOf(pack, order.deliveryDate), packs);
    return {
      ...line,
      packs,
      unitPrice: price ?? line.unitPrice,
      changedByHand: packs !== line.proposedPacks,
    };
  });
  const ingredientId = order.lines.find((line) => line.id === lineId)?.ingredientId;
  const held = changed
    .filter((line) => line.ingredientId === ingredientId)
    .reduce((sum, line) => sum + line.packs * (book.get(line.packId)?.quantityBase ?? 0), 0);
  return {
    ...order,
    lines: changed.map((line) =>
      line.ingredientId === ingredientId
        ? { ...line, surplusQuantity: Math.max(0, held - line.needQuantity) }
        : line,
    ),
  };
}
