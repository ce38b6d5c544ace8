import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';
import { coreError } from '../shared/errors.ts';
import { digamma } from './gamma-function.ts';

/** How over-dispersed a sample of counts is. `size` is absent when it is no more spread than a Poisson. */
export interface CountFit {
  readonly mean: number;
  /** Sample variance with n − 1. */
  readonly variance: number;
  readonly size?: number;
}

/**
 * Moment estimator of the negative binomial size: mean²/(variance − mean).
 * Errors: `missing-data` under two counts, `out-of-range` for a negative count.
 */
export function fitCountByMoments(counts: readonly number[]): Result<CountFit> {
  if (counts.length < 2) {
    return err(coreError('missing-data', 'Spread needs at least two counts.'));
  }
  const bad = counts.findIndex((c) => !(c >= 0));
  if (bad >= 0) {
    return err(coreError('out-of-range', 'A count is at least 0.', { path: [bad] }));
  }
  const mean = counts.reduce((a, c) => a + c, 0) / counts.length;
  const variance = counts.reduce((a, c) => a + (c - mean) ** 2, 0) / (counts.length - 1);
  return ok(
    variance > mean
      ? { mean, variance, size: (mean * mean) / (variance - mean) }
      : { mean, variance },
  );
}

/**
 * Maximum likelihood estimator of the negative binomial size at the sample mean: the root of
 * Σ ψ(y+k) − n·ψ(k) + n·ln(k/(k+m)) = 0, by bisection on ln k (Anscombe 1950, Biometrika 37;
 * formula from memory). Same errors as the moment estimator.
 */
export function fitCountByLikelihood(counts: readonly number[]): Result<CountFit> {
  const moments = fitCountByMoments(counts);
  if (!moments.ok || moments.value.size === undefined) return moments;
  const { mean, variance } = moments.value;
  const score = (k: number) =>
    counts.reduce((a, y) => a + digamma(y + k), 0) / counts.length -
    digamma(k) +
    Math.log(k / (k + mean));
  let low = Math.log(1e-6);
  let high = Math.log(1e8);
  for (let i = 0; i < 200 && high - low > 1e-14; i += 1) {
    const middle = (low + high) / 2;
    if (score(Math.exp(middle)) > 0) low = middle;
    else high = middle;
  }
  return ok({ mean, variance, size: Math.exp((low + high) / 2) });
}
