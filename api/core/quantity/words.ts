import { findUnit } from './units.ts';
import type { Unit } from './units.ts';

/** A word for a unit: its UCUM code and, where the word is no unit of its own, how many it stands for. */
export interface UnitWord {
  readonly code: string;
  readonly times: number;
}

const SPELLINGS: Readonly<Record<string, readonly string[]>> = {
  g: ['g', 'gr', 'gm', 'gms', 'gram', 'grams', 'gramme', 'grammes'],
  kg: ['kg', 'kgs', 'kilo', 'kilos', 'kilogram', 'kilograms', 'kilogramme', 'kilogrammes'],
  mg: ['mg', 'milligram', 'milligrams', 'milligramme', 'milligrammes'],
  '[lb_av]': ['lb', 'lbs', 'pound', 'pounds'],
  '[oz_av]': ['oz', 'ozs', 'ounce', 'ounces'],
  mL: ['ml', 'mls', 'cc', 'millilitre', 'millilitres', 'milliliter', 'milliliters'],
  L: ['l', 'lt', 'ltr', 'ltrs', 'litre', 'litres', 'liter', 'liters'],
  cL: ['cl', 'centilitre', 'centilitres', 'centiliter', 'centiliters'],
  dL: ['dl', 'decilitre', 'decilitres', 'deciliter', 'deciliters'],
  '[gal_us]': ['us gal', 'us gallon', 'us gallons'],
  '[qt_us]': ['us qt', 'us quart', 'us quarts'],
  '[pt_us]': ['us pt', 'us pint', 'us pints'],
  '[cup_us]': ['us cup', 'us cups'],
  '[foz_us]': ['us fl oz', 'us fluid ounce', 'us fluid ounces'],
  '[tbs_us]': ['us tbsp', 'us tbs', 'us tablespoon', 'us tablespoons'],
  '[tsp_us]': ['us tsp', 'us teaspoon', 'us teaspoons'],
  '[gal_br]': ['gal', 'gallon', 'gallons', 'imperial gallon', 'imperial gallons', 'uk gallon'],
  '[pt_br]': [
    'pt',
    'pts',
    'pint',
    'pints',
    'imperial pint',
    'imperial pints',
    'uk pint',
    'uk pints',
  ],
  '[foz_br]': [
    'fl oz',
    'floz',
    'fl. oz',
    'fluid ounce',
    'fluid ounces',
    'imperial fl oz',
    'uk fl oz',
    'imperial fluid ounce',
    'imperial fluid ounces',
  ],
  '[tsp_m]': ['tsp', 'tsps', 'teasp', 'teaspoon', 'teaspoons', 'teaspoonful', 'teaspoonfuls'],
  '[tbs_m]': [
    'tbsp',
    'tbsps',
    'tbs',
    'tblsp',
    'tablesp',
    'tablespoon',
    'tablespoons',
    'tablespoonful',
    'tablespoonfuls',
  ],
  '[foz_m]': ['labelling fl oz', 'labelling fluid ounce', 'labelling fluid ounces'],
  '[cup_m]': ['labelling cup', 'labelling cups'],
  '{each}': [
    'each',
    'ea',
    'piece',
    'pieces',
    'pc',
    'pcs',
    'whole',
    'unit',
    'units',
    'off',
    'no.',
    'nr',
  ],
  Cel: ['°c', '° c', '℃', 'celsius', 'degrees celsius', 'deg c', 'degrees c'],
  '[degF]': ['°f', '° f', '℉', 'fahrenheit', 'degrees fahrenheit', 'deg f', 'degrees f'],
};

/** Words that stand for a number of some unit. A dessertspoon of 10 ml is common practice, no source. */
const MULTIPLES: Readonly<Record<string, UnitWord>> = {
  dozen: { code: '{each}', times: 12 },
  dozens: { code: '{each}', times: 12 },
  doz: { code: '{each}', times: 12 },
  dsp: { code: '[tsp_m]', times: 2 },
  dessertspoon: { code: '[tsp_m]', times: 2 },
  dessertspoons: { code: '[tsp_m]', times: 2 },
};

/** Words that mean different amounts in different kitchens, with what to write instead. */
const UNCLEAR: Readonly<Record<string, string>> = {
  cup: "'US cup' (236.6 ml), 'labelling cup' (240 ml) or the millilitres; cups differ",
  cups: "'US cup' (236.6 ml), 'labelling cup' (240 ml) or the millilitres; cups differ",
  'metric cup': "'labelling cup' (240 ml) or '250 ml'; both are called a metric cup",
  'metric cups': "'labelling cup' (240 ml) or '250 ml'; both are called a metric cup",
  quart: "'US quart' or '2 pints'; quarts differ",
  quarts: "'US quart' or pints; quarts differ",
  qt: "'US quart' or '2 pints'; quarts differ",
  t: "'tsp' or 'tbsp'; a lone t can be either",
  c: "'US cup', 'labelling cup' or '°C'; a lone c can be any of them",
};

const byWord = new Map<string, UnitWord>(Object.entries(MULTIPLES));
for (const [code, words] of Object.entries(SPELLINGS)) {
  for (const word of words) byWord.set(word, { code, times: 1 });
}

/** Every word for a unit, lower-case, for the reader of amounts. */
export const UNIT_WORDS: ReadonlyMap<string, UnitWord> = byWord;

/** Words we refuse to guess at, lower-case, with what to write instead. */
export const UNCLEAR_WORDS: ReadonlyMap<string, string> = new Map(Object.entries(UNCLEAR));

/**
 * The unit a British kitchen means by a word: unmarked pints, gallons and fluid ounces are imperial,
 * unmarked spoons are the metric 5 and 15 ml. Undefined for words of more than one unit or of none.
 */
export function findUnitByWord(word: string): Unit | undefined {
  const found = byWord.get(tidyWord(word));
  return found === undefined || found.times !== 1 ? undefined : findUnit(found.code);
}

/** Lower-case, one space between words, no full stop at the end of abbreviations. */
export function tidyWord(word: string): string {
  const tidy = word.trim().toLowerCase().replace(/\s+/gu, ' ');
  return tidy.length > 2 && tidy !== 'no.' ? tidy.replace(/\.$/u, '') : tidy;
}

const IRREGULAR: Readonly<Record<string, string>> = {
  leaves: 'leaf',
  halves: 'half',
  loaves: 'loaf',
  knives: 'knife',
};

/** A measure's name for comparing: tidy, its last word in the singular ('Large sheets' is 'large sheet'). */
export function singularWord(word: string): string {
  const words = tidyWord(word).split(' ');
  const last = words.pop() ?? '';
  return [...words, IRREGULAR[last] ?? dropPlural(last)].join(' ');
}

function dropPlural(word: string): string {
  if (word.length < 4) return word;
  if (/(?:ch|sh|x|ss|z|to)es$/u.test(word)) return word.slice(0, -2);
  if (/ies$/u.test(word)) return `${word.slice(0, -3)}y`;
  return /[^su]s$/u.test(word) ? word.slice(0, -1) : word;
}
