import type { ServiceDate } from '../calendar/index.ts';
import type { SupplyContract } from './pack-offer.ts';

const RANK = { ingredient: 0, category: 1, all: 2 } as const;

const rankOf = (contract: SupplyContract): number =>
  contract.ingredientId === undefined
    ? RANK.all
    : contract.byCategory
      ? RANK.category
      : RANK.ingredient;

/**
 * The contracts that bind a site for an ingredient on a delivery date: those that name it; where
 * none does, those of its category; else those for everything. None: the site buys where it likes.
 */
export function bindingContracts<C extends SupplyContract>(
  contracts: readonly C[],
  siteId: string,
  ingredientId: string,
  date: ServiceDate,
): readonly C[] {
  const inForce = contracts.filter(
    (contract) =>
      contract.siteId === siteId &&
      (contract.ingredientId ?? ingredientId) === ingredientId &&
      (contract.fromDate ?? date) <= date &&
      date <= (contract.toDate ?? date),
  );
  const nearest = Math.min(...inForce.map(rankOf));
  return inForce.filter((contract) => rankOf(contract) === nearest);
}
