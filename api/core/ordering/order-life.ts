import type { EpochMin } from '../calendar/index.ts';
import { Decimal } from '../money/index.ts';
import type { Money } from '../money/index.ts';
import { coreError } from '../shared/errors.ts';
import { err, ok, type Result } from '../shared/result.ts';
import type { OrderLineRecord, OrderRecord, OrderState } from './order-record.ts';
import { orderValue } from './order-record.ts';
import type { PackOffer } from './pack-offer.ts';
import { pricePerPack } from './pack-price.ts';

/** Who acts, when, and on which version they decided. */
export interface OrderAct {
  readonly by: string;
  readonly atMin: EpochMin;
  readonly version: number;
  readonly note?: string;
}

/** Steps of an order that change its state and nothing of its lines but confirmed packs. */
export type OrderEvent =
  /** `limit`: the most this person may approve; null for no limit. */
  | (OrderAct & { readonly kind: 'approve'; readonly limit: Money | null })
  /** `agreedLate`: the supplier takes it although the cutoff has passed. */
  | (OrderAct & { readonly kind: 'send'; readonly number: string; readonly agreedLate?: boolean })
  /** `packs`: only lines the supplier confirms in another number. */
  | (OrderAct & { readonly kind: 'confirm'; readonly packs?: Readonly<Record<string, number>> })
  /** Back to a proposal before the cutoff, with the supplier's agreement once it is sent. */
  | (OrderAct & { readonly kind: 'reopen' })
  | (OrderAct & { readonly kind: 'close' })
  | (OrderAct & { readonly kind: 'cancel' });

const FROM: Readonly<Record<OrderEvent['kind'], readonly OrderState[]>> = {
  approve: ['proposed'],
  send: ['approved'],
  confirm: ['sent', 'confirmed'],
  reopen: ['approved', 'sent', 'confirmed'],
  close: ['received'],
  cancel: ['proposed', 'approved', 'sent', 'confirmed'],
};

const TO: Readonly<Record<OrderEvent['kind'], OrderState>> = {
  approve: 'approved',
  send: 'sent',
  confirm: 'confirmed',
  reopen: 'proposed',
  close: 'closed',
  cancel: 'cancelled',
};

const VERB: Readonly<Record<OrderEvent['kind'], string>> = {
  approve: 'approved',
  send: 'sent',
  confirm: 'confirmed',
  reopen: 'opened again',
  close: 'closed',
  cancel: 'cancelled',
};

/** Refuses an act on an order that has changed since the person looked at it. */
export function requireVersion(order: OrderRecord, act: OrderAct): Result<OrderRecord> {
  if (act.version === order.version) return ok(order);
  return err(
    coreError('stale-version', 'The order has changed since it was opened. Look at it again.', {
      detail: { expected: act.version, actual: order.version },
    }),
  );
}

/** Refuses an act that the order's state does not allow. */
export function requireState(
  order: OrderRecord,
  allowed: readonly OrderState[],
  verb: string,
): Result<OrderRecord> {
  if (allowed.includes(order.state)) return ok(order);
  return err(
    coreError('wrong-state', `An order that is ${order.state} cannot be ${verb}.`, {
      detail: { state: order.state, allowed },
    }),
  );
}

/** The order one version on, with the step written in its history. */
export function stepTo(
  order: OrderRecord,
  state: OrderState,
  act: OrderAct,
  changes: Partial<OrderRecord> = {},
): OrderRecord {
  const { by, atMin, note } = act;
  const step = { state, by, atMin, ...(note === undefined ? {} : { note }) };
  return {
    ...order,
    ...changes,
    state,
    version: order.version + 1,
    history: [...order.history, step],
  };
}

function checkLimit(order: OrderRecord, limit: Money | null): Result<true> {
  if (limit === null) return ok(true);
  if (limit.currency !== order.currency) {
    return err(
      coreError('currency-mismatch', `The limit is in ${limit.currency}, not ${order.currency}.`, {
        detail: { limit: limit.currency, order: order.currency },
      }),
    );
  }
  const { total } = orderValue(order);
  if (new Decimal(total).lte(limit.amount)) return ok(true);
  return err(
    coreError('over-limit', `${total} ${order.currency} is above the limit of ${limit.amount}.`, {
      detail: { total, limit: limit.amount, currency: order.currency },
    }),
  );
}

function checkSend(order: OrderRecord, event: OrderEvent & { kind: 'send' }): Result<true> {
  if (order.lines.every((line) => line.packs === 0)) {
    return err(coreError('missing-data', 'There is nothing on the order.', { path: ['lines'] }));
  }
  if (event.number.trim() === '') {
    return err(coreError('missing-data', 'An order is sent with a number.', { path: ['number'] }));
  }
  if (event.atMin > order.cutoffMin && event.agreedLate !== true) {
    return pastCutoff(order, event.atMin);
  }
  return ok(true);
}

