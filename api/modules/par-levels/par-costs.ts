import { itemCost } from '../../core/cost/index.ts';
import type { Money } from '../../core/money/index.ts';
import {
  Decimal,
  addMoney,
  multiplyMoney,
  subtractMoney,
  zeroMoney,
} from '../../core/money/index.ts';
import type { PortionCosts } from '../../core/par/index.ts';
import { unwrap } from '../../core/shared/index.ts';
import { portionCost } from '../dishes/index.ts';
import type { ParBasis } from './par-basis.ts';
import type { ItemUse } from './par-demand.ts';

/** What running out and throwing away cost, or why it cannot be said. */
export type CostsFound =
  | { readonly costs: PortionCosts; readonly from: readonly DishMoney[] }
  | { readonly missing: string };

/** Price and cost of a portion of one dish. */
export interface DishMoney {
  readonly dishId: string;
  readonly price: Money;
  readonly cost: Money;
  readonly margin: Money;
}

/** Net price, plate cost and margin of a dish on today's menus; a text where one is not known. */
export function dishMoney(basis: ParBasis, dishId: string): DishMoney | string {
  const { kitchen, book, site } = basis;
  const name = kitchen.graph.items.get(dishId)?.name ?? dishId;
  const line = basis.sittings
    .flatMap((sitting) => sitting.dishes)
    .find((dish) => dish.line.dishId === dishId)?.line;
  if (!line) return `${name} is on no menu in this time.`;
  if (!kitchen.graph.recipes.has(dishId)) return `${name} has no published recipe.`;
  const costing = portionCost(kitchen, book, site, dishId);
  if (costing.cost === null) {
    const names = costing.missing.map((item) => item.name).join(', ');
    return `No price yet for ${names}, so the cost of ${name} is not complete.`;
  }
  const price = { amount: line.netPrice, currency: site.currency };
  const margin = unwrap(subtractMoney(price, costing.cost));
  if (!new Decimal(margin.amount).gt(0)) return `${name} earns nothing at its price.`;
  return { dishId, price, cost: costing.cost, margin };
}

/**
 * Cost of being a portion short (the margin of the dishes that would have been sold) and of throwing
 * one away (what it cost to make). Of a component that several dishes use, the mean over them by the
 * portions expected, and the cost of the component itself in a portion of the mean size.
 */
export function parCosts(
  basis: ParBasis,
  itemId: string,
  portionSize: number,
  uses: readonly ItemUse[],
): CostsFound {
  const { kitchen, book, site } = basis;
  const from: DishMoney[] = [];
  let [short, weight] = [zeroMoney(site.currency), 0];
  for (const use of uses) {
    const found = dishMoney(basis, use.dishId);
    if (typeof found === 'string') return { missing: found };
    const portions = basis.sittings
      .flatMap((s) =>
        s.dishes.flatMap((d) => (d.line.dishId === use.dishId ? [basis.portions(s, d).mean] : [])),
      )
      .reduce((a, mean) => a + mean, 0);
    short = unwrap(addMoney(short, multiplyMoney(found.margin, portions)));
    weight += portions;
    from.push(found);
  }
  if (!(weight > 0)) return { missing: 'Nobody is expected to order it in this time.' };
  short = multiplyMoney(short, new Decimal(1).div(weight));
  const own = from.find((dish) => dish.dishId === itemId);
  if (own) return { costs: { short: own.margin, waste: own.cost }, from };
  const cost = unwrap(
    itemCost(kitchen.graph, book, {
      itemId,
      quantity: portionSize,
      date: kitchen.date,
      currency: site.currency,
      pieces: kitchen.pieces,
    }),
  );
  if (cost.cost === null) {
    return { missing: `No price yet for ${cost.missing.map((item) => item.name).join(', ')}.` };
  }
  return { costs: { short, waste: cost.cost }, from };
}
