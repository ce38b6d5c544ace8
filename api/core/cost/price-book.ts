import type { ServiceDate } from '../calendar/index.ts';
import type { Money } from '../money/index.ts';
import { Decimal, isDecimalText } from '../money/index.ts';
import type { CoreError } from '../shared/errors.ts';
import { coreError } from '../shared/errors.ts';
import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';
import { pricesInForce } from './prices-in-force.ts';

/** What a pack costs from a date on, where at least `minPacks` are bought at once. */
export interface PackPrice {
  readonly validFrom: ServiceDate;
  /** Decimal text per pack, before tax, 0 or more. */
  readonly amount: string;
  /** 1 when absent. */
  readonly minPacks?: number;
}

/** A pack that can be bought, with its price history. */
export interface PricedPack {
  readonly packId: string;
  readonly itemId: string;
  /** Base units of the item in a pack, as purchased; > 0. */
  readonly quantityBase: number;
  readonly currency: string;
  /** The pack the kitchen orders by habit: its price counts first. */
  readonly isDefault?: boolean;
  readonly prices: readonly PackPrice[];
}

/** A rate a person entered: `rate` units of `to` for one of `from`, from the date on. */
export interface ExchangeRate {
  readonly from: string;
  readonly to: string;
  readonly validFrom: ServiceDate;
  /** Decimal text above zero. */
  readonly rate: string;
}

export interface PriceBook {
  readonly packs: readonly PricedPack[];
  /** Currencies are converted by these alone. */
  readonly rates?: readonly ExchangeRate[];
  /** Taken from the tap: known to cost nothing. */
  readonly freeItemIds?: ReadonlySet<string>;
  /** How many packs are usually bought at once, for price breaks; 1 when absent. */
  readonly packsAtOnce?: number;
}

/** Which price a cost rests on. */
export interface PriceBasis {
  readonly packId: string;
  readonly quantityBase: number;
  readonly packPrice: Money;
  readonly validFrom: ServiceDate;
  /** Present where the pack is priced in another currency; `rate` as applied to its price. */
  readonly conversion?: { readonly rate: string; readonly validFrom: ServiceDate };
}

export type ItemPrice =
  | { readonly kind: 'known'; readonly perBaseUnit: Decimal; readonly basis: PriceBasis }
  | { readonly kind: 'free' }
  | { readonly kind: 'unknown'; readonly reason: UnknownPrice };

/** `no-pack`: nobody sells it; `no-price`: no price by that date; `no-rate`: no rate into the currency. */
export type UnknownPrice = 'no-pack' | 'no-price' | 'no-rate';

/**
 * What a base unit of an item costs at a date, as purchased: the habitual pack's price, else the
 * cheapest pack's; the latest price not after the date.
 *
 * @returns ok: exact, not rounded, or why it is not known; errors `out-of-range` for a pack that
 *          holds nothing or a negative price, `unreadable-amount` for a price or rate that is no decimal
 */
export function itemPrice(
  book: PriceBook,
  itemId: string,
  date: ServiceDate,
  currency: string,
): Result<ItemPrice> {
  if (book.freeItemIds?.has(itemId) === true) return ok({ kind: 'free' });
  const packs = book.packs.filter((pack) => pack.itemId === itemId);
  let reason: UnknownPrice = 'no-pack';
  let best: { perBaseUnit: Decimal; basis: PriceBasis; isDefault: boolean } | undefined;
  for (const pack of packs) {
    if (!(pack.quantityBase > 0 && Number.isFinite(pack.quantityBase))) {
      return err(
        coreError('out-of-range', `The pack ${pack.packId} must hold something.`, {
          detail: { packId: pack.packId, quantityBase: pack.quantityBase },
        }),
      );
    }
    const price = priceAt(pack, date, book.packsAtOnce ?? 1);
    if (price === undefined) {
      if (reason === 'no-pack') reason = 'no-price';
      continue;
    }
    const fault = amountFault(price.amount, pack.packId);
    if (fault !== undefined) return err(fault);
    const rate = rateInto(book.rates ?? [], pack.currency, currency, date);
    if (!rate.ok) return rate;
    if (rate.value === null) {
      reason = 'no-rate';
      continue;
    }
    const perBaseUnit = new Decimal(price.amount).times(rate.value.rate).div(pack.quantityBase);
    const candidate = {
      perBaseUnit,
      isDefault: pack.isDefault ?? false,
      basis: {
        packId: pack.packId,
        quantityBase: pack.quantityBase,
        packPrice: { amount: price.amount, currency: pack.currency },
        validFrom: price.validFrom,
        ...(rate.value.validFrom === null
          ? {}
          : {
              conversion: {
                rate: rate.value.rate.toString(),
                validFrom: rate.value.validFrom,
              },
            }),
      },
    };
    if (best === undefined || isBetter(candidate, best)) best = candidate;
  }
  return ok(
    best === undefined
      ? { kind: 'unknown', reason }
      : { kind: 'known', perBaseUnit: best.perBaseUnit, basis: best.basis },
  );
}

interface Candidate {
  readonly perBaseUnit: Decimal;
  readonly isDefault: boolean;
  readonly basis: PriceBasis;
}

/** Habitual before others, then cheaper, then by id, so that the answer does not hang on the order. */
function isBetter(a: Candidate, b: Candidate): boolean {
  if (a.isDefault !== b.isDefault) return a.isDefault;
  const order = a.perBaseUnit.comparedTo(b.perBaseUnit);
  return order !== 0 ? order < 0 : a.basis.packId < b.basis.packId;
}

/** The highest break that is reached, of the prices in force. */
const priceAt = (pack: PricedPack, date: ServiceDate, packsAtOnce: number): PackPrice | undefined =>
  pricesInForce(pack.prices, date).findLast((price) => (price.minPacks ?? 1) <= packsAtOnce);

/** The factor from one currency into another by the date; null where no rate was entered. */
function rateInto(
  rates: readonly ExchangeRate[],
  from: string,
  to: string,
  date: ServiceDate,
): Result<{ rate: Decimal; validFrom: ServiceDate | null } | null> {
  if (from === to) return ok({ rate: new Decimal(1), validFrom: null });
  let best: { rate: Decimal; validFrom: ServiceDate } | null = null;
  for (const entry of rates) {
    const same = entry.from === from && entry.to === to;
    const turned = entry.from === to && entry.to === from;
    if ((!same && !turned) || entry.validFrom > date) continue;
    if (!isDecimalText(entry.rate) || !new Decimal(entry.rate).gt(0)) {
      return err(
        coreError('unreadable-amount', `The rate from ${entry.from} to ${entry.to} is no rate.`, {
          detail: { rate: entry.rate },
        }),
      );
    }
    if (best !== null && entry.validFrom < best.validFrom) continue;
    // Of two rates of one day the one entered in this direction counts.
    if (best !== null && entry.validFrom === best.validFrom && turned) continue;
    const rate = new Decimal(entry.rate);
    best = { rate: same ? rate : new Decimal(1).div(rate), validFrom: entry.validFrom };
  }
  return ok(best);
}

function amountFault(amount: string, packId: string): CoreError | undefined {
  if (!isDecimalText(amount)) {
    return coreError('unreadable-amount', `"${amount}" is not a price such as 12.40.`, {
      detail: { packId, amount },
    });
  }
  if (new Decimal(amount).isNegative()) {
    return coreError('out-of-range', 'A price cannot be below zero.', {
      detail: { packId, amount },
    });
  }
  return undefined;
}
