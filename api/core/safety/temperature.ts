import { coreError } from '../shared/errors.ts';
import { err, ok, type Result } from '../shared/result.ts';

/** A temperature as a cook reads it, in UCUM units. */
export interface Temperature {
  readonly value: number;
  readonly unit: 'Cel' | '[degF]';
}

/** A limit as its rule prints it; both readings are right where a code rounds one of them. */
export interface TemperatureLimit {
  readonly celsius: number;
  readonly fahrenheit?: number;
}

/** A kitchen thermometer reads between a deep freezer and burning sugar, degC. */
const COLDEST_C = -60;
const HOTTEST_C = 250;

const fromFahrenheit = (value: number): number => ((value - 32) * 5) / 9;

/**
 * A reading in degC: (F - 32) × 5/9 for Fahrenheit (NIST SP 811, appendix B).
 * @returns error `out-of-range` outside -60 to 250 degC: a slip or the wrong unit
 */
export function celsiusOf({ value, unit }: Temperature): Result<number> {
  const celsius = unit === 'Cel' ? value : fromFahrenheit(value);
  if (Number.isFinite(celsius) && celsius >= COLDEST_C && celsius <= HOTTEST_C) return ok(celsius);
  return err(
    coreError('out-of-range', 'No kitchen thermometer reads that. Check the number and its unit.', {
      path: ['value'],
      detail: { value, unit },
    }),
  );
}

/** The limit as a bound from above: 21 degC printed beside 70 degF lets 70 degF pass. */
export function upperBoundC({ celsius, fahrenheit }: TemperatureLimit): number {
  return fahrenheit === undefined ? celsius : Math.max(celsius, fromFahrenheit(fahrenheit));
}

/** The limit as a bound from below: 57 degC printed beside 135 degF lets 57 degC pass. */
export function lowerBoundC({ celsius, fahrenheit }: TemperatureLimit): number {
  return fahrenheit === undefined ? celsius : Math.min(celsius, fromFahrenheit(fahrenheit));
}

/** '21 °C (70 °F)' or '8 °C'. */
export function limitText({ celsius, fahrenheit }: TemperatureLimit): string {
  return fahrenheit === undefined ? `${celsius} °C` : `${celsius} °C (${fahrenheit} °F)`;
}
