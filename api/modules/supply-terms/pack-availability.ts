import { addDays } from '../../core/calendar/index.ts';
import { availableStretches } from '../../core/ordering/index.ts';
import type { Availability, SupplyContract } from '../../core/ordering/index.ts';
import type { Ingredient } from '../ingredients/index.ts';
import { orRefuse } from '../platform/index.ts';
import type { Pack } from '../suppliers/index.ts';
import type { Contract, SupplyGap } from './supply-terms.ports.ts';

/** Before every date there is. */
const EVER = '0000-01-01';

/** Whether a gap is about a pack. */
const concerns = (gap: SupplyGap, pack: Pick<Pack, 'id' | 'supplierId' | 'ingredientId'>) =>
  gap.supplierId === pack.supplierId &&
  (gap.packId === null || gap.packId === pack.id) &&
  (gap.ingredientId === null || gap.ingredientId === pack.ingredientId);

/** When the ingredient itself can be had: its season, and until it was given up. */
export function ingredientAvailability(
  ingredient: Pick<Ingredient, 'id' | 'seasonMonths' | 'withdrawn'>,
): Availability {
  return {
    ingredientId: ingredient.id,
    ...(ingredient.seasonMonths.length > 0 ? { months: ingredient.seasonMonths } : {}),
    ...(ingredient.withdrawn === null ? {} : { withdrawnFrom: ingredient.withdrawn.from }),
  };
}

/** On which delivery dates a pack can be had: by its ingredient, its own state and the supplier's gaps. */
export function packAvailability(
  pack: Pick<Pack, 'id' | 'supplierId' | 'ingredientId' | 'outOfStock' | 'backOn'>,
  ingredient: Pick<Ingredient, 'id' | 'seasonMonths' | 'withdrawn'>,
  gaps: readonly SupplyGap[],
): Availability {
  const own = gaps.filter((gap) => concerns(gap, pack));
  const missing = pack.outOfStock
    ? [{ fromDate: EVER, ...(pack.backOn === null ? {} : { toDate: addDays(pack.backOn, -1) }) }]
    : [];
  return {
    ...ingredientAvailability(ingredient),
    outOfStock: [
      ...missing,
      ...own.map(({ fromDate, toDate }) => ({
        fromDate,
        ...(toDate === null ? {} : { toDate }),
      })),
    ],
  };
}

/**
 * When an ingredient can be had at a site over the days given: its own season, and out of stock on
 * days on which no pack that is delivered there can be had. Where nobody sells it, its season alone:
 * that nobody sells it is said elsewhere.
 */
export function siteAvailability(
  ingredient: Pick<Ingredient, 'id' | 'seasonMonths' | 'withdrawn'>,
  packs: readonly Pack[],
  gaps: readonly SupplyGap[],
  days: { readonly from: string; readonly to: string },
): Availability {
  const own = ingredientAvailability(ingredient);
  if (packs.length === 0) return own;
  // Season and withdrawal are told as such; here only what suppliers lack counts.
  const unbound = { ...ingredient, seasonMonths: [], withdrawn: null };
  const had = new Set<string>();
  for (const pack of packs) {
    const availability = packAvailability(pack, unbound, gaps);
    for (const stretch of orRefuse(availableStretches(availability, days.from, days.to))) {
      for (let d = stretch.fromDate; d <= stretch.toDate; d = addDays(d, 1)) had.add(d);
    }
  }
  const outOfStock: { fromDate: string; toDate: string }[] = [];
  for (let date = days.from; date <= days.to; date = addDays(date, 1)) {
    if (!had.has(date)) outOfStock.push({ fromDate: date, toDate: date });
  }
  return { ...own, outOfStock };
}

/** Contracts as core/ordering takes them: one of a category becomes one for each of its ingredients. */
export function contractsForChoice(
  contracts: readonly Contract[],
  ingredients: Iterable<Pick<Ingredient, 'id' | 'category'>>,
): readonly (SupplyContract & { readonly id: string })[] {
  const byCategory = new Map<string, string[]>();
  for (const { id, category } of ingredients) {
    if (category !== null) byCategory.set(category, [...(byCategory.get(category) ?? []), id]);
  }
  return contracts.flatMap(({ id, siteId, supplierId, ingredientId, category, ...dates }) => {
    const common = {
      id,
      siteId,
      supplierId,
      fromDate: dates.fromDate,
      ...(dates.toDate === null ? {} : { toDate: dates.toDate }),
    };
    if (category !== null) {
      return (byCategory.get(category) ?? []).map((one) => ({
        ...common,
        ingredientId: one,
        byCategory: true,
      }));
    }
    return [{ ...common, ...(ingredientId === null ? {} : { ingredientId }) }];
  });
}
