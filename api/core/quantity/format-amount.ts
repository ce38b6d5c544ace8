import { plainNumber } from './display.ts';
import type { ParsedAmount } from './parse-amount.ts';
import { VULGAR_FRACTIONS } from './read-number.ts';
import { CONTAINER_WORDS, MEASURE_WORDS } from './read-unit.ts';
import { findUnit } from './units.ts';

const METRIC = new Set(['g', 'kg', 'mg', 'mL', 'L', 'cL', 'dL', 'Cel', '[degF]']);
const LARGEST_WITH_FRACTION = 1000;

/**
 * Writes an amount so that parseAmount reads back the same value and unit: '250 g', '1½ tsp',
 * '3 sheets', '2 x 400 g tin'. Fractions are used for spoons, pieces and household measures where
 * they are exact, decimals (with a point, no grouping) elsewhere. Household names outside the usual words
 * must be given to parseAmount again as `measures`; amounts under a thousand-millionth are beyond the grammar.
 */
export function formatAmount(amount: ParsedAmount): string {
  const { multiple } = amount;
  if (multiple !== undefined) {
    const container = multiple.container === undefined ? '' : ` ${multiple.container}`;
    return `${formatNumber(multiple.count, true)} x ${formatSingle(multiple.each, amount.unit, true)}${container}`;
  }
  return formatSingle(amount.value, amount.unit, false);
}

function formatSingle(value: number, code: string, unitNeeded: boolean): string {
  const unit = findUnit(code);
  const number = formatNumber(value, !METRIC.has(unit?.code ?? ''));
  if (unit?.dimension === 'count') return unitNeeded ? `${number} each` : number;
  if (unit !== undefined) return `${number} ${unit.symbol}`;
  return `${number} ${value > 1 ? pluralMeasure(code) : code}`;
}

/** A number in full, as a fraction glyph where `fractions` allows and the glyph is exact. */
function formatNumber(value: number, fractions: boolean): string {
  if (fractions && value < LARGEST_WITH_FRACTION && !Number.isInteger(value)) {
    const whole = Math.floor(value);
    for (const [glyph, [numerator, denominator]] of VULGAR_FRACTIONS) {
      if (whole + numerator / denominator === value) return `${whole === 0 ? '' : whole}${glyph}`;
    }
  }
  return plainNumber(value);
}

/** The plural of a usual household word; names of an ingredient's own measures stay as they are. */
function pluralMeasure(name: string): string {
  if (!MEASURE_WORDS.has(name) && !CONTAINER_WORDS.has(name)) return name;
  if (name === 'leaf') return 'leaves';
  return /(?:ch|sh|x|ss)$/u.test(name) ? `${name}es` : `${name}s`;
}
