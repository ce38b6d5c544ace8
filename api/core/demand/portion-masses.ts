import type { CountDistribution } from '../distributions/index.ts';
import { walkMasses } from '../distributions/index.ts';

/** Masses of the portions of one number of covers are walked until they fall below this. */
const NEGLIGIBLE = 1e-17;

/** Chances of 0, 1, 2 … portions, added up; grows as more are reached. */
export interface PortionMasses {
  masses: Float64Array;
  /** How many of them are in use. */
  count: number;
}

export function noPortions(): PortionMasses {
  return { masses: new Float64Array(64), count: 0 };
}

/**
 * Adds to `sum` the chances of each number of portions ordered by `covers` covers, times `weight`.
 *
 * @param share mean portions per cover
 * @param relativeVariance variance of the share ÷ share², not counting chance within the service
 */
export function addPortionMasses(
  sum: PortionMasses,
  covers: number,
  share: number,
  relativeVariance: number,
  perCover: 'several' | 'at-most-one',
  weight: number,
): void {
  if (covers === 0 || share === 0) {
    addAt(sum, 0, weight);
    return;
  }
  if (perCover === 'at-most-one') {
    const masses = betaBinomialMasses(covers, share, relativeVariance);
    for (let k = masses.length - 1; k >= 0; k -= 1) addAt(sum, k, weight * (masses[k] ?? 0));
    return;
  }
  const mean = covers * share;
  const dist: CountDistribution =
    relativeVariance > 0
      ? { kind: 'negative-binomial', mean, size: 1 / relativeVariance }
      : { kind: 'poisson', mean };
  const walk = walkMasses(dist);
  for (;;) {
    const k = walk.at;
    const mass = walk.next();
    addAt(sum, k, weight * mass);
    if (k > mean && mass < NEGLIGIBLE) return;
  }
}

function addAt(sum: PortionMasses, k: number, mass: number): void {
  if (k >= sum.masses.length) {
    const larger = new Float64Array(2 * k + 2);
    larger.set(sum.masses);
    sum.masses = larger;
  }
  sum.masses[k] = (sum.masses[k] ?? 0) + mass;
  if (k >= sum.count) sum.count = k + 1;
}

/**
 * Masses 0…n of the beta-binomial with mean n·share whose share has the given relative variance;
 * binomial when that is 0. Built outward from the mean by the one-step ratio
 * P(k+1)/P(k) = (n−k)(a+k) ÷ ((k+1)(b+n−k−1)) and then made to add up to 1.
 */
export function betaBinomialMasses(
  n: number,
  share: number,
  relativeVariance: number,
): Float64Array {
  const masses = new Float64Array(n + 1);
  if (share >= 1) {
    masses[n] = 1;
    return masses;
  }
  // Var(S) = s(1−s)/(c+1) = s²·v, so c = (1−s)/(s·v) − 1; never so wide that c falls to 0.
  const c =
    relativeVariance > 0 ? Math.max(1e-3, (1 - share) / (share * relativeVariance) - 1) : Infinity;
  const a = share * c;
  const b = (1 - share) * c;
  const ratio = (k: number): number =>
    c === Infinity
      ? ((n - k) * share) / ((k + 1) * (1 - share))
      : ((n - k) * (a + k)) / ((k + 1) * (b + n - k - 1));
  const middle = Math.min(n, Math.floor(n * share));
  let total = 1;
  masses[middle] = 1;
  for (let k = middle, mass = 1; k < n; k += 1) {
    mass *= ratio(k);
    masses[k + 1] = mass;
    total += mass;
  }
  for (let k = middle - 1, mass = 1; k >= 0; k -= 1) {
    mass /= ratio(k);
    masses[k] = mass;
    total += mass;
  }
  for (let k = 0; k <= n; k += 1) masses[k] = (masses[k] ?? 0) / total;
  return masses;
}
