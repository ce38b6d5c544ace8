import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { dishDemand } from '../../../api/core/demand/index.ts';
import type { DishDemandInput } from '../../../api/core/demand/index.ts';
import {
  pointCount,
  probabilityOf,
  quantile,
  varianceOf,
} from '../../../api/core/distributions/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';

const certain = (mean: number) => ({ mean, strength: Infinity });
const demand = (input: DishDemandInput) => unwrap(dishDemand(input));
const anyInput = fc.record({
  covers: fc.record({
    kind: fc.constant('negative-binomial' as const),
    mean: fc.double({ min: 1, max: 90, noNaN: true }),
    size: fc.double({ min: 1, max: 60, noNaN: true }),
  }),
  share: fc.record({
    mean: fc.double({ min: 0.02, max: 0.98, noNaN: true }),
    strength: fc.double({ min: 20, max: 2000, noNaN: true }),
    dayVariation: fc.double({ min: 0, max: 0.1, noNaN: true }),
  }),
  perCover: fc.constantFrom('several' as const, 'at-most-one' as const),
});

describe('portions of a dish', () => {
  it('have the mean covers × share and the variance of a compound count (property)', () => {
    fc.assert(
      fc.property(anyInput, ({ covers, share, perCover }) => {
        const made = demand({ covers, share, perCover });
        const { mean: s } = share;
        expect(made.mean).toBeCloseTo(covers.mean * s, 6);
        // Law of total variance: E[Var(K | N)] + Var(E[K | N]).
        const v = varianceOf(covers);
        const square = v + covers.mean ** 2;
        const relative = Math.min(
          1 / (share.strength * s) + share.dayVariation,
          perCover === 'several' ? Infinity : (1 - s) / s / 1.001,
        );
        const chance =
          perCover === 'several'
            ? covers.mean * s + s * s * relative * square
            : covers.mean * s * (1 - s) + s * s * relative * (square - covers.mean);
        expect(varianceOf(made.distribution) / (chance + s * s * v)).toBeCloseTo(1, 4);
        const found = made.quantiles.map((q) => q.portions);
        expect(found).toEqual([...found].sort((a, b) => a - b));
      }),
      { numRuns: 60 },
    );
  });

  it('of a thinned negative binomial are the negative binomial of the same size', () => {
    // A known identity: each of N guests orders with chance s; N of mean m, size k gives mean sm, size k.
    const made = demand({
      covers: { kind: 'negative-binomial', mean: 40, size: 7 },
      share: certain(0.3),
      perCover: 'at-most-one',
    });
    const thinned = { kind: 'negative-binomial', mean: 12, size: 7 } as const;
    for (let k = 0; k < 50; k += 1) {
      expect(probabilityOf(made.distribution, k)).toBeCloseTo(probabilityOf(thinned, k), 9);
    }
  });

  it('have quantiles of their own, not the product of two', () => {
    const covers = { kind: 'negative-binomial', mean: 60, size: 8 } as const;
    const made = demand({
      covers,
      share: { mean: 0.3, strength: 150, dayVariation: 0.03 },
      levels: [0.95],
    });
    const both = quantile(covers, 0.95) * 0.3 * 1.5;
    expect(made.quantiles[0]?.portions).toBeLessThan(both);
    expect(made.quantiles[0]?.portions).toBeGreaterThan(quantile(covers, 0.95) * 0.3);
  });

  it('of set menus and pre-orders are exact, and their guests choose nothing more', () => {
    const exact = [{ label: 'set menu', portions: 20, covers: 20 }];
    const all = demand({ covers: pointCount(20), share: certain(0.4), exact });
    expect(all.distribution).toMatchObject({ mean: 20 });
    expect(all.quantiles.map((q) => q.portions)).toEqual([20, 20, 20, 20, 20, 20, 20]);
    const some = demand({ covers: pointCount(50), share: certain(0.4), exact });
    expect(some.choosingCovers).toBe(30);
    expect(some.mean).toBeCloseTo(32, 9);
    expect(some.quantiles[0]?.portions).toBeGreaterThanOrEqual(20);
    expect(some.terms.reduce((a, t) => a + t.value * t.factor, 0)).toBeCloseTo(some.mean, 9);
  });

  it('are none where nobody comes or nobody orders', () => {
    expect(demand({ covers: pointCount(0), share: certain(0.4) }).quantiles.at(-1)?.portions).toBe(
      0,
    );
    expect(demand({ covers: pointCount(80), share: certain(0) }).quantiles.at(-1)?.portions).toBe(
      0,
    );
  });

  it('at most one a cover never pass the covers, and all of them order at a share of 1', () => {
    const made = demand({
      covers: pointCount(30),
      share: { mean: 0.9, strength: 40 },
      perCover: 'at-most-one',
      levels: [0.999],
    });
    expect(made.quantiles[0]?.portions).toBeLessThanOrEqual(30);
    const all = demand({
      covers: pointCount(42),
      share: { mean: 1, strength: 40 },
      perCover: 'at-most-one',
    });
    expect(all.quantiles[0]?.portions).toBe(42);
  });

  it.each([
    [{ covers: pointCount(10), share: { mean: -0.1, strength: 10 } }, ['share', 'mean']],
    [
      {
        covers: pointCount(10),
        share: { mean: 1.2, strength: 10 },
        perCover: 'at-most-one' as const,
      },
      ['share', 'mean'],
    ],
    [{ covers: pointCount(10), share: { mean: 0.2, strength: 0 } }, ['share', 'strength']],
    [{ covers: { kind: 'poisson' as const, mean: -1 }, share: certain(0.2) }, ['covers', 'mean']],
    [
      {
        covers: pointCount(10),
        share: certain(0.2),
        exact: [{ label: 'x', portions: 1.5, covers: 1 }],
      },
      ['exact', 0, 'portions'],
    ],
    [{ covers: pointCount(10), share: certain(0.2), levels: [0] }, ['levels', 0]],
  ])('out of bounds are refused with their path: %#', (input, path) => {
    const refused = dishDemand(input);
    expect(refused.ok ? [] : refused.error.path).toEqual(path);
  });
});
