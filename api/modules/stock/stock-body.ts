import { codeOfBase } from '../../core/quantity/index.ts';
import type { CountResult, WasteResult } from './stock-changes.service.ts';
import type { OfItem } from './stock.service.ts';
import { undoUntil } from './take-waste-back.ts';
import type { StockCount, StockItem, StockLot, StockMovement, WasteLine } from './stock.ports.ts';

// How stock looks on the wire: base units, unrounded; the page decides how to show them.

const amount = (item: StockItem, value: number) => ({
  value,
  unit: codeOfBase(item.measures.baseUnit),
});
const named = ({ itemKind, itemId, name }: StockItem) => ({ itemKind, itemId, itemName: name });

function stateOf(lot: StockLot, now: Date): 'usable' | 'expired' | 'held' | 'used_up' {
  if (lot.quantity <= 0) return 'used_up';
  if (lot.heldReason !== null) return 'held';
  return lot.useBy > now ? 'usable' : 'expired';
}

export const toLot =
  (now: Date) =>
  ({ value: lot, item }: OfItem<StockLot>) => ({
    id: lot.id,
    siteId: lot.siteId,
    ...named(item),
    amount: amount(item, lot.quantity),
    madeAt: lot.madeAt.toISOString(),
    useBy: lot.useBy.toISOString(),
    state: stateOf(lot, now),
    heldReason: lot.heldReason,
    sourceKind: lot.sourceKind,
    sourceId: lot.sourceId,
    supplierLot: lot.supplierLot,
    note: lot.note,
    rev: lot.rev,
  });

export const toMovement = (item: StockItem) => (movement: StockMovement) => ({
  id: movement.id,
  kind: movement.kind,
  amount: amount(item, movement.quantity),
  at: movement.at.toISOString(),
  actorId: movement.actorId,
  taskId: movement.taskId,
  reason: movement.reason,
});

export const toCount = ({ value: count, item }: OfItem<StockCount>) => ({
  id: count.id,
  ...named(item),
  counted: amount(item, count.quantity),
  drift: amount(item, count.drift),
  countedAt: count.countedAt.toISOString(),
  actorId: count.actorId,
});

export const toCountResult = ({ count, recorded, item }: CountResult) => ({
  ...toCount({ value: count, item }),
  recorded: amount(item, recorded),
});

export const toWasteResult = ({ item, quantity, lots }: WasteResult) => ({
  ...named(item),
  amount: amount(item, quantity),
  lots: lots.map((lot) => ({
    lotId: lot.lotId,
    lineId: lot.lineId,
    amount: amount(item, lot.quantity),
  })),
});

export const toWasteLine =
  (now: Date) =>
  ({ value: line, item }: OfItem<WasteLine>) => ({
    id: line.id,
    lotId: line.lotId,
    ...named(item),
    amount: amount(item, -line.quantity),
    at: line.at.toISOString(),
    actorId: line.actorId,
    reason: line.reason,
    takenBackAt: line.takenBackAt?.toISOString() ?? null,
    undoUntil: undoUntil(line, now)?.toISOString() ?? null,
  });
