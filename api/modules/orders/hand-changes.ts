import type { Pack, Supplier } from '../suppliers/index.ts';
import { withPacks, withValue } from './order-value.ts';
import type { Order, OrderLine } from './orders.ports.ts';

interface Names {
  readonly suppliers: ReadonlyMap<string, Supplier>;
  readonly packs: ReadonlyMap<string, Pack>;
}

const keptNote = (packs: number, asked: number): string =>
  `Kept at ${packs} as changed by hand; the plan now asks for ${asked}.`;

const sameDelivery = (a: Order, b: Order): boolean =>
  a.supplierId === b.supplierId && a.deliveryDate === b.deliveryDate;

/**
 * The new proposals with the pack counts that a person changed in the old ones of the same
 * delivery. A line the plan no longer asks for stays too, while its order can still be placed; each
 * kept line says what the plan asks now.
 */
export function keepHandChanges(
  proposed: readonly Order[],
  standing: readonly Order[],
  names: Names,
  now: Date,
): readonly Order[] {
  const before = standing.filter((order) => order.status === 'proposed');
  const kept = proposed.map((order) => {
    const old = before.find((earlier) => sameDelivery(earlier, order));
    const changed = old?.lines.filter((line) => line.changedByHand) ?? [];
    return changed.reduce((result, line) => keepLine(result, line, names), order);
  });
  const alone = before
    .filter((old) => old.cutoffAt > now && !proposed.some((order) => sameDelivery(old, order)))
    .map((old) => ({ ...old, rev: old.rev + 1, lines: old.lines.filter(stays).map(noLongerAsked) }))
    .filter((old) => old.lines.length > 0);
  return [...kept, ...alone].map((order) =>
    withValue(order, names.suppliers.get(order.supplierId)),
  );
}

const stays = (line: OrderLine): boolean => line.changedByHand && line.packs > 0;

function keepLine(order: Order, old: OrderLine, names: Names): Order {
  const line = order.lines.find((l) => l.packId === old.packId);
  if (!line) return stays(old) ? { ...order, lines: [...order.lines, noLongerAsked(old)] } : order;
  const result = withPacks(order, line.id, old.packs, names.packs);
  if (old.packs === line.proposedPacks) return result;
  const note = keptNote(old.packs, line.proposedPacks);
  return {
    ...result,
    lines: result.lines.map((l) => (l.id === line.id ? { ...l, note } : l)),
  };
}

const noLongerAsked = (line: OrderLine): OrderLine => ({
  ...line,
  proposedPacks: 0,
  needQuantity: 0,
  certainQuantity: 0,
  explanationNode: null,
  note: keptNote(line.packs, 0),
});
