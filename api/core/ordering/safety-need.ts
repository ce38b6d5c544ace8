import { coreError } from '../shared/errors.ts';
import { err, ok, type Result } from '../shared/result.ts';
import type { IngredientNeed } from './ingredient-need.ts';

/** A need of which more is known than one number: quantities not exceeded with a probability. */
export interface UncertainNeed extends IngredientNeed {
  /** Ascending in both; probabilities between 0 and 1. */
  readonly quantiles: readonly { readonly probability: number; readonly quantityBase: number }[];
}

/** What running short and being left over cost, for one ingredient. */
export interface SafetyPolicy {
  /** Margin lost per base unit short, in money. */
  readonly shortCostPerBase: number;
  /** Price of a base unit, in the same money. */
  readonly unitCostPerBase: number;
  /** Days the goods keep from the delivery; null when not stated (then nothing is taken to keep). */
  readonly shelfLifeDays: number | null;
  /** Days the delivery must cover. */
  readonly coverDays: number;
  /** Part of what would be left over that the period after it uses, 0 to 1; 1 when left out. */
  readonly nextPeriodUse?: number;
  /** Never beyond this probability, however cheap the leftovers; 0.98 when left out. */
  readonly highest?: number;
}

const HIGHEST = 0.98;

/**
 * The probability with which a delivery should suffice: the newsvendor's ratio Cu / (Cu + Co). Co is
 * the price of a unit times the part of a leftover that is thrown away: none while it is still in
 * date through the next cover period, all of it when it expires with this one, in between in
 * proportion to the days of the next period it lasts.
 *
 * @returns 0 up to `highest`; error `out-of-range` for negative costs, days or both costs zero
 * Source: newsvendor model (Arrow, Harris & Marschak 1951, from memory); the proportion is our own.
 */
export function safetyProbability(policy: SafetyPolicy): Result<number> {
  const { shortCostPerBase: under, unitCostPerBase: price, shelfLifeDays, coverDays } = policy;
  const highest = policy.highest ?? HIGHEST;
  const reuse = policy.nextPeriodUse ?? 1;
  const fine =
    under >= 0 &&
    price >= 0 &&
    under + price > 0 &&
    coverDays > 0 &&
    (shelfLifeDays ?? 0) >= 0 &&
    highest > 0 &&
    highest < 1 &&
    reuse >= 0 &&
    reuse <= 1;
  if (!fine) {
    return err(
      coreError('out-of-range', 'Costs, days and probabilities must make sense.', {
        detail: { ...policy },
      }),
    );
  }
  const daysLeft = (shelfLifeDays ?? 0) - coverDays;
  const keptFraction = Math.min(1, Math.max(0, daysLeft / coverDays)) * reuse;
  const over = price * (1 - keptFraction);
  return ok(under + over === 0 ? highest : Math.min(highest, under / (under + over)));
}

/**
 * The need at a probability, between the stated quantiles in proportion, never beyond them (nothing
 * is made up past what the forecast says). The certain part stays, up to the need.
 *
 * Errors: `missing-data` without quantiles; `out-of-range` when they do not rise.
 */
export function needAtProbability(
  need: UncertainNeed,
  probability: number,
): Result<IngredientNeed> {
  const { quantiles, ...plain } = need;
  const first = quantiles[0];
  const last = quantiles.at(-1);
  if (!first || !last) {
    return err(
      coreError('missing-data', 'The need has no quantiles.', {
        detail: { ingredientId: need.ingredientId, needDate: need.needDate },
      }),
    );
  }
  const rising = quantiles.every((q, i) => {
    const before = quantiles[i - 1];
    const inside = q.probability > 0 && q.probability < 1 && q.quantityBase >= 0;
    const above = before ? q.probability > before.probability : true;
    return inside && above && q.quantityBase >= (before?.quantityBase ?? 0);
  });
  if (!rising || !(probability > 0 && probability < 1)) {
    return err(
      coreError('out-of-range', 'Quantiles rise with their probability, between 0 and 1.', {
        detail: { ingredientId: need.ingredientId, probability },
      }),
    );
  }
  const upper = quantiles.find((q) => q.probability >= probability) ?? last;
  const lower = quantiles.filter((q) => q.probability <= probability).at(-1) ?? first;
  const width = upper.probability - lower.probability;
  const share = width > 0 ? (probability - lower.probability) / width : 0;
  const quantityBase = lower.quantityBase + share * (upper.quantityBase - lower.quantityBase);
  return ok({ ...plain, quantityBase, certainBase: Math.min(need.certainBase, quantityBase) });
}

/**
 * What to add to each day's need so that the days together suffice: the days vary on their own, so
 * what they need above plan adds up by its squares, not day by day, and is shared out in proportion.
 *
 * @param aboveBase need of each day at the safety level less its planned need, base unit
 * @returns one addition per day, same order; days at or below plan get none
 * Source: square-root rule for the sum of independent variations, textbook form; the sharing out is
 * our own.
 */
export function safetyOverDays(aboveBase: readonly number[]): number[] {
  const above = aboveBase.map((quantity) => Math.max(0, quantity));
  const sum = above.reduce((total, quantity) => total + quantity, 0);
  if (sum === 0) return above;
  const together = Math.sqrt(above.reduce((total, quantity) => total + quantity ** 2, 0));
  return above.map((quantity) => (quantity / sum) * together);
}
