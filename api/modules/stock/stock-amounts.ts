import { toBaseAmount, type Amount } from '../../core/quantity/index.ts';
import { fromCoreError, invalid, Refusal } from '../platform/index.ts';
import type { ItemRef, StockItem, StockLot, StockRepository } from './stock.ports.ts';

/** Less than this (a microgram) is what is left of adding and taking decimals, not food. */
export const NOTHING = 1e-6;

/** The key of an item, whatever its kind. */
export const itemKey = ({ itemKind, itemId }: ItemRef): string => `${itemKind} ${itemId}`;

/** Items by key. */
export async function loadItems(
  stock: StockRepository,
  refs: readonly ItemRef[],
): Promise<ReadonlyMap<string, StockItem>> {
  const items = await stock.items(refs);
  return new Map(items.map((item) => [itemKey(item), item]));
}

/** @throws Refusal `invalid-input` pointing at the item's id when there is no such item */
export function itemIn(
  items: ReadonlyMap<string, StockItem>,
  ref: ItemRef,
  prefix = '',
): StockItem {
  const item = items.get(itemKey(ref));
  if (item) return item;
  throw invalid(`${prefix}/itemId`, `There is no ${ref.itemKind} with the id ${ref.itemId}.`);
}

/**
 * An amount in the item's base unit.
 * @throws Refusal of the kind core/quantity gives, or `out-of-range` for nothing where some is due
 */
export function baseQuantity(
  amount: Amount,
  item: StockItem,
  pointer: string,
  options: { readonly mayBeZero: boolean },
): number {
  const converted = toBaseAmount(amount, item.measures);
  if (!converted.ok) {
    const { kind } = converted.error;
    const field = kind === 'unknown-unit' ? '/unit' : kind === 'out-of-range' ? '/value' : '';
    throw fromCoreError(converted.error, `${pointer}${field}`);
  }
  const { value } = converted.value;
  if (value >= NOTHING || (options.mayBeZero && value === 0)) return value;
  const message = `The amount of ${item.name} must be above zero.`;
  throw new Refusal('out-of-range', message, {
    issues: [{ pointer: `${pointer}/value`, message }],
  });
}

/** What is left in some lots together. */
export function totalOf(lots: readonly StockLot[]): number {
  return lots.reduce((sum, lot) => sum + lot.quantity, 0);
}

/** How much goes out of which lot, in the order given (first-expiring first). */
export function takeInOrder(
  lots: readonly StockLot[],
  quantity: number,
): readonly { readonly lot: StockLot; readonly quantity: number }[] {
  const taken = [];
  let left = quantity;
  for (const lot of lots) {
    if (left <= NOTHING) break;
    // Within a microgram of all of it is all of it: no lot is left with nothing in it.
    const all = left >= lot.quantity - NOTHING;
    const part = all ? lot.quantity : left;
    taken.push({ lot, quantity: part });
    left -= part;
  }
  return taken;
}
