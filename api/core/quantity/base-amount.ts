import { coreError } from '../shared/errors.ts';
import { err, ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';
import { checkAmount, fromUnitBase, toUnitBase } from './convert.ts';
import { MAX_BASE_AMOUNT, checkRange } from './limits.ts';
import { densityOf, pieceMassOf, resolveUnit } from './measures.ts';
import type { IngredientMeasures } from './measures.ts';
import { figure } from './display.ts';
import { codeOfBase, dimensionOfBase } from './units.ts';
import type { BaseUnit } from './units.ts';

/** An amount on the wire: a value and a UCUM code, unit word or household name. */
export interface Amount {
  readonly value: number;
  readonly unit: string;
}

/** An amount in the ingredient's base unit, with the factors that led there, one sentence each. */
export interface BaseAmount {
  readonly value: number;
  readonly baseUnit: BaseUnit;
  readonly steps: readonly string[];
}

/**
 * Converts an amount of an ingredient to its base unit. The unit may be a UCUM code, a unit word or
 * a household measure of the ingredient, whose measured weight wins over the general volume.
 * Volume and weight convert only with a density or a weighed volume measure, pieces only with a
 * weight for one piece. Nothing is rounded.
 * Errors: `unknown-unit`, `no-density`, `no-piece-mass`, `dimension-mismatch` (a temperature),
 * `out-of-range` (negative, not finite or absurd).
 */
export function toBaseAmount(amount: Amount, measures: IngredientMeasures): Result<BaseAmount> {
  const resolved = resolveUnit(amount.unit, measures);
  if (!resolved.ok) return resolved;
  if (resolved.value.kind === 'household') {
    const { name, massG } = resolved.value.measure;
    const checked = checkRange(amount.value, 'An amount', 0, MAX_BASE_AMOUNT);
    if (!checked.ok) return checked;
    const totalG = amount.value * massG;
    return bridge(totalG, 'g', measures, [
      `${figure(amount.value)} ${name} × ${figure(massG)} g weighed for ${measures.name} = ${figure(totalG)} g`,
    ]);
  }
  const { unit } = resolved.value;
  if (unit.dimension === 'temperature') {
    return err(
      coreError('dimension-mismatch', `An amount of ${measures.name} cannot be a temperature.`, {
        detail: { unit: unit.code, ingredient: measures.name },
      }),
    );
  }
  const checked = checkAmount(amount.value, unit);
  if (!checked.ok) return checked;
  const base = unit.dimension === 'mass' ? 'g' : unit.dimension === 'volume' ? 'ml' : 'each';
  const value = toUnitBase(amount.value, unit);
  const step = `${figure(amount.value)} ${unit.symbol} × ${figure(unit.factor)} ${base} per ${unit.symbol} = ${figure(value)} ${base}`;
  return bridge(value, base, measures, unit.factor === 1 ? [] : [step]);
}

/**
 * The inverse of toBaseAmount: how many of `unit` (UCUM code, unit word or household measure) make
 * `baseValue` of the ingredient's base unit. Same errors.
 */
export function fromBaseAmount(
  baseValue: number,
  unit: string,
  measures: IngredientMeasures,
): Result<number> {
  const resolved = resolveUnit(unit, measures);
  if (!resolved.ok) return resolved;
  const oneUnit = toBaseAmount({ value: 1, unit }, measures);
  if (!oneUnit.ok) return oneUnit;
  const checked = checkRange(baseValue, 'An amount', 0, MAX_BASE_AMOUNT);
  if (!checked.ok) return checked;
  if (
    resolved.value.kind === 'unit' &&
    resolved.value.unit.dimension === dimensionOfBase(measures.baseUnit)
  ) {
    return ok(fromUnitBase(baseValue, resolved.value.unit));
  }
  return ok(baseValue / oneUnit.value.value);
}

/** Takes a value in one base unit to the ingredient's own, through weight. */
function bridge(
  value: number,
  from: BaseUnit,
  measures: IngredientMeasures,
  steps: readonly string[],
): Result<BaseAmount> {
  const to = measures.baseUnit;
  if (from === to) return withinLimits({ value, baseUnit: to, steps });
  const toMass = gramsPer(from, measures);
  if (!toMass.ok) return toMass;
  const fromMass = gramsPer(to, measures);
  if (!fromMass.ok) return fromMass;
  const massG = value * toMass.value.factor;
  const result = massG / fromMass.value.factor;
  const trail = [...steps];
  if (from !== 'g') {
    trail.push(
      `${figure(value)} ${from} × ${figure(toMass.value.factor)} g per ${from} (${toMass.value.because}) = ${figure(massG)} g`,
    );
  }
  if (to !== 'g') {
    trail.push(
      `${figure(massG)} g ÷ ${figure(fromMass.value.factor)} g per ${to} (${fromMass.value.because}) = ${figure(result)} ${to}`,
    );
  }
  return withinLimits({ value: result, baseUnit: to, steps: trail });
}

function gramsPer(
  baseUnit: BaseUnit,
  measures: IngredientMeasures,
): Result<{ factor: number; because: string }> {
  if (baseUnit === 'g') return ok({ factor: 1, because: 'weight' });
  const sourced = baseUnit === 'ml' ? densityOf(measures) : pieceMassOf(measures);
  return sourced.ok ? ok({ factor: sourced.value.value, because: sourced.value.because }) : sourced;
}

function withinLimits(amount: BaseAmount): Result<BaseAmount> {
  const checked = checkRange(
    amount.value,
    `An amount in ${codeOfBase(amount.baseUnit)}`,
    0,
    MAX_BASE_AMOUNT,
  );
  return checked.ok ? ok(amount) : checked;
}
