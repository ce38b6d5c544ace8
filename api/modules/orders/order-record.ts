import type { OrderLineRecord, OrderRecord } from '../../core/ordering/index.ts';
import type { Delivery, Order, OrderLine } from './orders.ports.ts';

const minuteOf = (at: Date): number => Math.floor(at.getTime() / 60_000);

/** An order as core/ordering takes it through its life. Lines are named by their pack. */
export function toRecord(order: Order, deliveries: readonly Delivery[] = []): OrderRecord {
  return {
    orderId: order.id,
    number: order.number === null ? null : String(order.number),
    supplierId: order.supplierId,
    siteId: order.siteId,
    deliveryDate: order.deliveryDate,
    cutoffMin: minuteOf(order.cutoffAt),
    currency: order.currency,
    deliveryCharge: order.deliveryCharge,
    state: order.status,
    version: order.rev,
    lines: order.lines.map(toLineRecord),
    receipts: deliveries
      .filter((delivery) => delivery.orderId === order.id)
      .map((delivery) => ({
        receiptId: delivery.id,
        by: delivery.actorName,
        atMin: minuteOf(delivery.receivedAt),
        date: delivery.date,
        lines: delivery.lines,
        final: delivery.final,
      })),
    history: order.history.map(({ state, by, at, note }) => ({
      state,
      by,
      atMin: minuteOf(new Date(at)),
      ...(note === null ? {} : { note }),
    })),
  };
}

function toLineRecord(line: OrderLine): OrderLineRecord {
  const changedAt = line.changedAt ?? new Date(0);
  return {
    lineId: line.packId,
    offerId: line.packId,
    ingredientId: line.ingredientId,
    packBase: line.packQuantity,
    plannedPacks: line.proposedPacks,
    packs: line.packs,
    pricePerPack: line.unitPrice,
    certainBase: line.certainQuantity,
    handChange: line.changedByHand
      ? {
          by: line.changedBy ?? '',
          atMin: minuteOf(changedAt),
          packs: line.packs,
          ...(line.changeReason === null ? {} : { reason: line.changeReason }),
        }
      : null,
    confirmedPacks: line.confirmedPacks,
  };
}

/**
 * The order with what a step of core/ordering changed: state, revision, history and confirmed packs.
 * Packs and prices of lines are changed where their figures are known (order-value, order-refresh).
 */
export function afterStep(order: Order, record: OrderRecord, at: Date): Order {
  const known = order.history.length;
  const confirmed = new Map(record.lines.map((line) => [line.lineId, line.confirmedPacks]));
  return {
    ...order,
    status: record.state,
    rev: record.version,
    history: [
      ...order.history,
      ...record.history.slice(known).map(({ state, by, note }) => ({
        state,
        by,
        at: at.toISOString(),
        note: note ?? null,
      })),
    ],
    lines: order.lines.map((line) => ({
      ...line,
      confirmedPacks: confirmed.get(line.packId) ?? null,
    })),
  };
}
