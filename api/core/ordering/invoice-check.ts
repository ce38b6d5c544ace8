import { Decimal, isDecimalText, roundMoney } from '../money/index.ts';
import type { Money } from '../money/index.ts';
import { coreError } from '../shared/errors.ts';
import { err, ok, type Result } from '../shared/result.ts';
import { requireState } from './order-life.ts';
import type { OrderRecord } from './order-record.ts';
import { receivedOf } from './order-record.ts';

/** One line of a supplier's invoice. */
export interface InvoiceLine {
  readonly lineId: string;
  readonly packs: number;
  readonly pricePerPack: string;
}

export interface Invoice {
  readonly currency: string;
  readonly lines: readonly InvoiceLine[];
  readonly deliveryCharge: string;
}

/** A difference between order, delivery and invoice. `creditDue` is exact decimal text, not below 0. */
export interface InvoiceFinding {
  readonly lineId: string | null;
  readonly kind:
    | 'not-ordered'
    | 'short-delivered'
    | 'sent-back'
    | 'more-than-ordered'
    | 'invoiced-not-received'
    | 'invoiced-before'
    | 'not-invoiced'
    | 'price-above-order'
    | 'price-below-order'
    | 'charge-above-order';
  readonly packs: number;
  readonly creditDue: string;
}

/** What earlier invoices of the order charged and rightly so: packs by line, and for delivery. */
export interface ChargedBefore {
  readonly packs: ReadonlyMap<string, number>;
  /** Decimal text. */
  readonly deliveryCharge: string;
}

/** Adds up earlier invoices less what was found due back of each. */
export function chargedBefore(
  invoices: readonly (Omit<Invoice, 'currency'> & {
    readonly findings: readonly (Omit<InvoiceFinding, 'kind'> & { readonly kind: string })[];
  })[],
): ChargedBefore {
  const packs = new Map<string, number>();
  const add = (lineId: string, count: number) =>
    packs.set(lineId, (packs.get(lineId) ?? 0) + count);
  let charge = new Decimal(0);
  for (const { lines, deliveryCharge, findings } of invoices) {
    for (const line of lines) add(line.lineId, line.packs);
    charge = charge.plus(deliveryCharge);
    for (const { lineId, kind, packs: count, creditDue } of findings) {
      if (lineId === null) charge = charge.minus(creditDue);
      else if (kind === 'invoiced-not-received' || kind === 'invoiced-before') add(lineId, -count);
    }
  }
  return { packs, deliveryCharge: charge.toString() };
}

const NOTHING: ChargedBefore = { packs: new Map(), deliveryCharge: '0' };

/**
 * Compares what was ordered, what came and what is charged, line by line. What was taken in is owed
 * at the ordered price, or the invoiced one when that is lower; anything charged above that is
 * credit due, and so is what an earlier invoice of the order charged already. A finding carries the
 * credit that it alone explains, so that they add up to the whole.
 *
 * Errors: `currency-mismatch`; `out-of-range` and `unreadable-amount` for odd packs and prices;
 * `wrong-state` before anything was received.
 */
export function threeWayCheck(
  order: OrderRecord,
  invoice: Invoice,
  before: ChargedBefore = NOTHING,
): Result<{ findings: readonly InvoiceFinding[]; creditDue: Money }> {
  const fits = requireState(order, ['part-delivered', 'received', 'closed'], 'checked');
  if (!fits.ok) return fits;
  if (invoice.currency !== order.currency) {
    return err(
      coreError('currency-mismatch', `The order is in ${order.currency}.`, {
        path: ['currency'],
        detail: { invoice: invoice.currency, order: order.currency },
      }),
    );
  }
  const findings: InvoiceFinding[] = [];
  const find = (
    lineId: string | null,
    kind: InvoiceFinding['kind'],
    packs: number,
    credit: Decimal = new Decimal(0),
  ): void => {
    findings.push({ lineId, kind, packs, creditDue: credit.toString() });
  };
  const invoiced = new Map<string, InvoiceLine>();
  for (const [i, line] of invoice.lines.entries()) {
    const readable =
      isDecimalText(line.pricePerPack) && !new Decimal(line.pricePerPack).isNegative();
    if (!readable || !Number.isInteger(line.packs) || line.packs < 0 || invoiced.has(line.lineId)) {
      return err(
        coreError(readable ? 'out-of-range' : 'unreadable-amount', 'An invoice line is odd.', {
          path: ['lines', i],
          detail: { ...line },
        }),
      );
    }
    invoiced.set(line.lineId, line);
    if (!order.lines.some((known) => known.lineId === line.lineId)) {
      find(
        line.lineId,
        'not-ordered',
        line.packs,
        new Decimal(line.pricePerPack).times(line.packs),
      );
    }
  }
  for (const line of order.lines) {
    const { taken, refused } = receivedOf(order, line.lineId);
    const charged = invoiced.get(line.lineId);
    const paid = Math.min(taken, before.packs.get(line.lineId) ?? 0);
    const open = taken - paid;
    if (taken + refused < line.packs)
      find(line.lineId, 'short-delivered', line.packs - taken - refused);
    if (refused > 0) find(line.lineId, 'sent-back', refused);
    if (taken > line.packs) find(line.lineId, 'more-than-ordered', taken - line.packs);
    if (!charged) {
      if (open > 0) find(line.lineId, 'not-invoiced', open);
      continue;
    }
    const price = new Decimal(charged.pricePerPack);
    const above = price.minus(line.pricePerPack);
    const owed = Math.min(charged.packs, open);
    const again = Math.min(charged.packs - owed, paid);
    const absent = charged.packs - owed - again;
    if (again > 0) find(line.lineId, 'invoiced-before', again, price.times(again));
    if (absent > 0) find(line.lineId, 'invoiced-not-received', absent, price.times(absent));
    if (charged.packs < open) find(line.lineId, 'not-invoiced', open - charged.packs);
    if (owed > 0 && above.gt(0)) {
      find(line.lineId, 'price-above-order', owed, above.times(owed));
    }
    if (owed > 0 && above.lt(0)) find(line.lineId, 'price-below-order', owed);
  }
  if (!isDecimalText(invoice.deliveryCharge)) {
    return err(
      coreError('unreadable-amount', 'The delivery charge is no amount.', {
        path: ['deliveryCharge'],
        detail: { deliveryCharge: invoice.deliveryCharge },
      }),
    );
  }
  const agreed = Decimal.max(0, new Decimal(order.deliveryCharge).minus(before.deliveryCharge));
  const extra = new Decimal(invoice.deliveryCharge).minus(agreed);
  if (extra.gt(0)) find(null, 'charge-above-order', 0, extra);
  const total = findings.reduce((sum, f) => sum.plus(f.creditDue), new Decimal(0));
  return ok({
    findings,
    creditDue: roundMoney({ amount: total.toString(), currency: order.currency }),
  });
}
