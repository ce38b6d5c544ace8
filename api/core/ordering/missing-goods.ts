import type { ServiceDate } from '../calendar/index.ts';

/** A dated need, or the part of it, that cannot be bought. Base units. */
export interface MissingNeed {
  readonly siteId: string;
  readonly ingredientId: string;
  readonly needDate: ServiceDate;
  readonly quantity: number;
  readonly certain: number;
  /** True when nothing of that day's need is there: what needs it cannot be made at all. */
  readonly whole: boolean;
  readonly dishes: readonly { readonly id: string; readonly name: string }[];
}

/** What is missing of one ingredient: its needs by date, and the dishes they stop. */
export interface MissingGoods<Need extends MissingNeed> {
  readonly ingredientId: string;
  readonly quantity: number;
  readonly certain: number;
  readonly firstDate: ServiceDate;
  readonly lastDate: ServiceDate;
  /** True when nothing is there for the first date. */
  readonly whole: boolean;
  readonly dishes: readonly { readonly id: string; readonly name: string }[];
  readonly needs: readonly Need[];
}

const compare = <T extends string | number>(a: T, b: T): number => (a < b ? -1 : a > b ? 1 : 0);

/**
 * Puts what is missing together by ingredient, the worst first: the soonest date, then those of
 * which nothing is there for it, then those that stop more dishes. Needs stand by date and site.
 */
export function missingGoods<Need extends MissingNeed>(
  missing: readonly Need[],
): MissingGoods<Need>[] {
  const byIngredient = new Map<string, Need[]>();
  for (const need of missing) {
    const known = byIngredient.get(need.ingredientId);
    if (known) known.push(need);
    else byIngredient.set(need.ingredientId, [need]);
  }
  const goods = [...byIngredient].map(([ingredientId, own]): MissingGoods<Need> => {
    const needs = [...own].sort(
      (a, b) => compare(a.needDate, b.needDate) || compare(a.siteId, b.siteId),
    );
    const firstDate = needs[0]?.needDate ?? '';
    const dishes = new Map(needs.flatMap((need) => need.dishes.map((dish) => [dish.id, dish])));
    return {
      ingredientId,
      quantity: needs.reduce((sum, need) => sum + need.quantity, 0),
      certain: needs.reduce((sum, need) => sum + need.certain, 0),
      firstDate,
      lastDate: needs.at(-1)?.needDate ?? firstDate,
      whole: needs.some((need) => need.needDate === firstDate && need.whole),
      dishes: [...dishes.values()].sort((a, b) => compare(a.name, b.name)),
      needs,
    };
  });
  return goods.sort(
    (a, b) =>
      compare(a.firstDate, b.firstDate) ||
      Number(b.whole) - Number(a.whole) ||
      b.dishes.length - a.dishes.length ||
      compare(a.ingredientId, b.ingredientId),
  );
}
