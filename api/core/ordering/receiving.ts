import { daysBetween, parseServiceDate } from '../calendar/index.ts';
import { Decimal, isDecimalText } from '../money/index.ts';
import { coreError } from '../shared/errors.ts';
import { err, ok, type Result } from '../shared/result.ts';
import type { OrderAct } from './order-life.ts';
import { requireState, requireVersion, stepTo } from './order-life.ts';
import type { DeliveryReceipt, OrderRecord, ReceiptLine } from './order-record.ts';
import { receivedOf } from './order-record.ts';

/** What was agreed for a line, to check the goods against. */
export interface ReceivingRule {
  readonly lineId: string;
  /** Warmest the goods may be at the door, degC, from the site's rules for chilled or frozen goods. */
  readonly limitC?: number;
  /** Days in date that the supplier promises. */
  readonly shelfLifeDays?: number;
}

/** A delivery as it is put in. */
export interface Receiving extends OrderAct {
  readonly receipt: DeliveryReceipt;
  readonly rules?: readonly ReceivingRule[];
  /** Lines of which more than ordered is taken in on purpose. */
  readonly takeOver?: readonly string[];
  /** Lines taken in although too warm or out of date by the label: someone answers for it. */
  readonly takeDespite?: readonly string[];
}

/** Something to look at; never a reason to use the goods. */
export interface ReceivingFinding {
  readonly lineId: string;
  readonly kind:
    | 'short-dated'
    | 'too-warm'
    | 'no-temperature'
    | 'out-of-date'
    | 'price-changed'
    | 'more-than-ordered'
    | 'no-use-by';
  readonly message: string;
}

/** Shown wherever goods are taken in. */
export const RECEIVING_NOTICE =
  'Check temperature, dates and packaging at the door. Local food-safety rules and your own plan decide, not this list.';

/**
 * Writes a delivery, or part of one, on an order: packs taken in and sent back, use-by, temperature
 * and price a line. The order is then received when every line is accounted for or the delivery is
 * final, else part-delivered.
 *
 * More packs than ordered, goods warmer than the limit and goods past their use-by are refused
 * unless the line is named in `takeOver` or `takeDespite`; then they are told as findings.
 *
 * Errors: `stale-version`; `wrong-state`; `out-of-range` with the line for all of the above and for
 * odd numbers; `invalid-date`; `unreadable-amount`; `missing-data` for an unknown line or a receipt
 * written twice.
 */
export function receiveDelivery(
  order: OrderRecord,
  receiving: Receiving,
): Result<{ order: OrderRecord; findings: readonly ReceivingFinding[]; notice: string }> {
  const current = requireVersion(order, receiving);
  if (!current.ok) return current;
  const fits = requireState(order, ['sent', 'confirmed', 'part-delivered'], 'received');
  if (!fits.ok) return fits;
  const { receipt } = receiving;
  const date = parseServiceDate(receipt.date);
  if (!date.ok) return date;
  if (order.receipts.some((known) => known.receiptId === receipt.receiptId)) {
    return err(
      coreError('missing-data', 'This delivery has been put in already.', {
        path: ['receipt', 'receiptId'],
        detail: { receiptId: receipt.receiptId },
      }),
    );
  }
  const findings: ReceivingFinding[] = [];
  const after: OrderRecord = { ...order, receipts: [...order.receipts, receipt] };
  for (const [i, line] of receipt.lines.entries()) {
    const checked = checkReceiptLine(after, line, receiving, ['receipt', 'lines', i]);
    if (!checked.ok) return checked;
    findings.push(...checked.value);
  }
  const complete = order.lines.every((line) => {
    const { taken, refused } = receivedOf(after, line.lineId);
    return taken + refused >= (line.confirmedPacks ?? line.packs);
  });
  const state = complete || receipt.final ? 'received' : 'part-delivered';
  const { receipts } = after;
  return ok({
    order: stepTo(order, state, receiving, { receipts }),
    findings,
    notice: RECEIVING_NOTICE,
  });
}

function checkReceiptLine(
  order: OrderRecord,
  line: ReceiptLine,
  receiving: Receiving,
  path: readonly (string | number)[],
): Result<ReceivingFinding[]> {
  const refuse = (
    kind: 'out-of-range' | 'missing-data' | 'unreadable-amount',
    message: string,
    field: string,
  ): Result<never> =>
    err(coreError(kind, message, { path: [...path, field], detail: { ...line } }));
  const ordered = order.lines.find((known) => known.lineId === line.lineId);
  if (!ordered) return refuse('missing-data', 'The order has no such line.', 'lineId');
  for (const field of ['packs', 'refusedPacks'] as const) {
    if (!Number.isInteger(line[field]) || line[field] < 0) {
      return refuse('out-of-range', 'Packs are whole and not below zero.', field);
    }
  }
  if (line.pricePerPack !== undefined && !isDecimalText(line.pricePerPack)) {
    return refuse('unreadable-amount', 'The price is no amount such as 12.40.', 'pricePerPack');
  }
  if (line.temperatureC !== undefined && !Number.isFinite(line.temperatureC)) {
    return refuse('out-of-range', 'The temperature is no number.', 'temperatureC');
  }
  const findings: ReceivingFinding[] = [];
  const tell = (kind: ReceivingFinding['kind'], message: string): void => {
    findings.push({ lineId: line.lineId, kind, message });
  };
  const { taken } = receivedOf(order, line.lineId);
  if (taken > ordered.packs) {
    const message = `${taken} packs would be taken in of ${ordered.packs} ordered.`;
    if (!receiving.takeOver?.includes(line.lineId)) return refuse('out-of-range', message, 'packs');
    tell('more-than-ordered', message);
  }
  if (line.packs > 0) {
    const rule = receiving.rules?.find((known) => known.lineId === line.lineId);
    const despite = receiving.takeDespite?.includes(line.lineId) === true;
    if (rule?.limitC !== undefined && line.temperatureC === undefined) {
      tell('no-temperature', `No temperature was taken; the limit is ${rule.limitC} °C.`);
    } else if (rule?.limitC !== undefined && (line.temperatureC ?? 0) > rule.limitC) {
      const message = `${line.temperatureC} °C is above the limit of ${rule.limitC} °C.`;
      if (!despite) return refuse('out-of-range', message, 'temperatureC');
      tell('too-warm', message);
    }
    if (line.useByDate !== undefined) {
      const useBy = parseServiceDate(line.useByDate);
      if (!useBy.ok) return err({ ...useBy.error, path: [...path, 'useByDate'] });
      const days = daysBetween(receiving.receipt.date, line.useByDate);
      if (days < 0) {
        const message = `The use-by ${line.useByDate} has passed.`;
        if (!despite) return refuse('out-of-range', message, 'useByDate');
        tell('out-of-date', message);
      } else if (rule?.shelfLifeDays !== undefined && days < rule.shelfLifeDays) {
        tell('short-dated', `${days} days in date; ${rule.shelfLifeDays} are promised.`);
      }
    }
  }
  const price = line.pricePerPack;
  if (price !== undefined && !new Decimal(price).eq(ordered.pricePerPack)) {
    tell('price-changed', `${price} instead of ${ordered.pricePerPack} a pack.`);
  }
  return ok(findings);
}
