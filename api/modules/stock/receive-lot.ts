import { invalid, type Actor, type NewId } from '../platform/index.ts';
import { NOTHING } from './stock-amounts.ts';
import { checkDates } from './stock.service.ts';
import type { StockRepository } from './stock.ports.ts';

/** Goods taken in at the door. */
export interface ReceivedGoods {
  readonly siteId: string;
  readonly ingredientId: string;
  /** Base units, as purchased. */
  readonly quantity: number;
  readonly receivedAt: Date;
  readonly useBy: Date;
  /** The lot code on the supplier's label: what a recall names. */
  readonly supplierLotCode: string | null;
  /** The delivery it came with. */
  readonly deliveryId: string;
  readonly note: string | null;
}

/**
 * Puts goods of a delivery into stock as a lot of their own, so that they can be traced. Call it in
 * the transaction that keeps the delivery; one call a supplier lot.
 * @param now bounds the dates; `pointer` is where the line stands in the request
 * @returns the id of the lot
 * @throws Refusal `invalid-input` for no quantity or dates that cannot be
 */
export async function receiveIngredientLot(
  stock: Pick<StockRepository, 'insertLots'>,
  newId: NewId,
  actor: Actor,
  goods: ReceivedGoods,
  now: Date,
  pointer = '',
): Promise<string> {
  if (!(goods.quantity >= NOTHING)) throw invalid(`${pointer}/quantity`, 'Nothing was taken in.');
  checkDates({ madeAt: goods.receivedAt, useBy: goods.useBy }, now, pointer);
  const id = newId('lot');
  await stock.insertLots([
    {
      lot: {
        id,
        siteId: goods.siteId,
        itemKind: 'ingredient',
        itemId: goods.ingredientId,
        quantity: goods.quantity,
        madeAt: goods.receivedAt,
        useBy: goods.useBy,
        sourceKind: 'delivery',
        sourceId: goods.deliveryId,
        supplierLot: goods.supplierLotCode,
        note: goods.note,
      },
      movement: {
        id: newId('mov'),
        kind: 'received',
        quantity: goods.quantity,
        at: goods.receivedAt,
        actorId: actor.id,
        reason: null,
      },
    },
  ]);
  return id;
}
