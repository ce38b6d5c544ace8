import { coreError } from '../shared/errors.ts';
import { err, ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';
import { convert } from './convert.ts';

/** How much cooler a fan oven is set than one without. Common practice, no source. */
export const FAN_REDUCTION_C = 20;

/** Degrees Celsius from Fahrenheit, (F - 32) · 5/9 (NIST SP 811). Error: `out-of-range`. */
export function celsiusFromFahrenheit(fahrenheit: number): Result<number> {
  return convert(fahrenheit, '[degF]', 'Cel');
}

/** Degrees Fahrenheit from Celsius. Error: `out-of-range`. */
export function fahrenheitFromCelsius(celsius: number): Result<number> {
  return convert(celsius, 'Cel', '[degF]');
}

/**
 * The setting in °C for an oven with or without a fan that does the work of `temperatureC` in the
 * other kind: 20 °C lower with a fan (common practice, no source). An oven that runs hot or cold is
 * put right at its site, not here. Error: `out-of-range` for what no oven does (below 30 or above 500 °C).
 */
export function adjustForFan(
  temperatureC: number,
  from: 'fan' | 'still',
  to: 'fan' | 'still',
): Result<number> {
  if (!(temperatureC >= 30 && temperatureC <= 500)) {
    return err(
      coreError('out-of-range', `An oven is set between 30 and 500 °C, not ${temperatureC} °C.`, {
        detail: { temperatureC: String(temperatureC) },
      }),
    );
  }
  if (from === to) return ok(temperatureC);
  return ok(to === 'fan' ? temperatureC - FAN_REDUCTION_C : temperatureC + FAN_REDUCTION_C);
}

/**
 * Gas marks in °C, without a fan, as printed in British cookery books (from memory; charts differ by
 * 5 to 10 °C, so treat the figure as a start).
 */
const GAS_MARK_C: ReadonlyMap<number, number> = new Map([
  [0.25, 110],
  [0.5, 120],
  [1, 140],
  [2, 150],
  [3, 160],
  [4, 180],
  [5, 190],
  [6, 200],
  [7, 220],
  [8, 230],
  [9, 240],
]);

/** The oven temperature in °C (no fan) of a gas mark ¼, ½ or 1 to 9; from memory. Error: `out-of-range`. */
export function celsiusFromGasMark(mark: number): Result<number> {
  const temperatureC = GAS_MARK_C.get(mark);
  return temperatureC === undefined
    ? err(
        coreError('out-of-range', `Gas marks are ¼, ½ and 1 to 9, not ${mark}.`, {
          detail: { mark: String(mark) },
        }),
      )
    : ok(temperatureC);
}
