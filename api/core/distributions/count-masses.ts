import type { CountDistribution } from './count-distribution.ts';
import { floorOf } from './count-distribution.ts';
import { lnGamma } from './gamma-function.ts';

/**
 * The probability masses of a count, walked upward from a start below which less than about 1e-20
 * of the mass lies. `at` is the count whose mass `next()` will return.
 *
 * Negative binomial and Poisson masses follow P(k) = P(k − 1)·(a + b/k) (the Panjer class; Johnson,
 * Kemp & Kotz, Univariate Discrete Distributions) from a first mass computed in logarithms, so
 * nothing under- or overflows for large means.
 */
export class MassWalk {
  at: number;
  private k: number;
  private mass: number;
  private readonly a: number;
  private readonly b: number;
  private readonly table: readonly number[] | null;

  constructor(dist: CountDistribution) {
    this.k = 0;
    this.a = 0;
    this.b = 0;
    this.table = null;
    if (dist.kind === 'table') {
      this.at = dist.start;
      this.mass = dist.probabilities[0] ?? 0;
      this.table = dist.probabilities;
      return;
    }
    const floor = floorOf(dist);
    const m = dist.mean - floor;
    if (dist.kind === 'point' || m <= 0) {
      // a = b = 0: all of the mass lies here.
      this.at = floor;
      this.mass = 1;
      return;
    }
    const size = dist.kind === 'poisson' ? Infinity : dist.size;
    const sd = Math.sqrt(size === Infinity ? m : m + (m * m) / size);
    this.k = Math.max(0, Math.floor(m - 11 * sd));
    this.at = floor + this.k;
    this.mass = Math.exp(lnMass(this.k, m, size));
    this.a = size === Infinity ? 0 : m / (m + size);
    this.b = size === Infinity ? m : this.a * (size - 1);
  }

  /** The mass at `at`; then moves on by one. */
  next(): number {
    const current = this.mass;
    this.k += 1;
    this.at += 1;
    this.mass =
      this.table === null ? current * (this.a + this.b / this.k) : (this.table[this.k] ?? 0);
    return current;
  }
}

/** Begins a walk over the masses of `dist`. */
export function walkMasses(dist: CountDistribution): MassWalk {
  return new MassWalk(dist);
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
