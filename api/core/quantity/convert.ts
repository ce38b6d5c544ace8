import { coreError } from '../shared/errors.ts';
import { err, ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';
import { ABSOLUTE_ZERO_C, MAX_BASE_AMOUNT, MAX_TEMPERATURE_C, checkRange } from './limits.ts';
import { unitOf } from './units.ts';
import type { Unit } from './units.ts';

/** An amount in the base of its unit's dimension (g, ml, each, °C). Not range-checked. */
export function toUnitBase(value: number, unit: Unit): number {
  return (value - unit.zeroAt) * unit.factor;
}

/** The inverse of toUnitBase. */
export function fromUnitBase(baseValue: number, unit: Unit): number {
  return baseValue / unit.factor + unit.zeroAt;
}

/** Refuses amounts below zero (temperatures: below absolute zero), not finite, or absurdly large. */
export function checkAmount(value: number, unit: Unit): Result<number> {
  const base = toUnitBase(value, unit);
  const checked =
    unit.dimension === 'temperature'
      ? checkRange(base, 'A temperature in °C', ABSOLUTE_ZERO_C, MAX_TEMPERATURE_C)
      : checkRange(base, 'An amount', 0, MAX_BASE_AMOUNT);
  return checked.ok ? ok(value) : checked;
}

/**
 * Converts `value` between two units of the same dimension, both UCUM codes; temperature is
 * affine, the rest proportional. Nothing is rounded.
 * Errors: `unknown-unit`, `dimension-mismatch`, `out-of-range`.
 */
export function convert(value: number, from: string, to: string): Result<number> {
  const source = unitOf(from);
  if (!source.ok) return source;
  const target = unitOf(to);
  if (!target.ok) return target;
  if (source.value.dimension !== target.value.dimension) {
    return err(
      coreError(
        'dimension-mismatch',
        `${source.value.name} is a ${source.value.dimension}, ${target.value.name} a ${target.value.dimension}: they do not convert into each other.`,
        { detail: { from, to } },
      ),
    );
  }
  const checked = checkAmount(value, source.value);
  if (!checked.ok) return checked;
  if (source.value.code === target.value.code) return ok(value);
  return ok(fromUnitBase(toUnitBase(value, source.value), target.value));
}
