import { availabilityFor } from '../../core/ordering/index.ts';
import type { PackShortfall } from '../../core/ordering/index.ts';
import { dishesBehind } from '../../core/planning/index.ts';
import { orRefuse } from '../platform/index.ts';
import { keepsDays, siteAvailability } from '../supply-terms/index.ts';

import type { OrderShortfall } from './orders.ports.ts';
import type { BuyNeed, ProposalInput } from './proposal.ts';

/** Part of a need that may be there and yet make nothing: crumbs of arithmetic. */
const CRUMB_FRACTION = 1e-6;

/** What cannot be bought, with the reason in words, whether anything of it is there, and the dishes. */
export function shortfallsOf(
  input: ProposalInput,
  shortfalls: readonly PackShortfall[],
  needs: ReadonlyMap<string, BuyNeed>,
  today: string,
): OrderShortfall[] {
  const dishesOf = dishesBehind(input.planGraph);
  const byPlace = new Map<string, BuyNeed[]>();
  for (const need of needs.values()) {
    const own = byPlace.get(placeOf(need.row));
    if (own) own.push(need);
    else byPlace.set(placeOf(need.row), [need]);
  }
  return shortfalls.map((short) => {
    const own = byPlace.get(placeOf(short)) ?? [];
    const wanted = own.reduce((sum, { row, safety }) => sum + row.quantity + safety, 0);
    return {
      ...shortfallOf(input, short, today),
      whole: short.quantityBase >= wanted * (1 - CRUMB_FRACTION),
      dishes: dishesOf(own.map(({ row }) => row.node)),
    };
  });
}

const placeOf = (need: {
  readonly siteId: string;
  readonly ingredientId: string;
  readonly needDate: string;
}): string => `${need.siteId}|${need.ingredientId}|${need.needDate}`;

/**
 * A need that cannot be bought, with the reason in words. Where the ingredient itself cannot be had by
 * then (season, withdrawn, out of stock at everybody), that is said before cutoffs and deliveries.
 */
function shortfallOf(
  input: ProposalInput,
  short: PackShortfall,
  today: string,
): Omit<OrderShortfall, 'whole' | 'dishes'> {
  const { site, book } = input;
  const { siteId, ingredientId, needDate, quantityBase, certainBase } = short;
  const name = book.ingredients.get(ingredientId)?.name ?? ingredientId;
  const next = short.nextDelivery?.usableFromDate ?? null;
  const common = {
    siteId,
    ingredientId,
    quantity: quantityBase,
    certain: certainBase,
    needDate,
    nextFrom: next,
  };
  const lacking = short.reason === 'not-enough' ? null : whyNotHad(input, short, today);
  if (lacking !== null) return { ...common, reason: 'not-available', message: lacking };
  const MESSAGES: Readonly<Record<PackShortfall['reason'], string>> = {
    'no-offer': `Nobody who delivers to ${site.name} sells ${name}.`,
    'past-cutoff': `${name} for ${needDate} can no longer be delivered in time; the next delivery can be used from ${next ?? 'no date in sight'}.`,
    'no-delivery': `${name} for ${needDate} can no longer be delivered in time, and no delivery follows.`,
    'out-of-date': `${name} for ${needDate}: everything that could come would be past its date by then.`,
    'not-enough': `${name} for ${needDate}: the suppliers cannot give more.`,
  };
  const reason = short.reason === 'no-offer' ? 'no-pack' : short.reason;
  return { ...common, reason, message: MESSAGES[short.reason] };
}

/** Why the ingredient cannot be had for the date at all; null where that is not the matter. */
function whyNotHad(
  { site, book }: ProposalInput,
  { ingredientId, needDate }: PackShortfall,
  today: string,
): string | null {
  const ingredient = book.ingredients.get(ingredientId);
  if (!ingredient || needDate < today) return null;
  const packs = [...book.packs.values()].filter(
    (pack) =>
      pack.ingredientId === ingredientId &&
      book.suppliers.get(pack.supplierId)?.siteIds.includes(site.id) === true &&
      book.suppliers.get(pack.supplierId)?.archived === false,
  );
  const days = { from: today, to: needDate };
  const availability = {
    ...siteAvailability(ingredient, packs, book.gaps, days),
    keepsDays: Math.max(0, ...packs.map((pack) => keepsDays(pack, ingredient))),
  };
  const { name, withdrawn } = ingredient;
  switch (orRefuse(availabilityFor(availability, needDate, today))) {
    case 'withdrawn':
      return `${name} is withdrawn from ${withdrawn?.from ?? needDate}: it is not bought any more.`;
    case 'out-of-season':
      return `${name} for ${needDate} is out of season: what is bought before would not keep.`;
    case 'out-of-stock':
      return `${name} is out of stock at everybody who delivers to ${site.name}.`;
    case 'available':
      return null;
  }
}
