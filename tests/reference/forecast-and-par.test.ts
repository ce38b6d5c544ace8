import { readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  coverage,
  mase,
  meanAbsoluteError,
  meanPinballLoss,
  seasonalNaiveScale,
  wape,
  winklerScore,
} from '../../api/core/backtest/index.ts';
import { quantile, stockOutcome, sumIndependent } from '../../api/core/distributions/index.ts';
import { holtWinters, simpleSmoothing, smoothingForecast } from '../../api/core/forecast/index.ts';
import { criticalFraction } from '../../api/core/par/index.ts';
import { unwrap } from '../../api/core/shared/index.ts';

// Reference output of R 4.2.2 (stats, MASS, forecast); the script beside the file made it.
interface Smoothed {
  readonly SSE: number;
  readonly forecast7: readonly number[];
  readonly fitted: readonly number[];
  readonly 'l.start': number;
  readonly 'b.start': number;
  readonly 's.start': readonly number[];
}
interface Reference {
  readonly HW_fixed_series: readonly number[];
  readonly HW_given_start_additive: Smoothed;
  readonly HW_given_start_multiplicative: Smoothed;
  readonly Nile: readonly number[];
  readonly SES_Nile: { readonly alpha: number; readonly SSE: number; readonly level: number };
  readonly probs: readonly number[];
  readonly qnbinom: readonly { readonly mu: number; readonly size: number; readonly q: number[] }[];
  readonly qpois: readonly { readonly mu: number; readonly q: number[] }[];
}
const R = JSON.parse(
  readFileSync(
    path.join(import.meta.dirname, '..', 'fixtures', 'forecast', 'r-reference.json'),
    'utf8',
  ),
) as Reference;

describe('R 4.2.2, HoltWinters with given starts', () => {
  it.each([
    ['additive', R.HW_given_start_additive],
    ['multiplicative', R.HW_given_start_multiplicative],
  ] as const)('%s smoothing gives its fitted values, error and forecasts to 1e-6', (kind, r) => {
    const start = { level: r['l.start'], trend: r['b.start'], season: r['s.start'] };
    const smoothed = holtWinters(
      R.HW_fixed_series,
      { alpha: 0.3, beta: 0.05, gamma: 0.2 },
      start,
      kind,
    );
    expect(smoothed.squaredError).toBeCloseTo(r.SSE, 6);
    smoothed.fitted.forEach((value, i) => expect(value).toBeCloseTo(r.fitted[i] ?? NaN, 6));
    smoothingForecast(smoothed, 7, kind).forEach((value, i) =>
      expect(value).toBeCloseTo(r.forecast7[i] ?? NaN, 6),
    );
  });

  it('simple smoothing of the Nile flows gives its error and level', () => {
    const smoothed = simpleSmoothing(R.Nile, R.SES_Nile.alpha);
    expect(Math.abs(smoothed.squaredError / R.SES_Nile.SSE - 1)).toBeLessThan(1e-9);
    expect(smoothed.level).toBeCloseTo(R.SES_Nile.level, 6);
  });
});

describe('R 4.2.2, quantiles of counts', () => {
  it('the negative binomial agrees in all 300 values', () => {
    let compared = 0;
    for (const { mu, size, q } of R.qnbinom) {
      R.probs.forEach((p, i) => {
        expect([mu, size, p, quantile({ kind: 'negative-binomial', mean: mu, size }, p)]).toEqual([
          mu,
          size,
          p,
          // The file writes some zeros as -0.
          (q[i] ?? NaN) + 0,
        ]);
        compared += 1;
      });
    }
    expect(compared).toBe(300);
  });

  it('the Poisson agrees in all values', () => {
    for (const { mu, q } of R.qpois) {
      expect(R.probs.map((p) => quantile({ kind: 'poisson', mean: mu }, p))).toEqual(
        q.map((value) => value + 0),
      );
    }
  });

  it('three days of 12 a day, size 4, are a count of mean 36, size 12: par 52, 58, 69', () => {
    // Computed with R's qnbinom; invented inputs.
    const day = { kind: 'negative-binomial', mean: 12, size: 4 } as const;
    const three = sumIndependent([day, day, day]);
    expect([0.9, 0.95, 0.99].map((level) => quantile(three, level))).toEqual([52, 58, 69]);
    const outcome = stockOutcome(three, 58);
    expect(outcome.shortfall).toBeCloseTo(0.327572, 5);
  });
});

/** Margin lost by a portion short against the cost of one thrown away. */
const fraction = (short: string, waste: string): number =>
  unwrap(
    criticalFraction({
      short: { amount: short, currency: 'EUR' },
      waste: { amount: waste, currency: 'EUR' },
    }),
  );

describe('textbook decisions', () => {
  it("Nahmias's newsstand has a critical ratio of 0.769 (costs from memory)", () => {
    // Margin 0.50 a copy short, loss 0.15 a copy over: price .75, cost .25, salvage .10.
    expect(fraction('0.50', '0.15')).toBeCloseTo(0.769231, 6);
  });

  it("Hillier and Lieberman's newsboy of 15 to 18 papers stocks 16", () => {
    const demand = {
      kind: 'table',
      mean: 16.1,
      start: 15,
      probabilities: [0.4, 0.2, 0.3, 0.1],
    } as const;
    expect(quantile(demand, fraction('1', '1'))).toBe(16);
  });
});

describe('measures of accuracy (R forecast::accuracy agrees; own inputs)', () => {
  const train = [12, 15, 11, 18, 20, 16, 14];
  const test = [17, 13, 19];
  const forecast = [15, 15, 18];

  it('MAE, scaled error and weighted percentage error', () => {
    expect(meanAbsoluteError(test, forecast)).toBeCloseTo(1.6666667, 6);
    expect(seasonalNaiveScale(train, 1)).toBeCloseTo(3.6666667, 6);
    expect(mase(test, forecast, seasonalNaiveScale(train, 1))).toBeCloseTo(0.4545455, 6);
    expect(wape(test, forecast)).toBeCloseTo(0.1020408, 6);
  });

  it('pinball loss at three levels, coverage and the Winkler score of 80% intervals', () => {
    const flat = (q: number): number[] => test.map(() => q);
    expect(meanPinballLoss(test, flat(10), 0.1)).toBeCloseTo(0.6333333, 6);
    expect(meanPinballLoss(test, flat(15), 0.5)).toBeCloseTo(1.3333333, 6);
    expect(meanPinballLoss(test, flat(20), 0.9)).toBeCloseTo(0.3666667, 6);
    const lower = [10, 9, 12];
    const upper = [20, 19, 18];
    expect(coverage(test, lower, upper)).toBeCloseTo(2 / 3, 9);
    const scores = test.map((y, i) => winklerScore(y, lower[i] ?? 0, upper[i] ?? 0, 0.8));
    [10, 10, 16].forEach((score, i) => expect(scores[i]).toBeCloseTo(score, 9));
  });
});
