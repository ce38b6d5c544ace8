/** Units, amounts and ovens: everything that turns what a cook writes into grams, millilitres or pieces. */
export { UNITS, codeOfBase, dimensionOfBase, findUnit, unitOf } from './units.ts';
export type { BaseUnit, Dimension, Unit } from './units.ts';
export { findUnitByWord, singularWord } from './words.ts';
export { MAX_BASE_AMOUNT, checkRange } from './limits.ts';
export { convert } from './convert.ts';
export { MAX_DENSITY_G_PER_ML, checkDensity, densityFrom, densityFromWeighing } from './density.ts';
export { densityOf, pieceMassOf } from './measures.ts';
export type { HouseholdMeasure, IngredientMeasures, Sourced } from './measures.ts';
export { fromBaseAmount, toBaseAmount } from './base-amount.ts';
export type { Amount, BaseAmount } from './base-amount.ts';
export { displayAmount, figure, plainNumber, roundForReading } from './display.ts';
export type { DisplayedAmount } from './display.ts';
export { parseAmount, parseAmountLine } from './parse-amount.ts';
export type { AmountAndRest, ParsedAmount, ReadOptions } from './parse-amount.ts';
export { formatAmount } from './format-amount.ts';
export {
  FAN_REDUCTION_C,
  adjustForFan,
  celsiusFromFahrenheit,
  celsiusFromGasMark,
  fahrenheitFromCelsius,
} from './oven.ts';
