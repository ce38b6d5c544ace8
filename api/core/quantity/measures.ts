import { coreError } from '../shared/errors.ts';
import { err, ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';
import { checkDensity } from './density.ts';
import { MAX_BASE_AMOUNT, checkRange } from './limits.ts';
import { findUnit } from './units.ts';
import type { BaseUnit, Unit } from './units.ts';
import { findUnitByWord, singularWord } from './words.ts';

/** A household measure of one ingredient: what one of it weighs, in g. */
export interface HouseholdMeasure {
  readonly name: string;
  readonly massG: number;
}

/** What is needed to turn any amount of one ingredient into its base unit. */
export interface IngredientMeasures {
  readonly name: string;
  readonly baseUnit: BaseUnit;
  /** Density in g per ml, when known. */
  readonly densityGPerMl?: number;
  /** What one piece weighs, in g, when known. */
  readonly pieceMassG?: number;
  /** Measures weighed for this ingredient: a sheet, a bunch, a tsp of it. */
  readonly household: readonly HouseholdMeasure[];
}

/** A value together with the sentence that says where it comes from. */
export interface Sourced {
  readonly value: number;
  readonly because: string;
}

/** A unit or household name as an amount gives it, resolved for one ingredient. */
export type ResolvedUnit =
  | { readonly kind: 'household'; readonly measure: HouseholdMeasure }
  | { readonly kind: 'unit'; readonly unit: Unit };

/**
 * What `unit` means for this ingredient: a UCUM code, a unit word, or the name of one of its
 * household measures. A measured spoon or cup of the ingredient wins over the general volume; a
 * weight or a count never gives way. Errors: `unknown-unit`, `out-of-range` for a measure with no mass.
 */
export function resolveUnit(unit: string, measures: IngredientMeasures): Result<ResolvedUnit> {
  const general = findUnit(unit) ?? findUnitByWord(unit);
  if (general === undefined || general.dimension === 'volume') {
    const measure = measures.household.find((candidate) => sameMeasure(candidate.name, unit));
    if (measure !== undefined) {
      const checked = checkRange(
        measure.massG,
        `The weight in g of one ${measure.name} of ${measures.name}`,
        0,
        MAX_BASE_AMOUNT,
        { above: true },
      );
      return checked.ok ? ok({ kind: 'household', measure }) : checked;
    }
  }
  if (general !== undefined) return ok({ kind: 'unit', unit: general });
  return err(
    coreError('unknown-unit', `'${unit}' is neither a unit nor a measure of ${measures.name}.`, {
      detail: {
        unit,
        ingredient: measures.name,
        measures: measures.household.map((measure) => measure.name),
      },
    }),
  );
}

function sameMeasure(name: string, unit: string): boolean {
  if (singularWord(name) === singularWord(unit)) return true;
  const named = findUnitByWord(name) ?? findUnit(name);
  return named !== undefined && named === (findUnit(unit) ?? findUnitByWord(unit));
}

/**
 * The ingredient's density in g/ml: the stated one, else from its largest household measure that is
 * a general volume (a weighed US cup, tsp). Errors: `no-density` naming the ingredient, `out-of-range`.
 */
export function densityOf(measures: IngredientMeasures): Result<Sourced> {
  if (measures.densityGPerMl !== undefined) {
    const checked = checkDensity(measures.densityGPerMl);
    return checked.ok
      ? ok({ value: checked.value, because: `density of ${measures.name}` })
      : checked;
  }
  let best: { measure: HouseholdMeasure; volumeMl: number } | undefined;
  for (const measure of measures.household) {
    const unit = findUnitByWord(measure.name) ?? findUnit(measure.name);
    if (unit?.dimension === 'volume' && unit.factor > (best?.volumeMl ?? 0)) {
      best = { measure, volumeMl: unit.factor };
    }
  }
  if (best !== undefined) {
    const checked = checkDensity(best.measure.massG / best.volumeMl);
    return checked.ok
      ? ok({
          value: checked.value,
          because: `from one weighed ${best.measure.name} of ${measures.name}`,
        })
      : checked;
  }
  return err(
    coreError(
      'no-density',
      `${measures.name} has no density and no weighed spoon or cup, so volume and weight do not convert.`,
      { detail: { ingredient: measures.name } },
    ),
  );
}

/**
 * What one piece weighs, in g: the stated mass, else a household measure called piece or each.
 * Errors: `no-piece-mass` naming the ingredient, `out-of-range`.
 */
export function pieceMassOf(measures: IngredientMeasures): Result<Sourced> {
  const massG =
    measures.pieceMassG ??
    measures.household.find((measure) => findUnitByWord(measure.name)?.dimension === 'count')
      ?.massG;
  if (massG === undefined) {
    return err(
      coreError(
        'no-piece-mass',
        `${measures.name} has no weight for one piece, so pieces do not convert to weight or volume.`,
        { detail: { ingredient: measures.name } },
      ),
    );
  }
  const checked = checkRange(massG, `The weight in g of one ${measures.name}`, 0, MAX_BASE_AMOUNT, {
    above: true,
  });
  return checked.ok
    ? ok({ value: checked.value, because: `weight of one ${measures.name}` })
    : checked;
}
