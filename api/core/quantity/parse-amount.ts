import { coreError } from '../shared/errors.ts';
import { err, ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';
import { checkAmount } from './convert.ts';
import { MAX_BASE_AMOUNT, checkRange } from './limits.ts';
import { matchAt, readNumber, skipSpaces, startsNumber, unreadable } from './read-number.ts';
import { CONTAINER_WORDS, readUnit } from './read-unit.ts';
import type { ReadUnit } from './read-unit.ts';
import { findUnit } from './units.ts';
import { singularWord } from './words.ts';

/** An amount as read. `unit` is a UCUM code, or a household name when the text used one. */
export interface ParsedAmount {
  readonly value: number;
  readonly unit: string;
  /** For '2 x 400 g tin': `count` 2, `each` 400; `value` is their product. */
  readonly multiple?: {
    readonly count: number;
    readonly each: number;
    readonly container?: string;
  };
  /** What to ask the cook before trusting the figure. */
  readonly caution?: string;
}

/** What is known while reading: the names of the household measures of the ingredient at hand. */
export interface ReadOptions {
  readonly measures?: readonly string[];
}

/** An amount at the head of a line, and what follows it ('flour' of '250 g flour'). */
export interface AmountAndRest {
  readonly amount: ParsedAmount;
  readonly rest: string;
}

const LONGEST_TEXT = 300;
const RANGE = /[-\u2010-\u2015\u2212~]|(?:to|or)(?=\s)/iuy;
const TIMES = /[x×*]/iuy;
const WORD_NUMBER = /(half(?:\s+an?)?|an?|one)(?=\s)/iuy;

/**
 * Reads one amount as cooks write it: '250 g', '1½ tsp', '1 1/2 tsp', '2 x 400 g tin', '3 sheets',
 * '2,5 kg', '1 lb 4 oz', 'a pinch', '3', '180 °C'. No unit means pieces. The grammar:
 *
 *     amount   = single { ["+"] single } | count ("x" | "×" | "*") number unit [container]
 *     single   = number [unit]            number = as in readNumber, or "a", "an", "one", "half (a)"
 *     unit     = UCUM code | unit word | measured household name | usual household word
 *
 * Ranges, negative amounts (but for temperatures), heaped spoons and unmarked cups are refused.
 * Errors `unreadable-amount` and `unknown-unit` carry detail.position (from 0) and detail.expected;
 * `out-of-range` for absurd amounts.
 */
export function parseAmount(text: string, options: ReadOptions = {}): Result<ParsedAmount> {
  const read = readAmount(text, options, false);
  if (!read.ok) return read;
  const end = skipSpaces(text, read.value.end);
  return end < text.length ? unreadable(text, end, 'the end of the amount') : ok(read.value.amount);
}

/**
 * Reads the amount at the head of an ingredient line and gives back the rest: '250 g flour',
 * '1 lb 4 oz butter', '3 lemons' (pieces). Same errors as parseAmount.
 */
export function parseAmountLine(text: string, options: ReadOptions = {}): Result<AmountAndRest> {
  const read = readAmount(text, options, true);
  if (!read.ok) return read;
  const rest = text
    .slice(read.value.end)
    .trim()
    .replace(/^of\s+/iu, '');
  return ok({ amount: read.value.amount, rest });
}

type Read = { amount: ParsedAmount; end: number };

function readAmount(text: string, options: ReadOptions, restAllowed: boolean): Result<Read> {
  if (text.length > LONGEST_TEXT) {
    return unreadable(text.slice(0, 40), 0, `at most ${LONGEST_TEXT} characters`);
  }
  const start = skipSpaces(text, 0);
  const negative = /^[-\u2212\u2013]/u.test(text.slice(start));
  const numberStart = negative ? skipSpaces(text, start + 1) : start;
  const number = readCount(text, numberStart);
  if (!number.ok) return number;
  const next = skipSpaces(text, number.value.end);
  const refusedRange = refuseRange(text, next);
  if (refusedRange !== undefined) return refusedRange;
  const times = matchAt(TIMES, text, next);
  const afterTimes = skipSpaces(text, next + 1);
  if (times !== null && startsNumber(text, afterTimes)) {
    if (negative) return unreadable(text, start, 'a number of zero or more');
    return readMultiple(text, number.value.value, afterTimes, options);
  }
  const unit = readUnit(text, next, options.measures ?? []);
  if (!unit.ok) return unit;
  if (unit.value === undefined) {
    if (next < text.length && !restAllowed) return refuseUnknownUnit(text, next);
    if (negative) return unreadable(text, start, 'a number of zero or more');
    const end = number.value.end;
    return checked(text, start, { value: number.value.value, unit: '{each}' }, end);
  }
  if (negative && findUnit(unit.value.unit)?.dimension !== 'temperature') {
    return unreadable(text, start, 'a number of zero or more');
  }
  const value = number.value.value * unit.value.times * (negative ? -1 : 1);
  const first: ParsedAmount = {
    value,
    unit: unit.value.unit,
    ...cautionFor(number.value.threeDecimals, value, unit.value),
  };
  const sum = readSmallerUnits(text, first, unit.value.end, options);
  return checked(text, start, sum.amount, sum.end);
}

function readCount(
  text: string,
  start: number,
): Result<{ value: number; end: number; threeDecimals: boolean }> {
  const word = matchAt(WORD_NUMBER, text, start);
  if (word === null) return readNumber(text, start);
  const value = word[0].toLowerCase().startsWith('half') ? 0.5 : 1;
  return ok({ value, end: start + word[0].length, threeDecimals: false });
}

function readMultiple(
  text: string,
  count: number,
  start: number,
  options: ReadOptions,
): Result<Read> {
  if (!(count > 0)) return unreadable(text, 0, 'a count above zero before the times sign');
  const each = readNumber(text, start);
  if (!each.ok) return each;
  const unitStart = skipSpaces(text, each.value.end);
  const refusedRange = refuseRange(text, unitStart);
  if (refusedRange !== undefined) return refusedRange;
  const unit = readUnit(text, unitStart, options.measures ?? []);
  if (!unit.ok) return unit;
  if (unit.value === undefined) return refuseUnknownUnit(text, unitStart);
  const eachValue = each.value.value * unit.value.times;
  const containerStart = skipSpaces(text, unit.value.end);
  const word = matchAt(/\p{L}+/uy, text, containerStart)?.[0] ?? '';
  const container = CONTAINER_WORDS.has(singularWord(word)) ? singularWord(word) : undefined;
  const amount: ParsedAmount = {
    value: count * eachValue,
    unit: unit.value.unit,
    multiple: { count, each: eachValue, ...(container === undefined ? {} : { container }) },
    ...cautionFor(each.value.threeDecimals, eachValue, unit.value),
  };
  const end = container === undefined ? unit.value.end : containerStart + word.length;
  return checked(text, 0, amount, end);
}

/** Adds '4 oz' to '1 lb', giving the sum in the smaller unit; leaves what is no smaller unit alone. */
function readSmallerUnits(
  text: string,
  first: ParsedAmount,
  end: number,
  options: ReadOptions,
): Read {
  const large = findUnit(first.unit);
  let index = skipSpaces(text, end);
  if (text.charAt(index) === '+') index = skipSpaces(text, index + 1);
  if (large === undefined || large.dimension === 'temperature' || !startsNumber(text, index)) {
    return { amount: first, end };
  }
  const number = readNumber(text, index);
  if (!number.ok) return { amount: first, end };
  const unit = readUnit(text, skipSpaces(text, number.value.end), options.measures ?? []);
  const small = unit.ok && unit.value?.times === 1 ? findUnit(unit.value.unit) : undefined;
  if (!unit.ok || unit.value === undefined || small === undefined) return { amount: first, end };
  if (small.dimension !== large.dimension || small.factor >= large.factor) {
    return { amount: first, end };
  }
  // Ratios such as 16 oz to the lb are whole; doubles may miss them in the sixteenth digit.
  const ratio = Number((large.factor / small.factor).toPrecision(14));
  const amount: ParsedAmount = {
    value: first.value * ratio + number.value.value,
    unit: small.code,
    ...(first.caution === undefined ? {} : { caution: first.caution }),
  };
  return readSmallerUnits(text, amount, unit.value.end, options);
}

function refuseRange(text: string, index: number): Result<never> | undefined {
  const mark = matchAt(RANGE, text, index);
  if (mark === null || !startsNumber(text, skipSpaces(text, index + mark[0].length))) {
    return undefined;
  }
  return unreadable(text, index, 'one amount, as a range cannot be weighed');
}

function refuseUnknownUnit(text: string, index: number): Result<never> {
  if (startsNumber(text, index)) {
    return unreadable(text, index, "a unit, or 'x' between a count and a weight (2 x 400 g)");
  }
  const refused = unreadable(text, index, 'a unit such as g, ml, tsp, each or sheet');
  if (refused.ok || index >= text.length) return refused;
  return err(
    coreError('unknown-unit', refused.error.message, {
      ...(refused.error.detail === undefined ? {} : { detail: refused.error.detail }),
    }),
  );
}

function cautionFor(threeDecimals: boolean, value: number, unit: ReadUnit): { caution?: string } {
  if (!threeDecimals || (unit.unit !== 'g' && unit.unit !== 'mL')) return {};
  const symbol = findUnit(unit.unit)?.symbol ?? unit.unit;
  return {
    caution: `Read as ${value} ${symbol}; write ${Math.round(value * 1000)} ${symbol} if the point stands for thousands.`,
  };
}

function checked(text: string, position: number, amount: ParsedAmount, end: number): Result<Read> {
  const unit = findUnit(amount.unit);
  const inRange =
    unit === undefined
      ? checkRange(amount.value, 'An amount', 0, MAX_BASE_AMOUNT)
      : checkAmount(amount.value, unit);
  if (inRange.ok) return ok({ amount, end });
  return err(
    coreError('out-of-range', inRange.error.message, {
      detail: { ...inRange.error.detail, text, position },
    }),
  );
}
