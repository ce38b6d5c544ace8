import { refreshOrder } from '../../core/ordering/index.ts';
import type { RefreshDifference } from '../../core/ordering/index.ts';
import { orRefuse } from '../platform/index.ts';
import type { OrderBook } from './order-book.ts';
import { afterStep, toRecord } from './order-record.ts';
import { withPacks, withValue } from './order-value.ts';
import type { Order, OrderLine } from './orders.ports.ts';
import { packOfOffer } from './pack-problem.ts';
import type { ProposedOrder } from './proposal.ts';

/** An order brought up to a new plan, and whether anything about it is different now. */
export interface Refreshed {
  readonly order: Order;
  readonly differences: readonly RefreshDifference[];
}

/**
 * Brings an order that may still change up to a new plan. Lines changed by hand keep their packs and
 * say what the plan asks now; the others follow the plan, with what differs told. An approved order
 * whose packs change waits for approval again, under the number it has.
 *
 * @param proposed the new plan's order for the same delivery; null when it wants none
 */
export function refreshStanding(
  order: Order,
  proposed: ProposedOrder | null,
  given: { readonly book: OrderBook; readonly now: Date },
): Refreshed {
  const { book, now } = given;
  const fresh = proposed?.order.lines ?? [];
  const planned = proposed && {
    ...proposed.planned,
    lines: proposed.planned.lines.map((line) => ({ ...line, offerId: packOfOffer(line.offerId) })),
  };
  const step = orRefuse(
    refreshOrder(toRecord(order), planned, {
      by: 'the plan',
      atMin: Math.floor(now.getTime() / 60_000),
      version: order.rev,
    }),
  );
  const moved = step.order.state !== order.status;
  const plannedOf = new Map(fresh.map((line) => [line.packId, line]));
  const lines = [
    ...order.lines.flatMap((line) => keptLine(line, plannedOf.get(line.packId))),
    ...fresh.filter((line) => !order.lines.some((old) => old.packId === line.packId)),
  ];
  const base: Order = {
    ...order,
    planId: proposed?.order.planId ?? order.planId,
    choice: proposed?.order.choice ?? null,
    notes: proposed?.order.notes ?? [],
    lastRefresh:
      step.differences.length > 0
        ? { at: now.toISOString(), differences: step.differences }
        : order.lastRefresh,
    lines,
  };
  const stepped = moved
    ? { ...afterStep(base, step.order, now), approvedBy: null, approvedAt: null }
    : base;
  const handMade = lines.reduce(
    (result, line) => (line.changedByHand ? repriced(result, line, book) : result),
    { ...stepped, rev: order.rev },
  );
  const supplier = book.suppliers.get(order.supplierId);
  return { order: withValue(handMade, supplier), differences: step.differences };
}

/** A standing line on the new plan's footing: its own id and hand change, the plan's figures. */
function keptLine(line: OrderLine, planned: OrderLine | undefined): OrderLine[] {
  if (!line.changedByHand) return planned ? [{ ...planned, id: line.id }] : [];
  if (!planned && line.packs === 0) return [];
  const asked = planned?.packs ?? 0;
  const note =
    line.packs === asked
      ? null
      : `Kept at ${line.packs} as changed by hand; the plan now asks for ${asked}.`;
  return [
    {
      ...(planned ?? noLongerAsked(line)),
      id: line.id,
      packs: line.packs,
      changedByHand: true,
      changedBy: line.changedBy,
      changedAt: line.changedAt,
      changeReason: line.changeReason,
      note,
    },
  ];
}

const noLongerAsked = (line: OrderLine): OrderLine => ({
  ...line,
  proposedPacks: 0,
  needQuantity: 0,
  certainQuantity: 0,
  wasteQuantity: 0,
  packsForMinimum: 0,
  uses: [],
  explanationNode: null,
});

/** The price and leftover of a line at the number of packs a person left. */
function repriced(order: Order, line: OrderLine, book: OrderBook): Order {
  const change = {
    by: line.changedBy ?? '',
    at: line.changedAt ?? new Date(0),
    reason: line.changeReason,
  };
  const priced = withPacks(order, line.id, line.packs, book.packs, change);
  // A number that the plan now agrees with is still a person's own.
  return {
    ...priced,
    lines: priced.lines.map((own) =>
      own.id === line.id
        ? {
            ...own,
            changedByHand: true,
            changedBy: line.changedBy,
            changedAt: line.changedAt,
            changeReason: line.changeReason,
          }
        : own,
    ),
  };
}
