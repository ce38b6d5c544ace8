import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';
import { coreError } from '../shared/errors.ts';
import { simpleSmoothing } from './exponential-smoothing.ts';

/**
 * The booking-curve forecasts of the literature in their plain form, for one weekday and one day
 * before service. The covers forecast uses the same ideas with exponential weights and relative to
 * the usual level (`pickup-model.ts`); these are here to check against and to explain with.
 * Sources: Weatherford & Kimes 2003, Int. J. Forecasting 19; Zakhary, El Gayar & Atiya, comparative
 * study of the pickup method.
 */

/** Bookings of a completed service that many days before, and its final covers. */
export interface BookedAndFinal {
  readonly booked: number;
  readonly final: number;
}

function need(completed: readonly BookedAndFinal[], least: number): Result<never> | undefined {
  if (completed.length >= least) return undefined;
  return err(
    coreError('missing-data', `A pickup needs at least ${least} completed service(s).`, {
      detail: { completed: completed.length },
    }),
  );
}

const mean = (values: readonly number[]): number =>
  values.reduce((a, v) => a + v, 0) / values.length;

/** Additive: booked now + mean of (final − booked). Error `missing-data` without services. */
export function additivePickup(
  completed: readonly BookedAndFinal[],
  bookedNow: number,
): Result<number> {
  return (
    need(completed, 1) ?? ok(bookedNow + mean(completed.map(({ booked, final }) => final - booked)))
  );
}

/** Additive with exponentially weighted pickups, oldest first; `alpha` is the newest one's weight. */
export function smoothedPickup(
  completed: readonly BookedAndFinal[],
  bookedNow: number,
  alpha: number,
): Result<number> {
  const pickups = completed.map(({ booked, final }) => final - booked);
  return need(completed, 1) ?? ok(bookedNow + simpleSmoothing(pickups, alpha).level);
}

/**
 * Multiplicative: booked now × final/booked, as the mean of ratios or pooled (sum ÷ sum). An empty
 * book that filled up has no ratio: error `out-of-range` for the mean of ratios (pool instead), and
 * for pooled only when all books were empty.
 */
export function multiplicativePickup(
  completed: readonly BookedAndFinal[],
  bookedNow: number,
  form: 'mean-ratio' | 'pooled',
): Result<number> {
  const short = need(completed, 1);
  if (short !== undefined) return short;
  const booked = completed.reduce((a, s) => a + s.booked, 0);
  const final = completed.reduce((a, s) => a + s.final, 0);
  const empty = form === 'pooled' ? booked === 0 : completed.some((s) => s.booked === 0);
  if (empty) {
    return err(
      coreError('out-of-range', 'A service with an empty book has no pickup ratio.', {
        detail: { form },
      }),
    );
  }
  const ratio = form === 'pooled' ? final / booked : mean(completed.map((s) => s.final / s.booked));
  return ok(bookedNow * ratio);
}

/**
 * Regression of final covers on bookings, least squares. Errors: `missing-data` under two services,
 * `out-of-range` when all had the same bookings.
 */
export function regressionPickup(
  completed: readonly BookedAndFinal[],
  bookedNow: number,
): Result<{ readonly intercept: number; readonly slope: number; readonly covers: number }> {
  const short = need(completed, 2);
  if (short !== undefined) return short;
  const x = mean(completed.map((s) => s.booked));
  const y = mean(completed.map((s) => s.final));
  const xx = completed.reduce((a, s) => a + (s.booked - x) ** 2, 0);
  if (xx === 0) {
    return err(coreError('out-of-range', 'All services had the same bookings: no slope shows.'));
  }
  const slope = completed.reduce((a, s) => a + (s.booked - x) * (s.final - y), 0) / xx;
  const intercept = y - slope * x;
  return ok({ intercept, slope, covers: intercept + slope * bookedNow });
}

/**
 * Forecasts weighed by the inverse of their mean squared errors (Bates & Granger 1969, without
 * correlations; from memory). Errors: `out-of-range` for lists that differ in length or an error
 * that is not above 0.
 */
export function combineByError(
  forecasts: readonly number[],
  squaredErrors: readonly number[],
): Result<{ readonly weights: readonly number[]; readonly forecast: number }> {
  if (forecasts.length !== squaredErrors.length || forecasts.length === 0) {
    return err(coreError('out-of-range', 'Every forecast needs its own past error.'));
  }
  if (squaredErrors.some((e) => !(e > 0))) {
    return err(
      coreError('out-of-range', 'A past squared error is above 0.', { detail: { squaredErrors } }),
    );
  }
  const total = squaredErrors.reduce((a, e) => a + 1 / e, 0);
  const weights = squaredErrors.map((e) => 1 / e / total);
  return ok({ weights, forecast: forecasts.reduce((a, f, i) => a + f * (weights[i] ?? 0), 0) });
}
