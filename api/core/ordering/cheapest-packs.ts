import { Decimal } from 'decimal.js';

/** A pack of one ingredient on offer for one delivery, with its price by number of packs. */
export interface PackChoice {
  readonly id: string;
  /** Base units in one pack; > 0. */
  readonly quantityBase: number;
  /** Fewest packs sold at once; at least 1. */
  readonly minPacks: number;
  /** Price of one pack from so many packs on; one entry from 1 pack on. Decimal text. */
  readonly prices: readonly { readonly minPacks: number; readonly amount: string }[];
}

export interface ChosenPacks {
  readonly packs: readonly {
    readonly id: string;
    readonly packs: number;
    /** Price of one pack at that number, decimal text. */
    readonly unitPrice: string;
  }[];
  readonly cost: string;
  readonly quantityBase: number;
}

/** Quantities closer than this part of a need are the same: binary arithmetic leaves crumbs. */
const SLACK = 1e-9;

/** @returns the price of one pack when `packs` are ordered; null where none is known */
export function unitPriceFor(choice: PackChoice, packs: number): string | null {
  const reached = choice.prices
    .filter((price) => price.minPacks <= packs)
    .reduce<PackChoice['prices'][number] | null>(
      (best, price) => (best === null || price.minPacks > best.minPacks ? price : best),
      null,
    );
  return reached?.amount ?? null;
}

/**
 * The cheapest whole packs that hold at least `need`, over every number of each pack; of two at one
 * cost the one with less left over. Exact: every pack is tried from none up to what would cover the
 * need alone, or its next price break, and branches dearer than the best found are cut.
 *
 * @param need base units, ≥ 0
 * @returns null where nothing on offer has a price
 * Source: bounded (unbounded-knapsack) covering problem by branch and bound.
 */
export function cheapestPacks(need: number, choices: readonly PackChoice[]): ChosenPacks | null {
  if (need <= 0) return { packs: [], cost: '0', quantityBase: 0 };
  const offers = choices
    .filter((choice) => unitPriceFor(choice, Math.max(1, choice.minPacks)) !== null)
    .sort((a, b) => b.quantityBase - a.quantityBase);
  if (offers.length === 0) return null;
  const enough = need * (1 - SLACK);
  let best: { cost: Decimal; held: number; counts: number[] } | null = null;

  const search = (index: number, held: number, cost: Decimal, counts: number[]): void => {
    if (best !== null && cost.gt(best.cost)) return;
    if (held >= enough) {
      const better =
        best === null || cost.lt(best.cost) || (cost.eq(best.cost) && held < best.held);
      if (better) best = { cost, held, counts: [...counts] };
      // More packs can only be cheaper by a price break, which the counts above have tried.
      return;
    }
    const offer = offers[index];
    if (offer === undefined) return;
    for (const count of countsOf(offer, need - held)) {
      const price = count === 0 ? '0' : unitPriceFor(offer, count);
      if (price === null) continue;
      counts[index] = count;
      search(
        index + 1,
        held + count * offer.quantityBase,
        cost.plus(new Decimal(price).times(count)),
        counts,
      );
    }
    counts[index] = 0;
  };
  search(
    0,
    0,
    new Decimal(0),
    offers.map(() => 0),
  );

  const found = best as { cost: Decimal; held: number; counts: number[] } | null;
  if (found === null) return null;
  return {
    packs: offers.flatMap((offer, i) => {
      const packs = found.counts[i] ?? 0;
      const unitPrice = packs > 0 ? unitPriceFor(offer, packs) : null;
      return unitPrice === null ? [] : [{ id: offer.id, packs, unitPrice }];
    }),
    cost: found.cost.toFixed(),
    quantityBase: found.held,
  };
}

/** Numbers of a pack worth trying: none, each from the minimum to what covers the rest, and the breaks. */
function countsOf(offer: PackChoice, open: number): readonly number[] {
  const alone = Math.max(offer.minPacks, Math.ceil((open / offer.quantityBase) * (1 - SLACK)));
  const counts = new Set<number>([0]);
  for (let count = Math.max(1, offer.minPacks); count <= alone; count += 1) counts.add(count);
  for (const price of offer.prices) if (price.minPacks > alone) counts.add(price.minPacks);
  return [...counts].sort((a, b) => b - a);
}
