import { Decimal as BaseDecimal } from 'decimal.js';
import { coreError } from '../shared/errors.ts';
import { err, ok, type Result } from '../shared/result.ts';
import { isCurrencyCode, minorDigits } from './currency.ts';

/**
 * Decimal numbers with 40 significant digits and no exponent in their text: wide enough that
 * sums of order lines are exact.
 */
export const Decimal = BaseDecimal.clone({ precision: 40, toExpNeg: -40, toExpPos: 40 });
export type Decimal = BaseDecimal;

/**
 * An amount of money. `amount` is a plain decimal text ("12.40", "-3"), never a float; it keeps
 * every digit until `roundMoney` is called. `currency` is an ISO 4217 code.
 */
export interface Money {
  readonly amount: string;
  readonly currency: string;
}

const PLAIN_DECIMAL = /^-?\d{1,18}(\.\d{1,18})?$/;

/** True for a plain decimal text: optional minus, digits, optional point and digits. */
export function isDecimalText(text: string): boolean {
  return PLAIN_DECIMAL.test(text);
}

/**
 * Checks and builds an amount of money.
 *
 * @returns error `unreadable-amount` when the text is not a plain decimal,
 *          error `invalid-code` when the currency is not an ISO 4217 code in use
 */
export function money(amount: string, currency: string): Result<Money> {
  if (!isDecimalText(amount)) {
    return err(
      coreError('unreadable-amount', `"${amount}" is not an amount of money such as 12.40.`, {
        path: ['amount'],
        detail: { amount },
      }),
    );
  }
  if (!isCurrencyCode(currency)) {
    return err(
      coreError('invalid-code', `"${currency}" is not a currency code such as EUR.`, {
        path: ['currency'],
        detail: { currency },
      }),
    );
  }
  return ok({ amount, currency });
}

/** Nothing, in the given currency. */
export function zeroMoney(currency: string): Money {
  return { amount: '0', currency };
}

function mismatch(a: Money, b: Money): Result<never> {
  return err(
    coreError('currency-mismatch', `${a.currency} and ${b.currency} cannot be put together.`, {
      detail: { first: a.currency, second: b.currency },
    }),
  );
}

/** Exact sum. Error `currency-mismatch` for two currencies. */
export function addMoney(a: Money, b: Money): Result<Money> {
  if (a.currency !== b.currency) return mismatch(a, b);
  return ok({ amount: new Decimal(a.amount).plus(b.amount).toString(), currency: a.currency });
}

/** Exact difference a - b. Error `currency-mismatch` for two currencies. */
export function subtractMoney(a: Money, b: Money): Result<Money> {
  if (a.currency !== b.currency) return mismatch(a, b);
  return ok({ amount: new Decimal(a.amount).minus(b.amount).toString(), currency: a.currency });
}

/** Exact sum of a list, zero of `currency` for none. Error `currency-mismatch` for a stranger. */
export function sumMoney(amounts: Iterable<Money>, currency: string): Result<Money> {
  let total: Money = zeroMoney(currency);
  for (const amount of amounts) {
    const next = addMoney(total, amount);
    if (!next.ok) return next;
    total = next.value;
  }
  return ok(total);
}

/** Exact product with a factor (decimal text or finite number); throws on a factor that is none. */
export function multiplyMoney(a: Money, factor: string | number | Decimal): Money {
  const product = new Decimal(a.amount).times(factor);
  if (!product.isFinite()) throw new RangeError(`Money cannot be multiplied by ${String(factor)}`);
  return { amount: product.toString(), currency: a.currency };
}

/** -1, 0 or 1 as a is less than, equal to or more than b. Error `currency-mismatch`. */
export function compareMoney(a: Money, b: Money): Result<-1 | 0 | 1> {
  if (a.currency !== b.currency) return mismatch(a, b);
  const order = new Decimal(a.amount).comparedTo(b.amount);
  return ok(order < 0 ? -1 : order > 0 ? 1 : 0);
}

/**
 * The one place where money is rounded: to the currency's smallest unit, halves to the even
 * digit, always written with that many digits ("12.40"). Call it where an amount leaves the
 * service (an invoice total, a printed price), never in between.
 *
 * Unknown currencies keep two digits, because the code was checked before it came here.
 */
export function roundMoney(a: Money): Money {
  const digits = minorDigits(a.currency) ?? 2;
  return {
    amount: new Decimal(a.amount).toFixed(digits, Decimal.ROUND_HALF_EVEN),
    currency: a.currency,
  };
}
