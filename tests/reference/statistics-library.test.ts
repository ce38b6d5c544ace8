import { jStat } from 'jstat';
import { describe, expect, it } from 'vitest';
import { cdf, quantile } from '../../api/core/distributions/index.ts';

// jStat, a general-purpose statistics library, which works its chances out by other means than we do.
const LEVELS = [0.01, 0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95, 0.99];

describe('jStat, quantiles of counts', () => {
  it.each([
    [0.7, 2],
    [4, 1.2],
    [10, 3],
    [10, 10],
    [25, 1.5],
    [42.5, 10],
    [80, 25],
  ])('a negative binomial of mean %d and size %d has its chances and quantiles', (mean, size) => {
    const dist = { kind: 'negative-binomial', mean, size } as const;
    const p = size / (size + mean);
    for (const level of LEVELS) {
      const q = quantile(dist, level);
      expect(jStat.negbin.cdf(q, size, p)).toBeGreaterThanOrEqual(level - 1e-9);
      if (q > 0) expect(jStat.negbin.cdf(q - 1, size, p)).toBeLessThan(level);
      expect(cdf(dist, q)).toBeCloseTo(jStat.negbin.cdf(q, size, p), 9);
    }
  });

  it.each([0.3, 2.5, 10, 42.5, 90])(
    'a Poisson of mean %d has its chances and quantiles',
    (mean) => {
      const dist = { kind: 'poisson', mean } as const;
      for (const level of LEVELS) {
        const q = quantile(dist, level);
        expect(jStat.poisson.cdf(q, mean)).toBeGreaterThanOrEqual(level - 1e-9);
        if (q > 0) expect(jStat.poisson.cdf(q - 1, mean)).toBeLessThan(level);
        expect(cdf(dist, q)).toBeCloseTo(jStat.poisson.cdf(q, mean), 9);
      }
    },
  );
});
