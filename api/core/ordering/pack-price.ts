import { Decimal, isDecimalText } from '../money/index.ts';
import { coreError } from '../shared/errors.ts';
import { err, ok, type Result } from '../shared/result.ts';
import type { PackOffer } from './pack-offer.ts';

/** From `fromPacks` to `toPacks` packs (Infinity: no limit) every pack of the order costs `price`. */
export interface PriceTier {
  readonly fromPacks: number;
  readonly toPacks: number;
  readonly price: Decimal;
}

/** The price tiers of an offer, ascending, without gaps from its fewest packs on. */
export function priceTiers(offer: PackOffer): PriceTier[] {
  const fewest = offer.minPacks ?? 1;
  const most = offer.maxPacks ?? Infinity;
  const breaks = [...(offer.priceBreaks ?? [])].sort((a, b) => a.minPacks - b.minPacks);
  const starts = [
    { fromPacks: fewest, price: offer.price },
    ...breaks.map((b) => ({ fromPacks: Math.max(b.minPacks, fewest), price: b.price })),
  ];
  return starts
    .map(({ fromPacks, price }, index) => ({
      fromPacks,
      toPacks: Math.min((starts[index + 1]?.fromPacks ?? Infinity) - 1, most),
      price: new Decimal(price),
    }))
    .filter((tier) => tier.fromPacks <= tier.toPacks);
}

/** Price of each of `packs` packs (at least the offer's fewest), with the price break reached. */
export function pricePerPack(offer: PackOffer, packs: number): Decimal {
  const tiers = priceTiers(offer);
  const reached = tiers.filter((tier) => tier.fromPacks <= packs).at(-1) ?? tiers[0];
  return reached?.price ?? new Decimal(offer.price);
}

/** Price of one base unit at the offer's best price break. */
export function bestUnitPrice(offer: PackOffer): Decimal {
  const prices = priceTiers(offer).map((tier) => tier.price);
  const least = prices.length > 0 ? Decimal.min(...prices) : new Decimal(offer.price);
  return least.div(offer.quantityBase);
}

/** Whole packs that hold `quantityBase`, crumbs of binary arithmetic apart. */
export function packsToHold(quantityBase: number, packBase: number): number {
  return Math.max(0, Math.ceil(quantityBase / packBase - 1e-9));
}

const isCount = (n: number): boolean => Number.isInteger(n) && n >= 1 && n <= 1_000_000;

/**
 * Checks one offer against the currency of the order.
 *
 * Errors, each with the path: `out-of-range` for a pack of zero, a price of zero or less, odd pack limits
 * price breaks that do not rise in packs or that cost more; `unreadable-amount` for a price that is no decimal;
 * `currency-mismatch` for a price in another currency.
 */
export function checkPackOffer(
  offer: PackOffer,
  currency: string,
  path: readonly (string | number)[] = [],
): Result<PackOffer> {
  const refuse = (
    kind: 'out-of-range' | 'unreadable-amount' | 'currency-mismatch',
    message: string,
    field: readonly (string | number)[],
    detail: Record<string, unknown>,
  ): Result<never> =>
    err(
      coreError(kind, message, { path: [...path, ...field], detail: { id: offer.id, ...detail } }),
    );

  if (offer.currency !== currency) {
    return refuse(
      'currency-mismatch',
      `The price is in ${offer.currency}, not ${currency}.`,
      ['currency'],
      {
        currency: offer.currency,
        expected: currency,
      },
    );
  }
  if (!Number.isFinite(offer.quantityBase) || offer.quantityBase <= 0) {
    return refuse('out-of-range', 'A pack holds more than nothing.', ['quantityBase'], {
      quantityBase: offer.quantityBase,
    });
  }
  const prices: [string, (string | number)[]][] = [
    [offer.price, ['price']],
    ...(offer.priceBreaks ?? []).map((b, i): [string, (string | number)[]] => [
      b.price,
      ['priceBreaks', i, 'price'],
    ]),
  ];
  for (const [price, field] of prices) {
    if (!isDecimalText(price)) {
      return refuse('unreadable-amount', `"${price}" is not a price such as 12.40.`, field, {
        price,
      });
    }
    if (!new Decimal(price).isPositive() || new Decimal(price).isZero()) {
      return refuse(
        'out-of-range',
        'A price is above zero; leave out a pack whose price is not known.',
        field,
        { price },
      );
    }
  }
  const fewest = offer.minPacks ?? 1;
  const most = offer.maxPacks;
  if (!isCount(fewest) || (most !== undefined && (!isCount(most) || most < fewest))) {
    return refuse(
      'out-of-range',
      'Fewest and most packs are whole numbers, in order.',
      ['minPacks'],
      {
        minPacks: fewest,
        maxPacks: most ?? null,
      },
    );
  }
  const starts = (offer.priceBreaks ?? []).map((b) => b.minPacks);
  if (starts.some((n, i) => !isCount(n) || n < 2 || n <= (starts[i - 1] ?? 0))) {
    return refuse(
      'out-of-range',
      'Price breaks start at two packs or more and rise.',
      ['priceBreaks'],
      {
        starts,
      },
    );
  }
  const ladder = [offer.price, ...(offer.priceBreaks ?? []).map((b) => b.price)];
  const rise = ladder.findIndex(
    (price, i) => i > 0 && new Decimal(price).gt(ladder[i - 1] ?? price),
  );
  if (rise > 0) {
    return refuse('out-of-range', 'A price break never costs more.', ['priceBreaks', rise - 1], {
      price: ladder[rise],
      before: ladder[rise - 1],
    });
  }
  const { shelfLifeDays } = offer;
  if (shelfLifeDays !== undefined && (!Number.isInteger(shelfLifeDays) || shelfLifeDays < 0)) {
    return refuse('out-of-range', 'A shelf life is a whole number of days.', ['shelfLifeDays'], {
      shelfLifeDays,
    });
  }
  return ok(offer);
}
