import type { CountDistribution } from './count-distribution.ts';
import { walkMasses } from './count-masses.ts';

/** Slack for rounding in the running sum, relative to the level (as statistical packages allow). */
const LEVEL_SLACK = 1e-12;

/** P(count ≤ k); k may be any real number. */
export function cdf(dist: CountDistribution, k: number): number {
  const last = Math.floor(k);
  const walk = walkMasses(dist);
  let cumulative = 0;
  while (walk.at <= last) {
    const past = walk.at > dist.mean;
    const mass = walk.next();
    cumulative += mass;
    if (past && mass < 1e-20) break;
  }
  return Math.min(1, cumulative);
}

/** Smallest whole number k with P(count ≤ k) ≥ level; `level` between 0 and 1, 1 excluded. */
export function quantile(dist: CountDistribution, level: number): number {
  return quantiles(dist, [level])[0] ?? Number.NaN;
}

/**
 * Quantiles at several levels in one walk over the masses; the answer keeps the order of `levels`
 * and never falls as the level rises.
 * @throws RangeError when a level is not in [0, 1)
 */
export function quantiles(dist: CountDistribution, levels: readonly number[]): number[] {
  for (const level of levels) {
    if (!(level >= 0 && level < 1)) {
      throw new RangeError(`A quantile level is at least 0 and below 1, got ${level}`);
    }
  }
  const found = levels.slice();
  const order = levels.map((_, i) => i);
  if (!isRising(levels)) order.sort((a, b) => (levels[a] ?? 0) - (levels[b] ?? 0));
  const walk = walkMasses(dist);
  let k = walk.at;
  let cumulative = walk.next();
  let previous = cumulative;
  for (const index of order) {
    const level = (levels[index] ?? 0) * (1 - LEVEL_SLACK);
    while (cumulative < level) {
      k = walk.at;
      const mass = walk.next();
      cumulative += mass;
      // The tail no longer adds up in double precision: no higher quantile can be told apart.
      if (k > dist.mean && mass < 1e-20 && mass <= previous) break;
      previous = mass;
    }
    found[index] = k;
  }
  return found;
}

function isRising(levels: readonly number[]): boolean {
  for (let i = 1; i < levels.length; i += 1) {
    if ((levels[i] ?? 0) < (levels[i - 1] ?? 0)) return false;
  }
  return true;
}
