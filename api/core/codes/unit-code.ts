import { coreError } from '../shared/errors.ts';
import { err, ok, type Result } from '../shared/result.ts';

/** A unit of trade: its UN/ECE Recommendation 20 code and what one of it is in a base unit. */
export interface TradeUnit {
  readonly code: string;
  readonly name: string;
  readonly baseUnit: 'g' | 'ml' | 'each';
  /** Exact decimal text: base units in one. */
  readonly factor: string;
}

const unit = (
  code: string,
  name: string,
  baseUnit: TradeUnit['baseUnit'],
  factor: string,
): TradeUnit => ({ code, name, baseUnit, factor });

/**
 * The units we write and read in orders. Packages (case, tray, sack) are not units here: an order
 * counts packs with NMP and states the content of one.
 *
 * Source: UN/ECE Recommendation No. 20, codes as in the OASIS code list UnitOfMeasureCode-2.3;
 * factors of customary units by international definition (pound 0.453 592 37 kg, US gallon
 * 231 cubic inches, imperial pint 568.261 25 ml).
 */
const UNITS: readonly TradeUnit[] = [
  unit('KGM', 'kilogram', 'g', '1000'),
  unit('GRM', 'gram', 'g', '1'),
  unit('MGM', 'milligram', 'g', '0.001'),
  unit('TNE', 'tonne', 'g', '1000000'),
  unit('LBR', 'pound', 'g', '453.59237'),
  unit('ONZ', 'ounce', 'g', '28.349523125'),
  unit('LTR', 'litre', 'ml', '1000'),
  unit('MLT', 'millilitre', 'ml', '1'),
  unit('CLT', 'centilitre', 'ml', '10'),
  unit('DLT', 'decilitre', 'ml', '100'),
  unit('OZA', 'US fluid ounce', 'ml', '29.5735295625'),
  unit('OZI', 'UK fluid ounce', 'ml', '28.4130625'),
  unit('PTL', 'US liquid pint', 'ml', '473.176473'),
  unit('PTI', 'UK pint', 'ml', '568.26125'),
  unit('GLL', 'US gallon', 'ml', '3785.411784'),
  unit('G21', 'US cup', 'ml', '236.5882365'),
  unit('G24', 'US tablespoon', 'ml', '14.78676478125'),
  unit('G25', 'US teaspoon', 'ml', '4.92892159375'),
  unit('H87', 'piece', 'each', '1'),
  unit('C62', 'one', 'each', '1'),
  unit('EA', 'each', 'each', '1'),
  unit('DZN', 'dozen', 'each', '12'),
  unit('DPC', 'dozen pieces', 'each', '12'),
];

const BY_CODE: ReadonlyMap<string, TradeUnit> = new Map(UNITS.map((u) => [u.code, u]));

/** Counts packs, whatever is in them. */
export const PACKS_CODE = 'NMP';

/** Every unit we read, in the order of the table. */
export function tradeUnits(): readonly TradeUnit[] {
  return UNITS;
}

/** Looks a Recommendation 20 code up. Error `unknown-unit` for a code we do not use. */
export function tradeUnit(code: string): Result<TradeUnit> {
  const found = BY_CODE.get(code);
  if (found) return ok(found);
  return err(
    coreError('unknown-unit', `${code} is not a unit code that orders use here.`, {
      detail: { code },
    }),
  );
}

/**
 * A base quantity in the unit a supplier reads best: kilograms from 1000 g, litres from 1000 ml,
 * pieces as they are. The amount is decimal text with at most six decimals, not rounded otherwise.
 */
export function tradeQuantity(
  quantityBase: number,
  baseUnit: TradeUnit['baseUnit'],
): { readonly amount: string; readonly code: string; readonly symbol: string } {
  const large = baseUnit !== 'each' && Math.abs(quantityBase) >= 1000;
  const amount = Number((quantityBase / (large ? 1000 : 1)).toFixed(6)).toString();
  if (baseUnit === 'each') return { amount, code: 'H87', symbol: 'pc' };
  if (baseUnit === 'g') {
    return large ? { amount, code: 'KGM', symbol: 'kg' } : { amount, code: 'GRM', symbol: 'g' };
  }
  return large ? { amount, code: 'LTR', symbol: 'l' } : { amount, code: 'MLT', symbol: 'ml' };
}
