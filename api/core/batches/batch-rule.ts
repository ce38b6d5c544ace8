import { coreError } from '../shared/errors.ts';
import type { CoreError } from '../shared/errors.ts';

/** The batch sizes a recipe may be made in. */
export interface BatchRule {
  /** What one batch yields, in the component's base unit (g, ml or each), > 0. */
  readonly batchQuantity: number;
  /** Fewest batches worth making at once, ≥ 0. */
  readonly minBatches: number;
  /** Most batches in one run; left out = no limit of the recipe's own. */
  readonly maxBatches?: number;
  /** Batches come in multiples of this: 1 whole batches, 0.5 halves too. */
  readonly multiple: number;
}

/** Ratios this close to a whole number are whole: 0.3 / 0.1 is three, not four. */
const RATIO_DUST = 1e-9;

/** Smallest whole number not below `ratio`, forgiving float dust. */
export function ceilWhole(ratio: number): number {
  return Math.ceil(ratio - RATIO_DUST * Math.max(1, Math.abs(ratio)));
}

/** Largest whole number not above `ratio`, forgiving float dust. */
export function floorWhole(ratio: number): number {
  return Math.floor(ratio + RATIO_DUST * Math.max(1, Math.abs(ratio)));
}

/** Quantity of the smallest permitted change of a batch count, base unit. */
export function stepQuantity(rule: BatchRule): number {
  return rule.batchQuantity * rule.multiple;
}

/** Fewest steps of a run that is made at all (at least one). */
export function minSteps(rule: BatchRule): number {
  return Math.max(1, ceilWhole(rule.minBatches / rule.multiple));
}

/** Most steps of one run under the rule and a further cap in batches; Infinity when neither limits. */
export function maxSteps(rule: BatchRule, capacityBatches = Infinity): number {
  const most = Math.min(rule.maxBatches ?? Infinity, capacityBatches);
  return most === Infinity ? Infinity : floorWhole(most / rule.multiple);
}

/**
 * The fewest permitted batches that give at least `quantity`, ignoring any maximum.
 *
 * @param quantity base unit, ≥ 0
 * @returns a multiple of `rule.multiple`, at least `minBatches`; 0 for quantity 0
 */
export function batchesFor(quantity: number, rule: BatchRule): number {
  if (quantity <= 0) return 0;
  const steps = Math.max(minSteps(rule), ceilWhole(quantity / stepQuantity(rule)));
  return steps * rule.multiple;
}

/** What is wrong with a rule, if anything: error `out-of-range`. */
export function batchRuleProblem(rule: BatchRule): CoreError | undefined {
  const most = rule.maxBatches ?? Infinity;
  const sound =
    rule.batchQuantity > 0 &&
    Number.isFinite(rule.batchQuantity) &&
    rule.multiple > 0 &&
    Number.isFinite(rule.multiple) &&
    rule.minBatches >= 0 &&
    Number.isFinite(rule.minBatches) &&
    most > 0;
  if (!sound) {
    return coreError('out-of-range', 'A batch needs a yield, a multiple and limits above zero.', {
      path: ['rule'],
      detail: { ...rule },
    });
  }
  if (maxSteps(rule) < minSteps(rule)) {
    return coreError(
      'out-of-range',
      'No batch size is at least the minimum, at most the maximum and a permitted multiple.',
      { path: ['rule'], detail: { ...rule } },
    );
  }
  return undefined;
}
