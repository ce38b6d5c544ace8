import { readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import {
  holtSmoothing,
  holtWinters,
  seasonStart,
  smoothingForecast,
} from '../../api/core/forecast/index.ts';

// Reference output of R 4.2.2 with stats and forecast 8.20; the scripts beside the files made it.
const read = (name: string): unknown =>
  JSON.parse(
    readFileSync(path.join(import.meta.dirname, '..', 'fixtures', 'forecast', name), 'utf8'),
  );
interface Seasonal {
  readonly alpha: number;
  readonly beta: number;
  readonly gamma: number;
  readonly SSE: number;
  readonly a: number;
  readonly b: number;
  readonly forecast12: readonly number[];
}
interface Fixed {
  readonly SSE: number;
  readonly forecast7: readonly number[];
  readonly fitted: readonly number[];
}
const R = read('r-reference.json') as {
  readonly uspop: readonly number[];
  readonly Holt_uspop: Omit<Seasonal, 'gamma' | 'forecast12'>;
  readonly AirPassengers: readonly number[];
  readonly HoltWinters_additive: Seasonal;
  readonly HoltWinters_multiplicative: Seasonal;
  readonly HW_fixed_series: readonly number[];
  readonly HW_fixed_additive: Fixed;
  readonly HW_fixed_multiplicative: Fixed;
};
const damped = read('r-damped-trend.json') as {
  readonly series: readonly number[];
  readonly alpha: number;
  readonly beta: number;
  readonly phi: number;
  readonly startLevel: number;
  readonly startTrend: number;
  readonly level: number;
  readonly trend: number;
  readonly SSE: number;
  readonly fitted: readonly number[];
  readonly forecast12: readonly number[];
};
const allClose = (found: readonly number[], wanted: readonly number[]): void => {
  expect(found).toHaveLength(wanted.length);
  found.forEach((value, i) => expect(value).toBeCloseTo(wanted[i] ?? Number.NaN, 6));
};

describe('R 4.2.2, trends', () => {
  it('a damped trend gives the states, errors and forecasts of ets(AAN, damped) to 1e-6', () => {
    const { alpha, beta, phi, startLevel, startTrend } = damped;
    // Two values that leave R's starting level and trend behind; its beta is ours times alpha.
    const smoothed = holtSmoothing([startLevel - startTrend, startLevel, ...damped.series], {
      alpha,
      beta: beta / alpha,
      phi,
    });
    expect(smoothed.level).toBeCloseTo(damped.level, 6);
    expect(smoothed.trend).toBeCloseTo(damped.trend, 6);
    expect(smoothed.squaredError).toBeCloseTo(damped.SSE, 6);
    allClose(smoothed.fitted, damped.fitted);
    allClose(smoothingForecast(smoothed, 12, 'additive', phi), damped.forecast12);
  });

  it("Holt's linear trend of the population of the United States ends where HoltWinters does", () => {
    const { alpha, beta, SSE, a, b } = R.Holt_uspop;
    const smoothed = holtSmoothing(R.uspop, { alpha, beta });
    expect(smoothed.squaredError).toBeCloseTo(SSE, 6);
    expect(smoothed.level).toBeCloseTo(a, 6);
    expect(smoothed.trend).toBeCloseTo(b, 6);
  });
});

describe('R 4.2.2, seasons that start from a decomposition of the first two', () => {
  it.each([
    ['additive', R.HW_fixed_additive],
    ['multiplicative', R.HW_fixed_multiplicative],
  ] as const)(
    '%s smoothing of a week gives fitted values, error and forecasts to 1e-6',
    (kind, r) => {
      const start = seasonStart(R.HW_fixed_series, 7, kind);
      const smoothed = holtWinters(
        R.HW_fixed_series,
        { alpha: 0.3, beta: 0.05, gamma: 0.2 },
        start,
        kind,
      );
      expect(smoothed.squaredError).toBeCloseTo(r.SSE, 6);
      allClose(smoothed.fitted, r.fitted);
      allClose(smoothingForecast(smoothed, 7, kind), r.forecast7);
    },
  );

  it.each([
    ['additive', R.HoltWinters_additive],
    ['multiplicative', R.HoltWinters_multiplicative],
  ] as const)(
    '%s smoothing of the air passengers gives level, trend, error and a year ahead',
    (kind, r) => {
      const { alpha, beta, gamma } = r;
      const start = seasonStart(R.AirPassengers, 12, kind);
      const smoothed = holtWinters(R.AirPassengers, { alpha, beta, gamma }, start, kind);
      expect(Math.abs(smoothed.squaredError / r.SSE - 1)).toBeLessThan(1e-9);
      expect(smoothed.level).toBeCloseTo(r.a, 6);
      expect(smoothed.trend).toBeCloseTo(r.b, 6);
      allClose(smoothingForecast(smoothed, 12, kind), r.forecast12);
    },
  );
});