function pastCutoff(order: OrderRecord, atMin: EpochMin): Result<never> {
  return err(
    coreError('infeasible', 'The cutoff for this delivery has passed.', {
      detail: { reason: 'past-cutoff', cutoffMin: order.cutoffMin, atMin },
    }),
  );
}

function confirmLines(
  order: OrderRecord,
  packs: Readonly<Record<string, number>>,
): Result<OrderLineRecord[]> {
  const known = new Set(order.lines.map((line) => line.lineId));
  for (const [lineId, count] of Object.entries(packs)) {
    if (!known.has(lineId) || !Number.isInteger(count) || count < 0) {
      return err(
        coreError('out-of-range', 'Confirmed packs are whole, of a line of this order.', {
          path: ['packs', lineId],
          detail: { lineId, count },
        }),
      );
    }
  }
  return ok(
    order.lines.map((line) => ({ ...line, confirmedPacks: packs[line.lineId] ?? line.packs })),
  );
}

/**
 * Takes an order one step on. Receiving is its own function (receiveDelivery), as are changes by
 * hand (changeLine) and by the plan (refreshOrder).
 *
 * Errors: `stale-version`; `wrong-state`; `over-limit` and `currency-mismatch` when approving;
 * `missing-data` for an empty order or no number; `infeasible` (reason past-cutoff) when sent or
 * opened again too late; `out-of-range` for odd confirmed packs.
 */
export function advanceOrder(order: OrderRecord, event: OrderEvent): Result<OrderRecord> {
  const current = requireVersion(order, event);
  if (!current.ok) return current;
  const fits = requireState(order, FROM[event.kind], VERB[event.kind]);
  if (!fits.ok) return fits;
  const next = TO[event.kind];
  if (event.kind === 'approve') {
    const limit = checkLimit(order, event.limit);
    return limit.ok ? ok(stepTo(order, next, event)) : limit;
  }
  if (event.kind === 'send') {
    const sendable = checkSend(order, event);
    return sendable.ok ? ok(stepTo(order, next, event, { number: event.number })) : sendable;
  }
  if (event.kind === 'reopen') {
    if (event.atMin > order.cutoffMin) return pastCutoff(order, event.atMin);
    const lines = order.lines.map((line) => ({ ...line, confirmedPacks: null }));
    return ok(stepTo(order, next, event, { lines }));
  }
  if (event.kind === 'confirm') {
    const lines = confirmLines(order, event.packs ?? {});
    return lines.ok ? ok(stepTo(order, next, event, { lines: lines.value })) : lines;
  }
  return ok(stepTo(order, next, event));
}

/**
 * Puts a person's number of packs on a line (0 takes it off; the line stays, so that the change is
 * seen), or a new line. The price follows the price breaks. An approved order must be approved
 * again.
 *
 * Errors: `stale-version`; `wrong-state` once it is sent; `out-of-range` for packs that are not
 * whole or outside what the supplier sells; `currency-mismatch` for an offer in other money.
 */
export function changeLine(
  order: OrderRecord,
  change: OrderAct & {
    readonly offer: PackOffer;
    readonly packs: number;
    readonly reason?: string;
  },
): Result<OrderRecord> {
  const current = requireVersion(order, change);
  if (!current.ok) return current;
  const fits = requireState(order, ['proposed', 'approved'], 'changed');
  if (!fits.ok) return fits;
  const { offer, packs, by, atMin, reason } = change;
  if (offer.currency !== order.currency) {
    return err(
      coreError('currency-mismatch', `The pack is priced in ${offer.currency}.`, {
        detail: { offer: offer.currency, order: order.currency },
      }),
    );
  }
  const sold = packs === 0 || (packs >= (offer.minPacks ?? 1) && packs <= (offer.maxPacks ?? 1e6));
  if (!Number.isInteger(packs) || packs < 0 || !sold || offer.supplierId !== order.supplierId) {
    return err(
      coreError('out-of-range', 'The supplier does not sell that number of packs.', {
        path: ['packs'],
        detail: { packs, minPacks: offer.minPacks ?? 1, maxPacks: offer.maxPacks ?? null },
      }),
    );
  }
  const handChange = { by, atMin, packs, ...(reason === undefined ? {} : { reason }) };
  const price = pricePerPack(offer, Math.max(packs, 1)).toString();
  const exists = order.lines.some((line) => line.offerId === offer.id);
  const lines = exists
    ? order.lines.map((line) =>
        line.offerId === offer.id ? { ...line, packs, pricePerPack: price, handChange } : line,
      )
    : [
        ...order.lines,
        {
          lineId: offer.id,
          offerId: offer.id,
          ingredientId: offer.ingredientId,
          packBase: offer.quantityBase,
          plannedPacks: 0,
          packs,
          pricePerPack: price,
          certainBase: 0,
          handChange,
          confirmedPacks: null,
        },
      ];
  return ok(stepTo(order, 'proposed', change, { lines }));
}
