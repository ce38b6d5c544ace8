import type { CountDistribution } from './count-distribution.ts';
import { floorOf } from './count-distribution.ts';
import { lnGamma } from './gamma-function.ts';

/**
 * The probability masses of a count, walked upward from a start below which less than about 1e-20
 * of the mass lies. `next()` returns P(count = at) and moves on.
 */
export interface MassWalk {
  at: number;
  next(): number;
}

/**
 * Begins a walk over the masses of `dist`. Negative binomial and Poisson masses follow their
 * one-step recurrences (Johnson, Kemp & Kotz, Univariate Discrete Distributions, the Panjer class)
 * from a first mass computed in logarithms, so nothing under- or overflows for large means.
 */
export function walkMasses(dist: CountDistribution): MassWalk {
  if (dist.kind === 'table') return tableWalk(dist.start, dist.probabilities);
  if (dist.kind === 'point') return tableWalk(dist.mean, [1]);
  const floor = floorOf(dist);
  const m = dist.mean - floor;
  if (m <= 0) return tableWalk(floor, [1]);
  const size = dist.kind === 'poisson' ? Infinity : dist.size;
  const sd = Math.sqrt(m + (size === Infinity ? 0 : (m * m) / size));
  const first = Math.max(0, Math.floor(m - 11 * sd));
  let k = first;
  let mass = Math.exp(lnMass(k, m, size));
  const odds = size === Infinity ? 0 : m / (m + size);
  return {
    at: floor + first,
    next() {
      const current = mass;
      k += 1;
      mass *= size === Infinity ? m / k : (odds * (k - 1 + size)) / k;
      this.at = floor + k;
      return current;
    },
  };
}

function tableWalk(start: number, probabilities: readonly number[]): MassWalk {
  return {
    at: start,
    next() {
      const mass = probabilities[this.at - start] ?? 0;
      this.at += 1;
      return mass;
    },
  };
}

function lnMass(k: number, m: number, size: number): number {
  if (size === Infinity) return k * Math.log(m) - m - lnGamma(k + 1);
  return (
    lnGamma(k + size) -
    lnGamma(size) -
    lnGamma(k + 1) -
    size * Math.log1p(m / size) +
    (k === 0 ? 0 : k * (Math.log(m) - Math.log(m + size)))
  );
}

/** P(count = k). */
export function probabilityOf(dist: CountDistribution, k: number): number {
  if (!Number.isInteger(k) || k < 0) return 0;
  if (dist.kind === 'table') return dist.probabilities[k - dist.start] ?? 0;
  if (dist.kind === 'point') return k === dist.mean ? 1 : 0;
  const floor = floorOf(dist);
  const m = dist.mean - floor;
  if (k < floor) return 0;
  if (m <= 0) return k === floor ? 1 : 0;
  return Math.exp(lnMass(k - floor, m, dist.kind === 'poisson' ? Infinity : dist.size));
}

/** A count written out as a table of masses, leaving out no more than `tail` at the upper end. */
export function tabulate(
  dist: CountDistribution,
  tail = 1e-12,
): { readonly start: number; readonly probabilities: readonly number[] } {
  if (dist.kind === 'table') return { start: dist.start, probabilities: dist.probabilities };
  const walk = walkMasses(dist);
  let start = walk.at;
  const probabilities: number[] = [];
  let cumulative = 0;
  const limit = start + 10_000_000;
  while (cumulative < 1 - tail && walk.at < limit) {
    const past = walk.at > dist.mean;
    const mass = walk.next();
    cumulative += mass;
    if (probabilities.length === 0 && mass < 1e-18 && cumulative < 0.5) start = walk.at;
    else probabilities.push(mass);
    // Rounding can keep the sum from ever reaching 1 − tail; past the mean a vanishing mass ends it.
    if (past && mass < 1e-20) break;
  }
  return { start, probabilities };
}
