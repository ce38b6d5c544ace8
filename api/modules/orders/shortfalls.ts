import { availabilityFor } from '../../core/ordering/index.ts';
import type { PackShortfall } from '../../core/ordering/index.ts';
import { orRefuse } from '../platform/index.ts';
import { keepsDays, siteAvailability } from '../supply-terms/index.ts';

import type { OrderShortfall } from './orders.ports.ts';
import type { ProposalInput } from './proposal.ts';

/**
 * A need that cannot be bought, with the reason in words. Where the ingredient itself cannot be had by
 * then (season, withdrawn, out of stock at everybody), that is said before cutoffs and deliveries.
 */
export function shortfallOf(
  input: ProposalInput,
  short: PackShortfall,
  today: string,
): OrderShortfall {
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
