import type { PriceBook } from '../../core/cost/index.ts';
import { Decimal, roundMoney, type Money } from '../../core/money/index.ts';
import type { Site } from '../sites/index.ts';
import type { Pack, Supplier } from '../suppliers/index.ts';
import type { Rate } from '../rates/index.ts';

/** The prices a site buys at: packs of the suppliers that deliver there, and the rates entered. */
export function priceBookOf(
  site: Pick<Site, 'id'>,
  suppliers: readonly Supplier[],
  packs: readonly Pack[],
  rates: readonly Rate[],
  fromTheTap: ReadonlySet<string>,
): PriceBook {
  const serving = new Set(suppliers.filter((s) => s.siteIds.includes(site.id)).map((s) => s.id));
  return {
    packs: packs
      .filter((pack) => serving.has(pack.supplierId))
      .map((pack) => ({
        packId: pack.id,
        itemId: pack.ingredientId,
        quantityBase: pack.quantityBase,
        currency: pack.currency,
        isDefault: pack.isDefault,
        prices: pack.prices,
      })),
    rates: rates.map(({ from, to, validFrom, rate }) => ({ from, to, validFrom, rate })),
    freeItemIds: fromTheTap,
  };
}

/** Money as it leaves the service: rounded to the currency's smallest unit, once. */
export function leaving(money: Money): Money {
  return roundMoney(money);
}

const UNIT_PRICE_DIGITS = 6;

/** A price per gram is far below a cent: it leaves with six significant digits. */
export function unitPriceLeaving(money: Money): Money {
  return {
    amount: new Decimal(money.amount).toSignificantDigits(UNIT_PRICE_DIGITS).toString(),
    currency: money.currency,
  };
}
