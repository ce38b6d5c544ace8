import { coreError } from '../shared/errors.ts';
import { err, ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';
import { matchAt, skipSpaces, unreadable } from './read-number.ts';
import { findUnit } from './units.ts';
import { UNCLEAR_WORDS, UNIT_WORDS, singularWord, tidyWord } from './words.ts';

/** A unit found in a text: UCUM code or household name, how many of it the word means, where it ends. */
export interface ReadUnit {
  readonly unit: string;
  readonly times: number;
  readonly end: number;
}

/** Measures a cook names without saying a weight; each ingredient says what one of its own weighs. */
export const MEASURE_WORDS: ReadonlySet<string> = new Set([
  ...['sheet', 'leaf', 'bunch', 'sprig', 'pod', 'stick', 'clove', 'pinch', 'slice', 'stalk'],
  ...['drop', 'dash', 'knob', 'handful', 'head', 'punnet', 'sachet', 'envelope', 'segment'],
]);

/** Words for what goods come in; read after '2 x 400 g' and as measures of their own. */
export const CONTAINER_WORDS: ReadonlySet<string> = new Set([
  ...['tin', 'can', 'jar', 'tub', 'pot', 'bottle', 'carton', 'box', 'bag', 'tray', 'block', 'bar'],
  ...['packet', 'pack', 'pkt', 'bucket', 'case', 'sack', 'tube', 'roll', 'piece', 'portion'],
]);

const TOKEN = /\[\w+\]|\{\w+\}|°\s?[cf](?!\p{L})|[℃℉]|\p{L}[\p{L}'’-]*\.?/iuy;
const LONGEST_PHRASE = 4;
const VAGUE_SPOONS = new Set(['heaped', 'heaping', 'rounded', 'scant', 'generous', 'good', 'big']);

/**
 * Reads a unit at `start`: a UCUM code, a word for a unit, one of `measures` (names measured for the
 * ingredient at hand) or a usual household word; the longest reading wins. Gives undefined when no
 * known unit stands there. Errors: `unknown-unit` for words that differ between kitchens (cup,
 * quart), `unreadable-amount` for heaped and scant spoons.
 */
export function readUnit(
  text: string,
  start: number,
  measures: readonly string[],
): Result<ReadUnit | undefined> {
  const named = readNamedMeasure(text, start, measures);
  const phrases = readPhrases(text, start);
  for (const { phrase, end } of phrases.reverse()) {
    if (named !== undefined && named.end >= end) break;
    const known = lookUp(phrase, measures);
    if (known !== undefined) return ok({ ...known, end });
    const unclear = UNCLEAR_WORDS.get(tidyWord(phrase));
    if (unclear !== undefined) return unclearWord(text, start, phrase, unclear);
  }
  if (named !== undefined) return ok(named);
  const first = phrases.at(-1);
  const firstWord = first === undefined ? '' : tidyWord(first.phrase);
  if (first !== undefined && (firstWord === 'level' || VAGUE_SPOONS.has(firstWord))) {
    const spoon = readUnit(text, skipSpaces(text, first.end), measures);
    if (spoon.ok && spoon.value !== undefined && isSpoon(spoon.value.unit)) {
      if (firstWord === 'level') return spoon;
      return unreadable(text, start, `a level spoon or a weight, as a ${firstWord} spoon varies`);
    }
  }
  return ok(undefined);
}

function lookUp(
  phrase: string,
  measures: readonly string[],
): { unit: string; times: number } | undefined {
  const exact = findUnit(phrase);
  if (exact !== undefined) return { unit: exact.code, times: 1 };
  const word = UNIT_WORDS.get(tidyWord(phrase));
  if (word?.times === 1) return { unit: word.code, times: 1 };
  const singular = singularWord(phrase);
  const measure = measures.find((name) => singularWord(name) === singular);
  if (measure !== undefined) return { unit: measure, times: 1 };
  if (word !== undefined) return { unit: word.code, times: word.times };
  return MEASURE_WORDS.has(singular) || CONTAINER_WORDS.has(singular)
    ? { unit: singular, times: 1 }
    : undefined;
}

/** A measure name written out in full, which may hold commas or brackets ('cup, sifted'). */
function readNamedMeasure(
  text: string,
  start: number,
  measures: readonly string[],
): ReadUnit | undefined {
  let longest: ReadUnit | undefined;
  for (const name of measures) {
    const end = start + name.length;
    const same = text.slice(start, end).toLowerCase() === name.toLowerCase();
    const general = findUnit(name)?.code ?? UNIT_WORDS.get(tidyWord(name))?.code;
    if (name !== '' && same && !/[\p{L}\d]/u.test(text.charAt(end)) && general === undefined) {
      if (end > (longest?.end ?? 0)) longest = { unit: name, times: 1, end };
    }
  }
  return longest;
}

function readPhrases(text: string, start: number): { phrase: string; end: number }[] {
  const phrases: { phrase: string; end: number }[] = [];
  const words: string[] = [];
  let index = start;
  while (words.length < LONGEST_PHRASE) {
    const token = matchAt(TOKEN, text, index);
    if (token === null) break;
    words.push(token[0]);
    const end = index + token[0].length;
    phrases.push({ phrase: words.join(' '), end });
    index = skipSpaces(text, end);
  }
  return phrases;
}

function isSpoon(unit: string): boolean {
  return /^\[t[bs][sp]_|tsp|tbsp|spoon/u.test(unit);
}

function unclearWord(text: string, position: number, word: string, write: string): Result<never> {
  return err(
    coreError(
      'unknown-unit',
      `At character ${position + 1} '${word}' is not one clear measure: write ${write}.`,
      { detail: { text, position, expected: write } },
    ),
  );
}
