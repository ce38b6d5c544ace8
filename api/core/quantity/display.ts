import { Decimal } from 'decimal.js';
import type { BaseUnit } from './units.ts';

/** An amount rounded for reading: never calculate on with it. */
export interface DisplayedAmount {
  readonly value: number;
  /** UCUM code. */
  readonly unit: string;
  /** Value and symbol, such as '1.25 kg'. */
  readonly text: string;
}

/** A number written out in full, without an exponent and without trailing zeros. */
export function plainNumber(value: number): string {
  return new Decimal(value).toFixed();
}

/** A factor or intermediate value in a sentence: six significant figures. */
export function figure(value: number): string {
  return new Decimal(value).toSignificantDigits(6).toFixed();
}

/**
 * Rounds for the eye: whole from 100 up, one decimal from 10, two below that. The one place where
 * a displayed amount is rounded.
 */
export function roundForReading(value: number): number {
  const decimals = value >= 100 ? 0 : value >= 10 ? 1 : 2;
  return new Decimal(value).toDecimalPlaces(decimals, Decimal.ROUND_HALF_UP).toNumber();
}

const LARGE = {
  g: { small: 'g', large: 'kg', symbols: ['g', 'kg'] },
  ml: { small: 'mL', large: 'L', symbols: ['ml', 'l'] },
} as const;

/**
 * An amount in base units as a cook reads it: g below a kilogram and kg above, ml and l likewise,
 * pieces to two decimals. Large units keep three decimals, so nothing under a gram is lost.
 * @param value in `baseUnit`, at least 0
 */
export function displayAmount(value: number, baseUnit: BaseUnit): DisplayedAmount {
  if (baseUnit === 'each') {
    const rounded = new Decimal(value).toDecimalPlaces(2, Decimal.ROUND_HALF_UP).toNumber();
    return { value: rounded, unit: '{each}', text: `${plainNumber(rounded)} each` };
  }
  const { small, large, symbols } = LARGE[baseUnit];
  const rounded = roundForReading(value);
  if (rounded < 1000) {
    return { value: rounded, unit: small, text: `${plainNumber(rounded)} ${symbols[0]}` };
  }
  const inLarge = new Decimal(value)
    .dividedBy(1000)
    .toDecimalPlaces(3, Decimal.ROUND_HALF_UP)
    .toNumber();
  return { value: inLarge, unit: large, text: `${plainNumber(inLarge)} ${symbols[1]}` };
}
