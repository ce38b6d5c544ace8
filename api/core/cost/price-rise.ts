import type { Money } from '../money/index.ts';
import { Decimal, isDecimalText } from '../money/index.ts';
import { coreError } from '../shared/errors.ts';
import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';
import type { Costing } from './item-cost.ts';

/** What dearer ingredients do to a cost. */
export interface PriceRise {
  /** What the cost rises by. */
  readonly change: Money;
  /** The known cost after the rise. */
  readonly knownCostAfter: Money;
  /** Null while the cost is incomplete. */
  readonly costAfter: Money | null;
  /** Change ÷ known cost before. */
  readonly changeFraction: number;
}

/**
 * The cost when the prices of some ingredients rise by a fraction (fall, when it is negative).
 * The recipe and the packs stay as they are: nobody switches to another pack here.
 *
 * @param riseFraction decimal text, -1 or more: '0.15' for 15 %
 * @returns errors `missing-data` where one of the ingredients has no price yet,
 *          `unreadable-amount` or `out-of-range` for the fraction
 */
export function priceRise(
  costing: Costing,
  itemIds: readonly string[],
  riseFraction: string,
): Result<PriceRise> {
  if (!isDecimalText(riseFraction)) {
    return err(
      coreError('unreadable-amount', `"${riseFraction}" is not a fraction such as 0.15.`, {
        path: ['riseFraction'],
        detail: { riseFraction },
      }),
    );
  }
  const rise = new Decimal(riseFraction);
  if (rise.lt(-1)) {
    return err(
      coreError('out-of-range', 'A price cannot fall by more than all of it.', {
        path: ['riseFraction'],
        detail: { riseFraction },
      }),
    );
  }
  const rising = new Set(itemIds);
  const unknown = costing.missing.find((item) => rising.has(item.itemId));
  if (unknown !== undefined) {
    return err(
      coreError('missing-data', `No price yet for ${unknown.name}.`, {
        detail: { itemId: unknown.itemId },
      }),
    );
  }
  const change = costing.drivers
    .filter((driver) => rising.has(driver.itemId))
    .reduce((sum, driver) => sum.plus(rise.times(driver.cost.amount)), new Decimal(0));
  const before = new Decimal(costing.knownCost.amount);
  const { currency } = costing;
  const after: Money = { amount: before.plus(change).toString(), currency };
  return ok({
    change: { amount: change.toString(), currency },
    knownCostAfter: after,
    costAfter: costing.cost === null ? null : after,
    changeFraction: before.isZero() ? 0 : change.div(before).toNumber(),
  });
}
