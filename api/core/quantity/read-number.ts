import { coreError } from '../shared/errors.ts';
import { err, ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';

/** A number found in a text: its value, where it ends, and what to ask the cook about it. */
export interface ReadNumber {
  readonly value: number;
  /** Index just after the number. */
  readonly end: number;
  /** Set when three digits follow a decimal point, which some write for thousands. */
  readonly threeDecimals: boolean;
}

/** The single-character fractions of Unicode and what they stand for, as numerator and denominator. */
export const VULGAR_FRACTIONS: ReadonlyMap<string, readonly [number, number]> = new Map([
  ['½', [1, 2]],
  ['⅓', [1, 3]],
  ['⅔', [2, 3]],
  ['¼', [1, 4]],
  ['¾', [3, 4]],
  ['⅕', [1, 5]],
  ['⅖', [2, 5]],
  ['⅗', [3, 5]],
  ['⅘', [4, 5]],
  ['⅙', [1, 6]],
  ['⅚', [5, 6]],
  ['⅐', [1, 7]],
  ['⅛', [1, 8]],
  ['⅜', [3, 8]],
  ['⅝', [5, 8]],
  ['⅞', [7, 8]],
  ['⅑', [1, 9]],
  ['⅒', [1, 10]],
]);

const DECIMAL = /(?:\d{1,3}(?:[\u00a0\u2009\u202f]\d{3})+(?!\d)|\d+)(?:[.,]\d+)*|[.,]\d+/uy;
const FRACTION = /(\d+)[/\u2044\u2215](\d+)/uy;
const SPACES = /[\s\u00a0\u2009\u202f]*/uy;
const LONGEST_NUMBER = 40;

/** Runs a sticky pattern at `index`; null when it does not match there. */
export function matchAt(pattern: RegExp, text: string, index: number): RegExpExecArray | null {
  pattern.lastIndex = index;
  return pattern.exec(text);
}

/** The index of the first character at or after `index` that is no space (of any width). */
export function skipSpaces(text: string, index: number): number {
  return index + (matchAt(SPACES, text, index)?.[0].length ?? 0);
}

/** A refusal that points at a character: `detail.position` counts from 0, the message from 1. */
export function unreadable(text: string, position: number, expected: string): Result<never> {
  const found = position >= text.length ? 'the end' : `'${text.slice(position, position + 20)}'`;
  return err(
    coreError(
      'unreadable-amount',
      `At character ${position + 1} we found ${found}, but expected ${expected}.`,
      { detail: { text, position, expected } },
    ),
  );
}

/** Whether a number starts at `index`. */
export function startsNumber(text: string, index: number): boolean {
  return VULGAR_FRACTIONS.has(text.charAt(index)) || /^[.,]?\d/u.test(text.slice(index, index + 2));
}

/**
 * Reads a number as cooks write it: 250, 2.5, 2,5, 1/4, 1 1/2, ½, 1½, 1 ½, 1 250 (with a
 * non-breaking or thin space), 1,250.5, 1.250,5. The rules where habits differ:
 * a lone point is always the decimal mark (1.250 is one and a quarter; the caller can warn);
 * a lone comma is the decimal mark unless exactly three digits follow a figure of one to three
 * digits (1,250), which is refused because it is read both ways. Error: `unreadable-amount`.
 */
export function readNumber(text: string, start: number): Result<ReadNumber> {
  const fraction = readFraction(text, start);
  if (!fraction.ok || fraction.value !== undefined) {
    return fraction.ok && fraction.value !== undefined
      ? ok({ ...fraction.value, threeDecimals: false })
      : (fraction as Result<never>);
  }
  const decimal = readDecimal(text, start);
  if (!decimal.ok) return decimal;
  if (!Number.isInteger(decimal.value.value)) return decimal;
  const whole = decimal.value;
  const next = skipSpaces(text, whole.end);
  const part = readFraction(text, next);
  if (!part.ok) return part;
  if (part.value === undefined) return decimal;
  if (part.value.value >= 1) {
    return unreadable(text, next, 'a fraction smaller than one after a whole number');
  }
  return ok({
    value: whole.value + part.value.value,
    end: part.value.end,
    threeDecimals: false,
  });
}

function readFraction(
  text: string,
  start: number,
): Result<{ value: number; end: number } | undefined> {
  const vulgar = VULGAR_FRACTIONS.get(text.charAt(start));
  if (vulgar !== undefined) return ok({ value: vulgar[0] / vulgar[1], end: start + 1 });
  const match = matchAt(FRACTION, text, start);
  if (match === null) return ok(undefined);
  const denominator = Number(match[2]);
  if (denominator === 0 || match[0].length > LONGEST_NUMBER) {
    return unreadable(text, start, 'a fraction with a number other than 0 below the line');
  }
  return ok({ value: Number(match[1]) / denominator, end: start + match[0].length });
}

function readDecimal(text: string, start: number): Result<ReadNumber> {
  const match = matchAt(DECIMAL, text, start);
  if (match === null) return unreadable(text, start, 'a number such as 250, 2.5 or 1½');
  const written = match[0];
  if (written.length > LONGEST_NUMBER) {
    return unreadable(text, start, `a number of at most ${LONGEST_NUMBER} characters`);
  }
  const end = start + written.length;
  const plain = written.replace(/[\u00a0\u2009\u202f]/gu, '');
  const marks = [...plain.matchAll(/[.,]/gu)].map((mark) => ({
    mark: mark[0],
    index: mark.index,
  }));
  const last = marks.at(-1);
  if (last === undefined) return ok({ value: Number(plain), end, threeDecimals: false });
  const whole = plain.slice(0, last.index);
  const decimals = plain.slice(last.index + 1);
  const looksGrouped = /^[1-9]\d{0,2}$/u.test(whole) && decimals.length === 3;
  if (marks.length === 1) {
    const spaced = plain.length !== written.length;
    if (last.mark === ',' && looksGrouped && !spaced) {
      return unreadable(
        text,
        start + written.indexOf(','),
        `a clear number: write ${whole}${decimals} or ${whole}.${decimals}, as ${plain} is read both ways`,
      );
    }
    return ok({
      value: Number(`${whole === '' ? '0' : whole}.${decimals}`),
      end,
      threeDecimals: last.mark === '.' && looksGrouped && !spaced,
    });
  }
  const groupMark = marks[0]?.mark === '.' ? '.' : ',';
  const grouped = new RegExp(`^[1-9]\\d{0,2}(?:[${groupMark}]\\d{3})+$`, 'u');
  const digits = (part: string) => part.replaceAll(groupMark, '');
  if (last.mark === groupMark) {
    if (grouped.test(plain)) return ok({ value: Number(digits(plain)), end, threeDecimals: false });
  } else if (grouped.test(whole)) {
    return ok({ value: Number(`${digits(whole)}.${decimals}`), end, threeDecimals: false });
  }
  return unreadable(text, start, 'a number with thousands in groups of three and one decimal mark');
}
