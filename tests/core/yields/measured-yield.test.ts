import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  describeSample,
  proposeStandardYield,
  summariseWeighings,
} from '../../../api/core/yields/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';
import type { Result } from '../../../api/core/shared/result.ts';

const kindOf = (result: Result<unknown>) => (result.ok ? 'ok' : result.error.kind);

/** Synthetic weighings of 1000 each, with these yields in per mille. */
const weighings = (...afters: number[]) =>
  afters.map((after, index) => ({
    date: `2026-03-${String(index + 1).padStart(2, '0')}`,
    before: 1000,
    after,
  }));

describe('summariseWeighings', () => {
  it('gives mean, spread and number', () => {
    const summary = unwrap(summariseWeighings(weighings(900, 910, 920)));
    expect(summary.n).toBe(3);
    expect(summary.mean).toBeCloseTo(0.91, 12);
    expect(summary.sd).toBeCloseTo(0.01, 12);
    /* Student's t for 2 degrees of freedom at 95 %: 4.303 (printed tables). */
    expect(summary.interval95?.[0]).toBeCloseTo(0.91 - (4.303 * 0.01) / Math.sqrt(3), 9);
    expect(summary.outlierNote).toBeUndefined();
  });

  it('says nothing about spread from one weighing', () => {
    const summary = unwrap(summariseWeighings(weighings(900)));
    expect([summary.mean, summary.sd, summary.interval95]).toEqual([0.9, undefined, undefined]);
  });

  it('marks a weighing far off the rest, names its date and keeps it in the mean', () => {
    const summary = unwrap(summariseWeighings(weighings(900, 905, 910, 895, 902, 600)));
    expect(summary.weighings.map((one) => one.outlier)).toEqual([
      false,
      false,
      false,
      false,
      false,
      true,
    ]);
    expect(summary.outlierNote).toContain('2026-03-06 (60 %)');
    expect(summary.mean).toBeCloseTo((900 + 905 + 910 + 895 + 902 + 600) / 6000, 12);
  });

  it('finds an outlier among equal weighings, and none where all are equal', () => {
    const odd = unwrap(summariseWeighings(weighings(900, 900, 900, 900, 900, 900, 850)));
    expect(odd.weighings.filter((one) => one.outlier)).toHaveLength(1);
    const even = unwrap(summariseWeighings(weighings(900, 900, 900, 900, 900)));
    expect(even.outlierNote).toBeUndefined();
  });

  it('accepts a gain in cooking and refuses impossible weighings at their place', () => {
    expect(kindOf(summariseWeighings(weighings(2600)))).toBe('ok');
    expect(kindOf(summariseWeighings([]))).toBe('missing-data');
    for (const [before, after, field] of [
      [0, 10, 'before'],
      [-1, 10, 'before'],
      [100, 0, 'after'],
      [100, -5, 'after'],
      [100, 2001, 'after'],
      [100, NaN, 'after'],
    ] as const) {
      const refused = summariseWeighings([
        ...weighings(900),
        { date: '2026-03-02', before, after },
      ]);
      expect(kindOf(refused)).toBe('out-of-range');
      expect(!refused.ok && refused.error.path).toEqual([1, field]);
    }
  });

  it('the mean lies between the least and the most, whatever the pieces weighed', () => {
    const weighing = fc.record({
      date: fc.constant('2026-03-01'),
      before: fc.double({ min: 1, max: 1e4, noNaN: true }),
      after: fc.double({ min: 1, max: 10, noNaN: true }),
    });
    fc.assert(
      fc.property(fc.array(weighing, { minLength: 1, maxLength: 30 }), (series) => {
        const fractions = series.map((one) => one.after / one.before);
        const summary = unwrap(summariseWeighings(series));
        expect(summary.mean).toBeGreaterThanOrEqual(Math.min(...fractions) * (1 - 1e-12));
        expect(summary.mean).toBeLessThanOrEqual(Math.max(...fractions) * (1 + 1e-12));
      }),
    );
  });
});

describe('proposeStandardYield', () => {
  it('proposes the mean without outliers, to a tenth of a per cent', () => {
    const proposal = unwrap(proposeStandardYield(weighings(900, 905, 910, 895, 902, 600)));
    expect(proposal.proposedFraction).toBe(0.902);
    expect(proposal.n).toBe(5);
    expect(proposal.source).toBe('measured, 5 weighings, 2026-03-01 to 2026-03-05');
  });

  it('says when the standard in use lies outside what was weighed', () => {
    const off = unwrap(proposeStandardYield(weighings(900, 905, 910, 893), 0.85));
    expect(off.clearlyDifferent).toBe(true);
    expect(off.change).toBeCloseTo(0.902 - 0.85, 12);
    const fits = unwrap(proposeStandardYield(weighings(900, 905, 910, 893), 0.9));
    expect(fits.clearlyDifferent).toBe(false);
  });

  it('asks for three weighings that agree', () => {
    expect(kindOf(proposeStandardYield(weighings(900, 905)))).toBe('missing-data');
  });
});

/*
 * Source: NIST Statistical Reference Datasets, univariate summary statistics, NumAcc1 (10000001,
 * 10000003, 10000002: certified mean 10000002, standard deviation 1), from memory.
 */
describe('describeSample', () => {
  it('keeps its digits on NIST NumAcc1', () => {
    const sample = describeSample([10000001, 10000003, 10000002]);
    expect(sample.mean).toBe(10000002);
    expect(sample.sd).toBe(1);
  });
});
