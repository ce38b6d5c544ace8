import type { ServiceDate } from '../calendar/index.ts';
import type { Money } from '../money/index.ts';
import { Decimal, isCurrencyCode } from '../money/index.ts';
import type { PartsSpec } from '../parts/index.ts';
import { checkPartsSpec } from '../parts/index.ts';
import type { Item, RecipeGraph } from '../recipe-graph/index.ts';
import type { CoreError } from '../shared/errors.ts';
import { coreError } from '../shared/errors.ts';
import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';
import { drawFor } from './draw.ts';
import type { PriceBasis, PriceBook, UnknownPrice } from './price-book.ts';
import { itemPrice } from './price-book.ts';

export interface CostQuestion {
  readonly itemId: string;
  /** Base units: 1 for a portion of a dish. */
  readonly quantity: number;
  readonly date: ServiceDate;
  /** The site's currency. */
  readonly currency: string;
  /** How bought pieces are taken apart. */
  readonly pieces?: readonly PartsSpec[];
  /** Part of an item that is made or bought and thrown away, in [0, 1); 0 when absent. */
  readonly wasteFractions?: ReadonlyMap<string, number>;
}

/** What one ingredient adds to the cost. */
export interface CostDriver {
  readonly itemId: string;
  readonly name: string;
  readonly baseUnit: Item['baseUnit'];
  /** As purchased, base units. */
  readonly quantity: number;
  /** Money per base unit. */
  readonly unitPrice: Money;
  readonly cost: Money;
  /** Part of the known cost. */
  readonly shareFraction: number;
  /** Null for what is known to be free. */
  readonly basis: PriceBasis | null;
}

export interface MissingPrice {
  readonly itemId: string;
  readonly name: string;
  readonly quantity: number;
  readonly reason: UnknownPrice;
}

/** A cost before tax. Amounts keep every digit; round them where they leave (`roundMoney`). */
export interface Costing {
  readonly itemId: string;
  readonly quantity: number;
  readonly date: ServiceDate;
  readonly currency: string;
  readonly status: 'complete' | 'incomplete';
  /** Null while a price is missing: an incomplete cost is not a cost. */
  readonly cost: Money | null;
  /** What the known prices add up to: the cost is at least this. */
  readonly knownCost: Money;
  readonly missing: readonly MissingPrice[];
  /** Dearest first. */
  readonly drivers: readonly CostDriver[];
  /** By-products used; the recipe that gives them carries their cost. */
  readonly byProductItemIds: readonly string[];
}

/**
 * Cost of an item through its recipes at a date, in decimals: as-purchased quantity of each
 * ingredient (trim, cooking and waste put back) times its price per base unit.
 *
 * @returns ok: the cost, or 'incomplete' with the ingredients whose price is missing;
 *          errors `missing-component` for an unknown item, `out-of-range` for a quantity below zero
 *          or a waste fraction outside [0, 1), `invalid-code` for a currency that is none, and
 *          those of `itemPrice` and `checkPartsSpec`
 *
 * Source: AP cost method, as taught in kitchen mathematics: AP quantity = EP quantity ÷ yield,
 * cost = AP quantity × AP price.
 */
export function itemCost(
  graph: RecipeGraph,
  book: PriceBook,
  question: CostQuestion,
): Result<Costing> {
  const { itemId, quantity, date, currency } = question;
  const fault = questionFault(graph, question);
  if (fault !== undefined) return err(fault);
  const pieces = question.pieces ?? [];
  for (const spec of pieces) {
    const checked = checkPartsSpec(spec);
    if (!checked.ok) return checked;
  }
  const draw = drawFor(graph, itemId, quantity, {
    pieces,
    wasteFractions: question.wasteFractions ?? new Map(),
  });
  const priced: { item: Item; amount: Decimal; price: Decimal; basis: PriceBasis | null }[] = [];
  const missing: MissingPrice[] = [];
  for (const [id, amount] of draw.ingredients) {
    const item = graph.items.get(id);
    if (item === undefined) {
      return err(
        coreError('missing-ingredient', `${id} is not among the ingredients.`, {
          detail: { itemId: id },
        }),
      );
    }
    const price = itemPrice(book, id, date, currency);
    if (!price.ok) return price;
    if (price.value.kind === 'unknown') {
      const { reason } = price.value;
      missing.push({ itemId: id, name: item.name, quantity: amount.toNumber(), reason });
    } else if (price.value.kind === 'free') {
      priced.push({ item, amount, price: new Decimal(0), basis: null });
    } else {
      priced.push({ item, amount, price: price.value.perBaseUnit, basis: price.value.basis });
    }
  }
  const inCurrency = (amount: Decimal): Money => ({ amount: amount.toString(), currency });
  const dearestFirst = priced
    .map((p) => ({ ...p, cost: p.amount.times(p.price) }))
    .sort((a, b) => b.cost.comparedTo(a.cost) || (a.item.id < b.item.id ? -1 : 1));
  const known = dearestFirst.reduce((sum, p) => sum.plus(p.cost), new Decimal(0));
  const drivers = dearestFirst.map(({ item, amount, price, basis, cost }): CostDriver => ({
    itemId: item.id,
    name: item.name,
    baseUnit: item.baseUnit,
    quantity: amount.toNumber(),
    unitPrice: inCurrency(price),
    cost: inCurrency(cost),
    shareFraction: known.isZero() ? 0 : cost.div(known).toNumber(),
    basis,
  }));
  return ok({
    itemId,
    quantity,
    date,
    currency,
    status: missing.length > 0 ? 'incomplete' : 'complete',
    cost: missing.length > 0 ? null : inCurrency(known),
    knownCost: inCurrency(known),
    missing,
    drivers,
    byProductItemIds: draw.byProducts,
  });
}

function questionFault(graph: RecipeGraph, question: CostQuestion): CoreError | undefined {
  const { itemId, quantity, currency } = question;
  if (!graph.items.has(itemId)) {
    return coreError('missing-component', `${itemId} is not among the recipes.`, {
      path: ['itemId'],
      detail: { itemId },
    });
  }
  if (!(quantity >= 0 && Number.isFinite(quantity))) {
    return coreError('out-of-range', 'A cost is worked out for a quantity of zero or more.', {
      path: ['quantity'],
      detail: { quantity },
    });
  }
  if (!isCurrencyCode(currency)) {
    return coreError('invalid-code', `"${currency}" is not a currency code such as EUR.`, {
      path: ['currency'],
      detail: { currency },
    });
  }
  for (const [id, waste] of question.wasteFractions ?? []) {
    if (waste >= 0 && waste < 1) continue;
    return coreError('out-of-range', 'The part thrown away lies between 0 and 1.', {
      path: ['wasteFractions', id],
      detail: { waste },
    });
  }
  return undefined;
}
