import type { Nutrient } from './nutrients.ts';

/** A figure as it stands on a label. */
export interface LabelFigure {
  /** Rounded; 0 where the text says '0 g' or less than a bound. */
  readonly value: number;
  readonly text: string;
}

interface RoundingRule {
  /** At or above this: to the nearest `coarseDigits`. */
  readonly coarseFrom: number;
  readonly coarseDigits: number;
  readonly fineDigits: number;
  /** At or below this: written as less than the bound. */
  readonly negligible: number;
  readonly bound: string;
}

/**
 * Source: European Commission, guidance on tolerances for nutrient values (December 2012), rounding
 * section; guidance, not law. Where rounding lifts a figure to the coarse range (9.96 g) it is
 * written in that range's digits ('10 g'): the guidance leaves it open, this is our reading.
 */
const MACRO: RoundingRule = {
  coarseFrom: 10,
  coarseDigits: 0,
  fineDigits: 1,
  negligible: 0.5,
  bound: '0.5',
};
const FATTY_ACIDS: RoundingRule = { ...MACRO, negligible: 0.1, bound: '0.1' };
const SALT: RoundingRule = {
  coarseFrom: 1,
  coarseDigits: 1,
  fineDigits: 2,
  negligible: 0.0125,
  bound: '0.01',
};

function ruleFor(nutrient: Nutrient): RoundingRule {
  switch (nutrient) {
    case 'salt':
      return SALT;
    case 'saturates':
    case 'monounsaturates':
    case 'polyunsaturates':
      return FATTY_ACIDS;
    default:
      return MACRO;
  }
}

/**
 * A nutrient's grams as a label shows them. Round once, from the unrounded figure.
 * @param grams 0 or more
 */
export function labelGrams(nutrient: Nutrient, grams: number): LabelFigure {
  const rule = ruleFor(nutrient);
  if (grams === 0) return { value: 0, text: '0 g' };
  if (grams <= rule.negligible) return { value: 0, text: `<${rule.bound} g` };
  const fine = roundHalfUp(grams, rule.fineDigits);
  const digits = fine >= rule.coarseFrom ? rule.coarseDigits : rule.fineDigits;
  const value = roundHalfUp(grams, digits);
  return { value, text: `${String(value)} g` };
}

/** Energy as a label shows it: whole kJ and kcal, kJ first. */
export function labelEnergy(energy: { readonly kJ: number; readonly kcal: number }): {
  readonly kJ: number;
  readonly kcal: number;
  readonly text: string;
} {
  const kJ = roundHalfUp(energy.kJ, 0);
  const kcal = roundHalfUp(energy.kcal, 0);
  return { kJ, kcal, text: `${kJ} kJ / ${kcal} kcal` };
}

/** To so many decimals, halves up; a whisker of binary noise below a half counts as the half. */
function roundHalfUp(value: number, digits: number): number {
  const scaled = value * 10 ** digits;
  return Math.floor(scaled + 0.5 + 1e-9 * Math.max(1, scaled)) / 10 ** digits;
}
