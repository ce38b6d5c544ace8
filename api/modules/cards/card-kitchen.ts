import {
  ALLERGEN_NOTICE,
  allergenStatement,
  type AllergenPresence,
  type AllergenRegime,
} from '../../core/allergens/index.ts';
import { itemCost, type PriceBook } from '../../core/cost/index.ts';
import { Decimal, roundMoney, type Money } from '../../core/money/index.ts';
import type { Kitchen } from '../dishes/index.ts';
import { orRefuse } from '../platform/index.ts';
import type { Site } from '../sites/index.ts';

interface CardPresence {
  readonly code: string;
  readonly label: string;
  readonly kind: string | null;
}

/** What a recipe contains and may contain. Never 'free from'. */
export interface CardAllergens {
  readonly rules: AllergenRegime;
  readonly status: 'declared' | 'not-declared';
  readonly contains: readonly CardPresence[];
  readonly mayContain: readonly CardPresence[];
  /** Names of the ingredients nobody has declared. */
  readonly notDeclared: readonly string[];
  readonly notice: string;
}

export function allergensOf(
  kitchen: Kitchen,
  itemId: string,
  rules: AllergenRegime,
): CardAllergens {
  const { graph, declarations, massPerBaseUnit } = kitchen;
  const found = orRefuse(
    allergenStatement(graph, declarations, itemId, rules, { massPerBaseUnit }),
  );
  const told = ({ code, label, kind }: AllergenPresence): CardPresence => ({ code, label, kind });
  const undeclared = found.notDeclared.map(
    ({ ingredientId }) => graph.items.get(ingredientId)?.name ?? ingredientId,
  );
  return {
    rules,
    status: found.status,
    contains: found.contains.map(told),
    mayContain: found.mayContain.map(told),
    notDeclared: [...new Set(undeclared)],
    notice: ALLERGEN_NOTICE,
  };
}

/** What everything made costs before tax. Incomplete is said, never zero. */
export interface CardCost {
  readonly status: 'complete' | 'incomplete';
  readonly cost: Money | null;
  readonly knownCost: Money;
  /** Of 100 g, 100 ml or one piece. Null while a price is missing. */
  readonly perUnit: { readonly quantity: number; readonly cost: Money } | null;
  readonly missing: readonly { readonly name: string; readonly reason: string }[];
}

const PER_WEIGHED = 100;

/** @param quantity in the item's base unit */
export function costOf(
  kitchen: Kitchen,
  book: PriceBook,
  site: Pick<Site, 'currency'>,
  itemId: string,
  quantity: number,
): CardCost {
  const costing = orRefuse(
    itemCost(kitchen.graph, book, {
      itemId,
      quantity,
      date: kitchen.date,
      currency: site.currency,
      pieces: kitchen.pieces,
    }),
  );
  const unit = kitchen.graph.items.get(itemId)?.baseUnit === 'each' ? 1 : PER_WEIGHED;
  return {
    status: costing.status,
    cost: costing.cost && roundMoney(costing.cost),
    knownCost: roundMoney(costing.knownCost),
    perUnit: costing.cost && {
      quantity: unit,
      cost: roundMoney({
        amount: new Decimal(costing.cost.amount).times(unit).div(quantity).toString(),
        currency: site.currency,
      }),
    },
    missing: costing.missing.map(({ name, reason }) => ({ name, reason })),
  };
}
