import { coreError } from '../shared/errors.ts';
import { err, ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';
import { checkRange } from '../quantity/index.ts';

/** Sizes a batch may have, as multiples of the written recipe: half to four times, in halves. */
export interface BatchRule {
  readonly min: number;
  /** Absent when nothing limits one batch. */
  readonly max?: number;
  /** Batches come in multiples of this: 1 whole, 0.5 halves. */
  readonly multiple: number;
}

/** Batches of the same size, made one after another. */
export interface BatchGroup {
  readonly count: number;
  /** Size as a multiple of the written recipe. */
  readonly factor: number;
}

/** No more batches of one recipe than this in one go. */
export const MAX_BATCHES = 10_000;

/** Slack in steps, so that 3 × 0.1 still counts as 0.3. */
const SLACK = 1e-9;

/**
 * The fewest batches of permitted size that together make at least `factor` times the written
 * recipe, as even as the multiple allows, larger ones first. The total is the smallest the rule
 * permits with that many batches.
 * Errors: `out-of-range` for a bad rule, a factor of 0 or less, or more than 10 000 batches;
 * `infeasible` when no multiple lies between minimum and maximum.
 */
export function planBatches(factor: number, rule: BatchRule): Result<readonly BatchGroup[]> {
  const checked = checkRange(factor, 'How often the recipe is made', 0, 1e9, { above: true });
  if (!checked.ok) return checked;
  const multiple = checkRange(rule.multiple, 'The batch multiple', 0, 1e6, { above: true });
  if (!multiple.ok) return multiple;
  const min = checkRange(rule.min, 'The smallest batch', 0, 1e6);
  if (!min.ok) return min;
  if (rule.max !== undefined) {
    const max = checkRange(rule.max, 'The largest batch', 0, 1e9, { above: true });
    if (!max.ok) return max;
  }
  const fewest = Math.max(1, Math.ceil(rule.min / rule.multiple - SLACK));
  const most = rule.max === undefined ? Infinity : Math.floor(rule.max / rule.multiple + SLACK);
  if (fewest > most) {
    return err(
      coreError(
        'infeasible',
        `No multiple of ${rule.multiple} lies between the smallest batch (${rule.min}) and the largest (${rule.max}).`,
        { detail: { ...rule } },
      ),
    );
  }
  const wanted = Math.ceil(factor / rule.multiple - SLACK);
  const count = Number.isFinite(most) ? Math.max(1, Math.ceil(wanted / most)) : 1;
  const tooMany = checkRange(count, 'The number of batches', 1, MAX_BATCHES);
  if (!tooMany.ok) return tooMany;
  const steps = Math.max(wanted, fewest * count);
  const small = Math.floor(steps / count);
  const larger = steps - small * count;
  const groups: BatchGroup[] = [];
  if (larger > 0) groups.push({ count: larger, factor: sizeOf(small + 1, rule.multiple) });
  if (count > larger) groups.push({ count: count - larger, factor: sizeOf(small, rule.multiple) });
  return ok(groups);
}

function sizeOf(steps: number, multiple: number): number {
  return Number((steps * multiple).toPrecision(14));
}
