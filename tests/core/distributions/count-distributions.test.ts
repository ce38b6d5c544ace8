import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  cappedCount,
  cdf,
  checkCount,
  countFromMoments,
  normalCdf,
  normalQuantile,
  pointCount,
  probabilityOf,
  quantile,
  quantiles,
  shifted,
  stockOutcome,
  sumIndependent,
  tabulate,
  varianceOf,
} from '../../../api/core/distributions/index.ts';
import type { CountDistribution } from '../../../api/core/distributions/index.ts';

const mean = fc.double({ min: 0.05, max: 150, noNaN: true });
const floor = fc.integer({ min: 0, max: 20 });
const poisson = fc
  .record({ mean, floor })
  .map((d): CountDistribution => ({ kind: 'poisson', mean: d.mean + d.floor, floor: d.floor }));
const binomial = fc
  .record({ mean, floor, size: fc.double({ min: 0.3, max: 200, noNaN: true }) })
  .map((d): CountDistribution => ({
    kind: 'negative-binomial',
    mean: d.mean + d.floor,
    size: d.size,
    floor: d.floor,
  }));
const point = fc.integer({ min: 0, max: 200 }).map((n): CountDistribution => pointCount(n));
const anyCount = fc.oneof(poisson, binomial, point);
const runs = { numRuns: 80 };

/** Mean and variance of the masses themselves. */
function momentsOf(dist: CountDistribution): { mean: number; variance: number; total: number } {
  const { start, probabilities } = tabulate(dist, 1e-14);
  let total = 0;
  let sum = 0;
  let squares = 0;
  probabilities.forEach((p, i) => {
    total += p;
    sum += p * (start + i);
    squares += p * (start + i - dist.mean) ** 2;
  });
  return { mean: sum, variance: squares, total };
}

describe('any count (property)', () => {
  it('has chances that add up to 1, with its mean and variance', () => {
    fc.assert(
      fc.property(anyCount, (dist) => {
        const made = momentsOf(dist);
        expect(made.total).toBeCloseTo(1, 9);
        expect(made.mean / Math.max(1, dist.mean)).toBeCloseTo(
          dist.mean / Math.max(1, dist.mean),
          6,
        );
        expect(made.variance / (1 + varianceOf(dist))).toBeCloseTo(
          varianceOf(dist) / (1 + varianceOf(dist)),
          5,
        );
      }),
      runs,
    );
  });

  it('has the smallest number that reaches a level as quantile, rising with the level', () => {
    fc.assert(
      fc.property(anyCount, fc.double({ min: 0.001, max: 0.999, noNaN: true }), (dist, level) => {
        const q = quantile(dist, level);
        expect(cdf(dist, q)).toBeGreaterThanOrEqual(level - 1e-9);
        expect(cdf(dist, q - 1)).toBeLessThan(level + 1e-9);
        const mixed = quantiles(dist, [0.9, level, 0.1]);
        expect(mixed[1]).toBe(q);
        expect(mixed[2]).toBeLessThanOrEqual(mixed[0] ?? -1);
      }),
      runs,
    );
  });

  it('never falls under its certain part', () => {
    fc.assert(
      fc.property(fc.oneof(poisson, binomial), (dist) => {
        const least = dist.kind === 'table' || dist.kind === 'point' ? 0 : (dist.floor ?? 0);
        expect(quantile(dist, 0)).toBeGreaterThanOrEqual(least);
        expect(probabilityOf(dist, least - 1)).toBe(0);
      }),
      runs,
    );
  });

  it('meets a stock with shortfall, leftover and demand that balance', () => {
    fc.assert(
      fc.property(anyCount, fc.double({ min: 0, max: 250, noNaN: true }), (dist, stock) => {
        const met = stockOutcome(dist, stock);
        expect(met.shortfall - met.leftover).toBeCloseTo(dist.mean - stock, 5);
        expect(met.chanceEnough).toBeCloseTo(cdf(dist, stock), 9);
        expect(stockOutcome(dist, stock + 1).shortfall).toBeLessThanOrEqual(met.shortfall + 1e-9);
      }),
      runs,
    );
  });

  it('added to another has the sum of means and variances, whatever their kinds', () => {
    fc.assert(
      fc.property(anyCount, anyCount, fc.integer({ min: 0, max: 9 }), (a, b, by) => {
        const sum = sumIndependent([a, b]);
        expect(sum.mean).toBeCloseTo(a.mean + b.mean, 6);
        expect(varianceOf(sum) / (1 + varianceOf(a) + varianceOf(b))).toBeCloseTo(
          (varianceOf(a) + varianceOf(b)) / (1 + varianceOf(a) + varianceOf(b)),
          4,
        );
        expect(quantile(shifted(sum, by), 0.8)).toBe(quantile(sum, 0.8) + by);
      }),
      { numRuns: 40 },
    );
  });

  it('cut at a ceiling keeps every chance below it, and knows what it was cut from', () => {
    fc.assert(
      fc.property(binomial, fc.integer({ min: 1, max: 150 }), (dist, ceiling) => {
        const cut = cappedCount(dist, ceiling);
        for (const level of [0.05, 0.5, 0.95]) {
          const free = quantile(dist, level);
          expect(quantile(cut, level)).toBe(cut === dist ? free : Math.min(ceiling, free));
        }
        expect(cut.mean).toBeLessThanOrEqual(dist.mean + 1e-9);
        if (cut.kind === 'table') expect(cut.cutFrom).toEqual({ count: dist, ceiling });
        expect(checkCount(cut).ok).toBe(true);
      }),
      runs,
    );
  });

  it('made from a mean and a variance has them', () => {
    fc.assert(
      fc.property(mean, fc.double({ min: 0.5, max: 40, noNaN: true }), (m, factor) => {
        const dist = countFromMoments(m, m * factor);
        expect(dist.mean).toBeCloseTo(m, 9);
        // Under a Poisson the certain part is whole, so the variance fits within 1.
        const off = Math.abs(varianceOf(dist) - m * factor);
        expect(off).toBeLessThan(factor >= 1 ? 1e-6 * (1 + m * factor) : 1);
      }),
      runs,
    );
  });
});

describe('a count from outside', () => {
  it.each([
    [{ kind: 'poisson', mean: -1 }, 'mean'],
    [{ kind: 'negative-binomial', mean: 4, size: 0 }, 'size'],
    [{ kind: 'poisson', mean: 4, floor: 5 }, 'floor'],
    [{ kind: 'point', mean: 1.5 }, 'mean'],
    [{ kind: 'table', mean: 1, start: 0, probabilities: [0.5, 0.4] }, 'probabilities'],
    [{ kind: 'table', mean: 1, start: -1, probabilities: [1] }, 'start'],
  ] as const)('%j is refused at its %s', (dist, path) => {
    const refused = checkCount(dist as CountDistribution);
    expect(refused.ok ? [] : refused.error.path).toEqual([path]);
  });

  it('has no quantile at a level outside 0 to 1', () => {
    expect(() => quantile(pointCount(3), 1)).toThrow(RangeError);
    expect(() => quantile(pointCount(3), -0.1)).toThrow(RangeError);
    expect(() => pointCount(2.5)).toThrow(RangeError);
  });
});

describe('the normal distribution', () => {
  it('has quantiles that its chances lead back to (property)', () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-6, max: 1 - 1e-6, noNaN: true }), (p) => {
        expect(normalCdf(normalQuantile(p))).toBeCloseTo(p, 8);
      }),
    );
  });
});
