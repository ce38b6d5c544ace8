import type { EpochMin, ServiceDate } from '../calendar/index.ts';
import { Decimal } from '../money/index.ts';
import type { PlannedOrder } from './pack-offer.ts';

/**
 * Where an order stands. `proposed`: from the plan, may change; `approved`: may be sent; `sent`;
 * `confirmed` by the supplier; `part-delivered`; `received`: nothing more is expected; `closed`:
 * checked against the invoice; `cancelled`.
 */
export type OrderState =
  | 'proposed'
  | 'approved'
  | 'sent'
  | 'confirmed'
  | 'part-delivered'
  | 'received'
  | 'closed'
  | 'cancelled';

/** A person's own number of packs, which the plan does not overwrite. */
export interface HandChange {
  readonly by: string;
  readonly atMin: EpochMin;
  readonly packs: number;
  readonly reason?: string;
}

export interface OrderLineRecord {
  readonly lineId: string;
  readonly offerId: string;
  readonly ingredientId: string;
  /** Content of one pack, base unit of the ingredient. */
  readonly packBase: number;
  /** What the plan last asked for. */
  readonly plannedPacks: number;
  /** What is ordered: the plan's number or a person's. */
  readonly packs: number;
  readonly pricePerPack: string;
  /** Part of the ordered quantity that booked covers alone need, base unit. */
  readonly certainBase: number;
  readonly handChange: HandChange | null;
  /** What the supplier confirmed; null before. */
  readonly confirmedPacks: number | null;
}

/** What came of a line in one delivery. */
export interface ReceiptLine {
  readonly lineId: string;
  /** Packs taken in. */
  readonly packs: number;
  /** Packs sent back at the door. */
  readonly refusedPacks: number;
  readonly refusedReason?: string;
  readonly useByDate?: ServiceDate;
  readonly temperatureC?: number;
  /** Price on the delivery note, decimal text per pack. */
  readonly pricePerPack?: string;
  /** The lot code on the goods. */
  readonly supplierLot?: string;
}

export interface DeliveryReceipt {
  readonly receiptId: string;
  readonly by: string;
  readonly atMin: EpochMin;
  readonly date: ServiceDate;
  readonly lines: readonly ReceiptLine[];
  /** True when the supplier brings nothing more for this order. */
  readonly final: boolean;
}

export interface OrderStep {
  readonly state: OrderState;
  readonly by: string;
  readonly atMin: EpochMin;
  readonly note?: string;
}

/** An order through its life. Amounts are decimal texts in `currency`. */
export interface OrderRecord {
  readonly orderId: string;
  /** Given when it is sent; null before. */
  readonly number: string | null;
  readonly supplierId: string;
  readonly siteId: string;
  readonly deliveryDate: ServiceDate;
  readonly cutoffMin: EpochMin;
  readonly currency: string;
  readonly deliveryCharge: string;
  readonly state: OrderState;
  /** Rises by one with every change. */
  readonly version: number;
  readonly lines: readonly OrderLineRecord[];
  readonly receipts: readonly DeliveryReceipt[];
  readonly history: readonly OrderStep[];
}

/** Goods total and total with the delivery charge, exact. */
export function orderValue(order: OrderRecord): { goods: string; total: string } {
  const goods = order.lines.reduce(
    (sum, line) => sum.plus(new Decimal(line.pricePerPack).times(line.packs)),
    new Decimal(0),
  );
  return { goods: goods.toString(), total: goods.plus(order.deliveryCharge).toString() };
}

/** Packs of a line taken in and sent back so far, over all deliveries. */
export function receivedOf(order: OrderRecord, lineId: string): { taken: number; refused: number } {
  let taken = 0;
  let refused = 0;
  for (const receipt of order.receipts) {
    for (const line of receipt.lines) {
      if (line.lineId !== lineId) continue;
      taken += line.packs;
      refused += line.refusedPacks;
    }
  }
  return { taken, refused };
}

/** A fresh order from a planned one. Line ids are the offer ids, one line an offer. */
export function proposeOrder(
  planned: PlannedOrder,
  given: { orderId: string; currency: string; by: string; atMin: EpochMin },
): OrderRecord {
  return {
    orderId: given.orderId,
    number: null,
    supplierId: planned.supplierId,
    siteId: planned.siteId,
    deliveryDate: planned.deliveryDate,
    cutoffMin: planned.cutoffMin,
    currency: given.currency,
    deliveryCharge: planned.deliveryCharge,
    state: 'proposed',
    version: 1,
    lines: planned.lines.map((line) => ({
      lineId: line.offerId,
      offerId: line.offerId,
      ingredientId: line.ingredientId,
      packBase: line.quantityBase / line.packs,
      plannedPacks: line.packs,
      packs: line.packs,
      pricePerPack: line.pricePerPack,
      certainBase: line.certainBase,
      handChange: null,
      confirmedPacks: null,
    })),
    receipts: [],
    history: [{ state: 'proposed', by: given.by, atMin: given.atMin }],
  };
}
