import type { ServiceDate } from '../calendar/index.ts';

/** A price of one pack from a date on, where at least `minPacks` (1 when absent) are bought at once. */
interface DatedPrice {
  readonly validFrom: ServiceDate;
  readonly minPacks?: number;
}

const leastOf = (price: DatedPrice): number => price.minPacks ?? 1;

/**
 * The prices of a pack in force on a date, ascending by the packs they start at. A price for the
 * fewest packs begins a list of its own and ends the breaks before it, because a supplier's new list
 * says all its breaks; a break entered alone joins the list that stands.
 *
 * Source: common practice, no source.
 */
export function pricesInForce<P extends DatedPrice>(
  prices: readonly P[],
  date: ServiceDate,
): readonly P[] {
  const begun = prices
    .filter((price) => price.validFrom <= date)
    .sort((a, b) => a.validFrom.localeCompare(b.validFrom));
  const fewest = Math.min(...begun.map(leastOf));
  const list = begun.findLast((price) => leastOf(price) === fewest);
  const byLeast = new Map<number, P>();
  for (const price of begun) {
    if (list && price.validFrom >= list.validFrom) byLeast.set(leastOf(price), price);
  }
  return [...byLeast.values()].sort((a, b) => leastOf(a) - leastOf(b));
}
