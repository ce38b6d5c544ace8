/**
 * Measures of forecast accuracy over paired lists. Sources: Hyndman & Koehler 2006, Int. J.
 * Forecasting 22 (MASE); Hyndman & Athanasopoulos, Forecasting: Principles and Practice, 3rd ed.,
 * ch. 5 (the others); both from memory, checked against R in the tests. All throw RangeError on
 * lists of different length and give null where the measure is not defined (nothing to score).
 */

function paired(a: readonly number[], b: readonly number[]): void {
  if (a.length !== b.length) {
    throw new RangeError(`Lists of ${a.length} and ${b.length} cannot be compared`);
  }
}

function sum(values: readonly number[]): number {
  return values.reduce((a, v) => a + v, 0);
}

/** Mean absolute error, in the unit of the values. */
export function meanAbsoluteError(
  actual: readonly number[],
  forecast: readonly number[],
): number | null {
  paired(actual, forecast);
  if (actual.length === 0) return null;
  return sum(actual.map((y, i) => Math.abs(y - (forecast[i] ?? 0)))) / actual.length;
}

/** Bias: mean of forecast − actual; above 0 the forecasts are too high. */
export function meanBias(actual: readonly number[], forecast: readonly number[]): number | null {
  paired(actual, forecast);
  if (actual.length === 0) return null;
  return sum(actual.map((y, i) => (forecast[i] ?? 0) - y)) / actual.length;
}

/** Weighted absolute percentage error Σ|e| ÷ Σ actual, a fraction; null when the actuals add to 0. */
export function wape(actual: readonly number[], forecast: readonly number[]): number | null {
  paired(actual, forecast);
  const total = sum(actual);
  if (!(total > 0)) return null;
  return sum(actual.map((y, i) => Math.abs(y - (forecast[i] ?? 0)))) / total;
}

/**
 * Scale of the MASE: mean |yₜ − yₜ₋ₘ| over the training values; null when there is no pair or all
 * are the same.
 */
export function seasonalNaiveScale(training: readonly number[], season: number): number | null {
  const steps = training.slice(season).map((y, i) => Math.abs(y - (training[i] ?? 0)));
  if (steps.length === 0) return null;
  const scale = sum(steps) / steps.length;
  return scale > 0 ? scale : null;
}

/** Mean absolute scaled error: mean absolute error ÷ `scale` (see `seasonalNaiveScale`). */
export function mase(
  actual: readonly number[],
  forecast: readonly number[],
  scale: number | null,
): number | null {
  const error = meanAbsoluteError(actual, forecast);
  return error === null || scale === null ? null : error / scale;
}

/** Pinball loss of one quantile forecast: τ·(y − q) above it, (1 − τ)·(q − y) below. */
export function pinballLoss(actual: number, quantile: number, level: number): number {
  return actual >= quantile ? level * (actual - quantile) : (1 - level) * (quantile - actual);
}

/** Mean pinball loss. */
export function meanPinballLoss(
  actual: readonly number[],
  quantile: readonly number[],
  level: number,
): number | null {
  paired(actual, quantile);
  if (actual.length === 0) return null;
  return sum(actual.map((y, i) => pinballLoss(y, quantile[i] ?? 0, level))) / actual.length;
}

/** Part of the actuals inside [lower, upper], ends included. */
export function coverage(
  actual: readonly number[],
  lower: readonly number[],
  upper: readonly number[],
): number | null {
  paired(actual, lower);
  paired(actual, upper);
  if (actual.length === 0) return null;
  const inside = actual.filter((y, i) => y >= (lower[i] ?? 0) && y <= (upper[i] ?? 0));
  return inside.length / actual.length;
}

/** Winkler score of one interval of the given coverage: width plus 2/α per unit missed. */
export function winklerScore(
  actual: number,
  lower: number,
  upper: number,
  intended: number,
): number {
  const missed = Math.max(lower - actual, 0) + Math.max(actual - upper, 0);
  return upper - lower + (2 / (1 - intended)) * missed;
}
