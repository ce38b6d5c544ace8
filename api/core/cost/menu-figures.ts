import type { Money } from '../money/index.ts';
import { Decimal, isDecimalText } from '../money/index.ts';
import type { CoreError } from '../shared/errors.ts';
import { coreError } from '../shared/errors.ts';
import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';
import type { Costing } from './item-cost.ts';

/** What a dish earns at a price. Fractions of the net price; money keeps every digit. */
export interface MenuFigures {
  readonly netPrice: Money;
  readonly status: 'complete' | 'incomplete';
  /** Cost ÷ net price; null while the cost is incomplete. */
  readonly foodCostFraction: number | null;
  /** What the known part of the cost comes to: the fraction is at least this. */
  readonly knownFoodCostFraction: number;
  /** Net price − cost; null while the cost is incomplete. */
  readonly margin: Money | null;
  /** Margin is at most this. */
  readonly marginAtMost: Money;
  /** False where the food cost is above the target, null where that cannot be said. */
  readonly withinTarget: boolean | null;
}

/**
 * A selling price without its tax: gross ÷ (1 + rate), every digit kept.
 * @param taxRate decimal text, a fraction: '0.10' for 10 %
 * Errors: `unreadable-amount` or `out-of-range` for a rate outside [0, 1].
 */
export function netOfTax(gross: Money, taxRate: string): Result<Money> {
  const rate = readFraction(taxRate, ['taxRate']);
  if (!rate.ok) return rate;
  const net = new Decimal(gross.amount).div(rate.value.plus(1));
  return ok({ amount: net.toString(), currency: gross.currency });
}

/**
 * Food-cost percentage (as a fraction) and margin of one portion at a net price.
 *
 * @param targetFraction the food cost aimed at, decimal text; withinTarget is null without it
 * @returns errors `currency-mismatch` where cost and price are in two currencies, `out-of-range`
 *          for a price of zero or less or a costing of more or less than one portion
 *
 * Source: food-cost percentage = portion cost ÷ menu price (kitchen mathematics), here before tax.
 */
export function menuFigures(
  costing: Costing,
  netPrice: Money,
  targetFraction?: string,
): Result<MenuFigures> {
  if (costing.currency !== netPrice.currency) {
    return err(
      coreError('currency-mismatch', 'The cost and the price are in two currencies.', {
        detail: { cost: costing.currency, price: netPrice.currency },
      }),
    );
  }
  const price = new Decimal(netPrice.amount);
  if (!price.gt(0)) return err(outOfRange('A price must be above zero.', 'netPrice', netPrice));
  if (costing.quantity !== 1) {
    return err(outOfRange('Menu figures are for one portion.', 'quantity', costing.quantity));
  }
  const known = new Decimal(costing.knownCost.amount);
  const complete = costing.cost !== null;
  const fraction = known.div(price);
  const rest: Money = { amount: price.minus(known).toString(), currency: netPrice.currency };
  let withinTarget: boolean | null = null;
  if (targetFraction !== undefined) {
    const target = readFraction(targetFraction, ['targetFraction']);
    if (!target.ok) return target;
    // What is known may be over the target already, whatever is still missing.
    if (complete || fraction.gt(target.value)) withinTarget = fraction.lte(target.value);
  }
  return ok({
    netPrice,
    status: costing.status,
    foodCostFraction: complete ? fraction.toNumber() : null,
    knownFoodCostFraction: fraction.toNumber(),
    margin: complete ? rest : null,
    marginAtMost: rest,
    withinTarget,
  });
}

/**
 * The price at which a cost is the target part of the net price: cost ÷ target, and with tax.
 * Errors: `out-of-range` for a target of zero, `missing-data` for an incomplete cost.
 */
export function priceForTarget(
  costing: Costing,
  targetFraction: string,
  taxRate: string,
): Result<{ readonly net: Money; readonly gross: Money }> {
  if (costing.cost === null) {
    const names = costing.missing.map((item) => item.name);
    return err(
      coreError('missing-data', `No price yet for ${names.join(', ')}.`, { detail: { names } }),
    );
  }
  const target = readFraction(targetFraction, ['targetFraction']);
  if (!target.ok) return target;
  const tax = readFraction(taxRate, ['taxRate']);
  if (!tax.ok) return tax;
  if (target.value.isZero()) {
    return err(outOfRange('A target must be above zero.', 'targetFraction', targetFraction));
  }
  const net = new Decimal(costing.cost.amount).div(target.value);
  const { currency } = costing;
  return ok({
    net: { amount: net.toString(), currency },
    gross: { amount: net.times(tax.value.plus(1)).toString(), currency },
  });
}

function readFraction(text: string, path: readonly string[]): Result<Decimal> {
  if (!isDecimalText(text)) {
    return err(
      coreError('unreadable-amount', `"${text}" is not a fraction such as 0.10.`, {
        path,
        detail: { text },
      }),
    );
  }
  const value = new Decimal(text);
  if (value.isNegative() || value.gt(1)) {
    return err(
      coreError('out-of-range', 'The fraction lies between 0 and 1.', { path, detail: { text } }),
    );
  }
  return ok(value);
}

function outOfRange(message: string, name: string, value: unknown): CoreError {
  return coreError('out-of-range', message, { path: [name], detail: { value } });
}
