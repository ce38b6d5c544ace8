import { normalLoss, normalQuantile } from '../distributions/index.ts';

/**
 * Demand of one period, normal, as textbooks on periodic review have it: mean and standard
 * deviation; the stock must last `reviewPeriods` + `leadPeriods`.
 */
export interface PeriodicReview {
  readonly meanPerPeriod: number;
  readonly sdPerPeriod: number;
  readonly reviewPeriods: number;
  readonly leadPeriods: number;
}

/** Mean and standard deviation of demand over review plus lead, periods independent. */
export function demandOverReview(r: PeriodicReview): {
  readonly mean: number;
  readonly sd: number;
} {
  const periods = r.reviewPeriods + r.leadPeriods;
  return { mean: r.meanPerPeriod * periods, sd: r.sdPerPeriod * Math.sqrt(periods) };
}

/** Newsvendor quantity for normal demand: mean + sd·Φ⁻¹(level). */
export function normalQuantity(mean: number, sd: number, level: number): number {
  return mean + sd * normalQuantile(level);
}

/** Order-up-to level S with the given chance of not running out in a review period. */
export function orderUpTo(r: PeriodicReview, inStockChance: number): number {
  const { mean, sd } = demandOverReview(r);
  return normalQuantity(mean, sd, inStockChance);
}

/** Expected stock left at the end of a period: S − mean + sd·G((S − mean)/sd). */
export function expectedOnHand(r: PeriodicReview, level: number): number {
  const { mean, sd } = demandOverReview(r);
  return level - mean + sd * normalLoss((level - mean) / sd);
}

/**
 * Part of demand met from stock. `one-term` counts all that is short at the end of a period,
 * 1 − sd·G(z)/mean per period; `two-term` takes off what was short before it and so is exact.
 */
export function fillRate(
  r: PeriodicReview,
  level: number,
  form: 'one-term' | 'two-term' = 'two-term',
): number {
  const { mean, sd } = demandOverReview(r);
  const late = sd * normalLoss((level - mean) / sd);
  let before = 0;
  if (form === 'two-term' && r.leadPeriods > 0) {
    const leadMean = r.meanPerPeriod * r.leadPeriods;
    const leadSd = r.sdPerPeriod * Math.sqrt(r.leadPeriods);
    before = leadSd * normalLoss((level - leadMean) / leadSd);
  }
  return 1 - (late - before) / (r.meanPerPeriod * r.reviewPeriods);
}

/** The order-up-to level that gives a fill rate, by halving (the fill rate rises with the level). */
export function levelForFillRate(
  r: PeriodicReview,
  wanted: number,
  form: 'one-term' | 'two-term' = 'two-term',
): number {
  if (!(wanted > 0 && wanted < 1))
    throw new RangeError(`A fill rate lies in (0, 1), got ${wanted}`);
  const { mean, sd } = demandOverReview(r);
  let low = mean - 8 * sd;
  let high = mean + 8 * sd;
  for (let i = 0; i < 200; i += 1) {
    const middle = (low + high) / 2;
    if (fillRate(r, middle, form) < wanted) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
