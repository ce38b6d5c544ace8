import { coreError } from '../shared/errors.ts';
import { err, ok, type Result } from '../shared/result.ts';
import type { ServiceDate } from '../calendar/index.ts';
import type { OrderRecord } from './order-record.ts';

const DIGITS = 6;

/**
 * The next order number of a supplier: its short code, a hyphen and a running number of six digits
 * or more. Numbers have no gaps: the last one given is passed in, the next is one more. Take it in
 * the same transaction that stores the order.
 *
 * Errors: `out-of-range` for a last number that is not whole or below zero, or a code that is not
 * 2 to 8 capitals and digits.
 */
export function nextOrderNumber(
  supplierCode: string,
  lastSequence: number,
): Result<{ sequence: number; number: string }> {
  if (
    !/^[A-Z0-9]{2,8}$/.test(supplierCode) ||
    !Number.isInteger(lastSequence) ||
    lastSequence < 0
  ) {
    return err(
      coreError('out-of-range', 'An order number needs a code of 2 to 8 capitals and a count.', {
        detail: { supplierCode, lastSequence },
      }),
    );
  }
  const sequence = lastSequence + 1;
  return ok({ sequence, number: `${supplierCode}-${String(sequence).padStart(DIGITS, '0')}` });
}

/** Numbers that are missing or given twice in a supplier's run; both empty when all is well. */
export function checkNumberRun(sequences: readonly number[]): {
  missing: number[];
  repeated: number[];
} {
  const sorted = [...sequences].sort((a, b) => a - b);
  const present = new Set(sorted);
  const last = sorted.at(-1) ?? 0;
  const all = Array.from({ length: last }, (_, i) => i + 1);
  return {
    missing: all.filter((n) => !present.has(n)),
    repeated: [...new Set(sorted.filter((n, i) => sorted[i - 1] === n))],
  };
}

/** One order a supplier, site and delivery: what names it. */
export interface DeliveryKey {
  readonly supplierId: string;
  readonly siteId: string;
  readonly deliveryDate: ServiceDate;
}

const OPEN = ['proposed', 'approved', 'sent', 'confirmed', 'part-delivered'];

/**
 * Refuses a second open order for one supplier, site and delivery date: change the one there is, or
 * once it is sent take the next delivery.
 *
 * Errors: `wrong-state` naming the open order.
 */
export function requireNoOpenOrder(orders: readonly OrderRecord[], key: DeliveryKey): Result<true> {
  const open = orders.find(
    (order) =>
      OPEN.includes(order.state) &&
      order.supplierId === key.supplierId &&
      order.siteId === key.siteId &&
      order.deliveryDate === key.deliveryDate,
  );
  if (!open) return ok(true);
  return err(
    coreError('wrong-state', 'There is an open order for this delivery already.', {
      detail: { orderId: open.orderId, state: open.state, ...key },
    }),
  );
}
