import type { CoreError } from '../shared/errors.ts';
import { coreError } from '../shared/errors.ts';
import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';

/**
 * How many: a distribution over whole numbers (covers, portions).
 *
 * `mean` is always the mean of the whole count. `floor` is the part that is certain: the count is
 * `floor + X` with X of the named kind and mean `mean − floor` (absent means 0).
 * - `negative-binomial`: X has variance m + m²/size, m = mean − floor (over-dispersed)
 * - `poisson`: X has variance m
 * - `point`: exactly `mean`, a whole number
 * - `table`: P(count = start + i) = probabilities[i]; sums to 1 within rounding
 * Plain data: it can be stored as JSON and read back.
 */
export type CountDistribution = NegativeBinomialCount | PoissonCount | PointCount | TableCount;

export interface NegativeBinomialCount {
  readonly kind: 'negative-binomial';
  readonly mean: number;
  readonly size: number;
  readonly floor?: number;
}

export interface PoissonCount {
  readonly kind: 'poisson';
  readonly mean: number;
  readonly floor?: number;
}

export interface PointCount {
  readonly kind: 'point';
  readonly mean: number;
  readonly floor?: number;
}

export interface TableCount {
  readonly kind: 'table';
  readonly mean: number;
  readonly start: number;
  readonly probabilities: readonly number[];
  /** The count this was cut from by a ceiling (see `cappedCount`), for the explanation. */
  readonly cutFrom?: {
    readonly count: NegativeBinomialCount | PoissonCount;
    readonly ceiling: number;
  };
}

/** Above this size a negative binomial is a Poisson to the last digit we use. */
const POISSON_SIZE = 1e9;

/** Exactly `count`, a whole number of at least 0. */
export function pointCount(count: number): PointCount {
  if (!Number.isInteger(count) || count < 0) {
    throw new RangeError(`A point count is a whole number of at least 0, got ${count}`);
  }
  return { kind: 'point', mean: count };
}

/** The certain part of a count (0 for a table, which carries its own start). */
export function floorOf(dist: CountDistribution): number {
  return dist.kind === 'table' ? dist.start : dist.kind === 'point' ? dist.mean : (dist.floor ?? 0);
}

/** Mean of a count. */
export function meanOf(dist: CountDistribution): number {
  return dist.mean;
}

/** Variance of a count. */
export function varianceOf(dist: CountDistribution): number {
  switch (dist.kind) {
    case 'point':
      return 0;
    case 'poisson':
      return dist.mean - (dist.floor ?? 0);
    case 'negative-binomial': {
      const m = dist.mean - (dist.floor ?? 0);
      return m + (m * m) / dist.size;
    }
    case 'table': {
      let sum = 0;
      dist.probabilities.forEach((p, i) => {
        const deviation = dist.start + i - dist.mean;
        sum += p * deviation * deviation;
      });
      return sum;
    }
  }
}

/**
 * The count with a given mean and variance: negative binomial when the variance is above that of
 * a Poisson over `floor`, else a Poisson whose certain part is raised until the variance fits.
 * Moment estimator size = m²/(variance − m), m = mean − floor.
 *
 * @param floor certain part, a whole number of at least 0 and at most `mean`
 */
export function countFromMoments(mean: number, variance: number, floor = 0): CountDistribution {
  if (!(mean >= 0) || !(variance >= 0) || !Number.isInteger(floor) || floor < 0 || floor > mean) {
    throw new RangeError(`Mean ${mean}, variance ${variance}, floor ${floor} are no count`);
  }
  const m = mean - floor;
  if (variance > m) {
    const size = m > 0 ? (m * m) / (variance - m) : Infinity;
    if (size < POISSON_SIZE && size > 0) {
      return floor > 0
        ? { kind: 'negative-binomial', mean, size, floor }
        : { kind: 'negative-binomial', mean, size };
    }
    return floor > 0 ? { kind: 'poisson', mean, floor } : { kind: 'poisson', mean };
  }
  if (variance === 0 && Number.isInteger(mean)) return pointCount(mean);
  const raised = Math.max(floor, Math.floor(mean - variance));
  return raised > 0 ? { kind: 'poisson', mean, floor: raised } : { kind: 'poisson', mean };
}

/** Checks a distribution that came from outside (storage, a request). Error kind `out-of-range`. */
export function checkCount(dist: CountDistribution): Result<CountDistribution> {
  const fault = faultOf(dist);
  return fault === undefined ? ok(dist) : err(fault);
}

function faultOf(dist: CountDistribution): CoreError | undefined {
  const refuse = (message: string, path: string) =>
    coreError('out-of-range', message, { path: [path], detail: { kind: dist.kind } });
  if (!Number.isFinite(dist.mean) || dist.mean < 0) {
    return refuse('The mean of a count is a number of at least 0.', 'mean');
  }
  switch (dist.kind) {
    case 'point':
      return Number.isInteger(dist.mean)
        ? undefined
        : refuse('An exact count is a whole number.', 'mean');
    case 'table': {
      const sum = dist.probabilities.reduce((a, p) => a + p, 0);
      if (!Number.isInteger(dist.start) || dist.start < 0) {
        return refuse('A table of counts starts at a whole number of at least 0.', 'start');
      }
      return dist.probabilities.every((p) => p >= 0) && Math.abs(sum - 1) < 1e-6
        ? undefined
        : refuse(
            'The chances of a table of counts are at least 0 and add up to 1.',
            'probabilities',
          );
    }
    default: {
      const floor = dist.floor ?? 0;
      if (!Number.isInteger(floor) || floor < 0 || floor > dist.mean) {
        return refuse('The certain part is a whole number between 0 and the mean.', 'floor');
      }
      return dist.kind === 'poisson' || dist.size > 0
        ? undefined
        : refuse('The size of a negative binomial is above 0.', 'size');
    }
  }
}
