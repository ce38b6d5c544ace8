import { coreError } from '../shared/errors.ts';
import { err, ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';

/** What a unit measures. Temperature is affine: it has a zero point, the others do not. */
export type Dimension = 'mass' | 'volume' | 'count' | 'temperature';

/** The unit an ingredient or component is held in: grams, millilitres or pieces. */
export type BaseUnit = 'g' | 'ml' | 'each';

/**
 * A unit of measure. `code` is its UCUM code as it stands on the wire. An amount `x` in this unit
 * is `(x - zeroAt) * factor` in the base of its dimension (g, ml, each, °C).
 */
export interface Unit {
  readonly code: string;
  readonly dimension: Dimension;
  /** Size in g, ml, each, or °C per step. */
  readonly factor: number;
  /** Reading of this unit at 0 in the base; 0 for everything but temperature. */
  readonly zeroAt: number;
  /** How a cook says it. */
  readonly name: string;
  /** How it is written after a figure; the amount grammar reads it back. */
  readonly symbol: string;
}

const POUND_G = 453.592_37; // international pound, exact
const INCH_CM = 2.54; // exact
const CUBIC_INCH_ML = INCH_CM * INCH_CM * INCH_CM; // 16.387 064
const US_GALLON_ML = 231 * CUBIC_INCH_ML; // 3 785.411 784
const IMPERIAL_GALLON_ML = 4546.09; // exact

const mass = (code: string, factor: number, name: string, symbol: string): Unit => ({
  code,
  dimension: 'mass',
  factor,
  zeroAt: 0,
  name,
  symbol,
});
const volume = (code: string, factor: number, name: string, symbol: string): Unit => ({
  ...mass(code, factor, name, symbol),
  dimension: 'volume',
});

/**
 * Every unit the service knows. Exact values: international pound and inch (NIST SP 811), US
 * gallon of 231 cubic inches (NIST Handbook 44), imperial gallon of 4.546 09 l (UK Weights and
 * Measures Act 1985), labelling spoons and cup (US 21 CFR 101.9(b)(5)(viii)); codes and values as in UCUM.
 */
export const UNITS: readonly Unit[] = [
  mass('g', 1, 'gram', 'g'),
  mass('kg', 1000, 'kilogram', 'kg'),
  mass('mg', 1 / 1000, 'milligram', 'mg'),
  mass('[lb_av]', POUND_G, 'pound', 'lb'),
  mass('[oz_av]', POUND_G / 16, 'ounce', 'oz'),
  volume('mL', 1, 'millilitre', 'ml'),
  volume('L', 1000, 'litre', 'l'),
  volume('cL', 10, 'centilitre', 'cl'),
  volume('dL', 100, 'decilitre', 'dl'),
  volume('[gal_us]', US_GALLON_ML, 'US gallon', 'US gal'),
  volume('[qt_us]', US_GALLON_ML / 4, 'US quart', 'US qt'),
  volume('[pt_us]', US_GALLON_ML / 8, 'US pint', 'US pt'),
  volume('[cup_us]', US_GALLON_ML / 16, 'US cup', 'US cup'),
  volume('[foz_us]', US_GALLON_ML / 128, 'US fluid ounce', 'US fl oz'),
  volume('[tbs_us]', US_GALLON_ML / 256, 'US tablespoon', 'US tbsp'),
  volume('[tsp_us]', US_GALLON_ML / 768, 'US teaspoon', 'US tsp'),
  volume('[gal_br]', IMPERIAL_GALLON_ML, 'gallon', 'gal'),
  volume('[pt_br]', IMPERIAL_GALLON_ML / 8, 'pint', 'pt'),
  volume('[foz_br]', IMPERIAL_GALLON_ML / 160, 'fluid ounce', 'fl oz'),
  volume('[tsp_m]', 5, 'teaspoon', 'tsp'),
  volume('[tbs_m]', 15, 'tablespoon', 'tbsp'),
  volume('[foz_m]', 30, 'labelling fluid ounce', 'labelling fl oz'),
  volume('[cup_m]', 240, 'labelling cup', 'labelling cup'),
  { code: '{each}', dimension: 'count', factor: 1, zeroAt: 0, name: 'piece', symbol: 'each' },
  { code: 'Cel', dimension: 'temperature', factor: 1, zeroAt: 0, name: 'Celsius', symbol: '°C' },
  {
    code: '[degF]',
    dimension: 'temperature',
    factor: 5 / 9,
    zeroAt: 32,
    name: 'Fahrenheit',
    symbol: '°F',
  },
];

/** Other spellings of a code that UCUM or plain JSON clients use. */
const CODE_ALIASES: Readonly<Record<string, string>> = {
  ml: 'mL',
  l: 'L',
  cl: 'cL',
  dl: 'dL',
  each: '{each}',
  '1': '{each}',
};

const byCode = new Map(UNITS.map((unit) => [unit.code, unit]));

/** The unit with this UCUM code (or alias: ml, l, cl, dl, each, 1), case-sensitive; else undefined. */
export function findUnit(code: string): Unit | undefined {
  return byCode.get(CODE_ALIASES[code] ?? code);
}

/** Like findUnit, but refuses an unknown code with `unknown-unit`. */
export function unitOf(code: string): Result<Unit> {
  const unit = findUnit(code);
  return unit === undefined
    ? err(coreError('unknown-unit', `'${code}' is not a unit we know.`, { detail: { unit: code } }))
    : ok(unit);
}

const BASE_DIMENSION = { g: 'mass', ml: 'volume', each: 'count' } as const;
const BASE_CODE = { g: 'g', ml: 'mL', each: '{each}' } as const;

/** The dimension a base unit measures. */
export function dimensionOfBase(baseUnit: BaseUnit): 'mass' | 'volume' | 'count' {
  return BASE_DIMENSION[baseUnit];
}

/** The UCUM code of a base unit: g, mL or {each}. */
export function codeOfBase(baseUnit: BaseUnit): string {
  return BASE_CODE[baseUnit];
}
