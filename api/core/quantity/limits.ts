import { coreError } from '../shared/errors.ts';
import { err, ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';

/**
 * The largest amount we take, in g, ml or pieces: a thousand tonnes. Anything above it is a slip
 * of the keyboard, and far below it doubles still hold every milligram.
 */
export const MAX_BASE_AMOUNT = 1e9;

/** Absolute zero in °C; a temperature below it is a slip. */
export const ABSOLUTE_ZERO_C = -273.15;

/** The hottest temperature we take, in °C: a pizza deck stays well under it. */
export const MAX_TEMPERATURE_C = 1000;

/**
 * Passes a number that is finite and inside [min, max] (both included unless `above` is set, which
 * excludes min); refuses the rest with `out-of-range`.
 * @param what what the number is, in a cook's words, for the message
 */
export function checkRange(
  value: number,
  what: string,
  min: number,
  max: number,
  options: { above?: boolean; path?: readonly (string | number)[] } = {},
): Result<number> {
  const tooLow = options.above === true ? value <= min : value < min;
  if (Number.isFinite(value) && !tooLow && value <= max) return ok(value);
  const bound = options.above === true ? `above ${min}` : `at least ${min}`;
  return err(
    coreError('out-of-range', `${what} must be ${bound} and at most ${max}, not ${value}.`, {
      detail: { value: Number.isFinite(value) ? value : String(value), min, max },
      ...(options.path === undefined ? {} : { path: options.path }),
    }),
  );
}
