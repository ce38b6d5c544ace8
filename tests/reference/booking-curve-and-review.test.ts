import { readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { backtestCovers } from '../../api/core/backtest/index.ts';
import { fitCountByLikelihood, fitCountByMoments } from '../../api/core/distributions/index.ts';
import {
  additivePickup,
  combineByError,
  multiplicativePickup,
  regressionPickup,
  serviceDateOf,
  smoothedPickup,
  weekdayOf,
} from '../../api/core/forecast/index.ts';
import {
  demandOverReview,
  expectedOnHand,
  fillRate,
  levelForFillRate,
  normalQuantity,
  orderUpTo,
} from '../../api/core/par/index.ts';
import { unwrap } from '../../api/core/shared/index.ts';

describe('the booking curve by hand (formulas of Weatherford & Kimes 2003; own figures, worked in R)', () => {
  const completed = [
    { booked: 34, final: 78 },
    { booked: 40, final: 88 },
    { booked: 30, final: 70 },
    { booked: 43, final: 95 },
  ];

  it('38 booked a week ahead become 84 by addition, 85.85 or 85.56 by ratio, 85.09 by regression', () => {
    expect(unwrap(additivePickup(completed, 38))).toBe(84);
    expect(unwrap(multiplicativePickup(completed, 38, 'mean-ratio'))).toBeCloseTo(85.849156, 6);
    expect(unwrap(multiplicativePickup(completed, 38, 'pooled'))).toBeCloseTo(85.564626, 6);
    const line = unwrap(regressionPickup(completed, 38));
    expect(line.intercept).toBeCloseTo(13.810219, 6);
    expect(line.slope).toBeCloseTo(1.875912, 6);
    expect(line.covers).toBeCloseTo(85.094891, 6);
    expect(unwrap(smoothedPickup(completed, 38, 0.3))).toBeCloseTo(84.148, 9);
  });

  it('two forecasts of mean squared error 30 and 50 are weighed 5 to 3 (Bates & Granger 1969)', () => {
    const both = unwrap(combineByError([80.75, 76], [30, 50]));
    expect(both.weights[0]).toBeCloseTo(0.625, 12);
    expect(both.forecast).toBeCloseTo(78.96875, 9);
  });

  it('refuses what has no answer: no service, an empty book, books all alike', () => {
    expect(additivePickup([], 3).ok).toBe(false);
    expect(multiplicativePickup([{ booked: 0, final: 9 }], 3, 'mean-ratio').ok).toBe(false);
    expect(
      regressionPickup(
        [
          { booked: 5, final: 9 },
          { booked: 5, final: 8 },
        ],
        3,
      ).ok,
    ).toBe(false);
  });
});

describe('textbook stock for a review period and a lead time', () => {
  // Inputs of an exercise of Cachon & Terwiesch, Matching Supply with Demand (desks: 40 a week,
  // standard deviation 20, lead 2, review 1); answers worked in R.
  const desks = { meanPerPeriod: 40, sdPerPeriod: 20, reviewPeriods: 1, leadPeriods: 2 };

  it('the desks need 191.14 for 98% in stock and 176.98 for 95%', () => {
    expect(demandOverReview(desks).mean).toBe(120);
    expect(demandOverReview(desks).sd).toBeCloseTo(34.641016, 6);
    expect(orderUpTo(desks, 0.98)).toBeCloseTo(191.143949, 5);
    expect(orderUpTo(desks, 0.95)).toBeCloseTo(176.979401, 5);
    expect(expectedOnHand(desks, 120)).toBeCloseTo(13.819766, 5);
    expect(fillRate(desks, 200, 'one-term')).toBeCloseTo(0.99691521, 7);
    expect(fillRate(desks, 200, 'two-term')).toBeCloseTo(0.99691689, 7);
    expect(levelForFillRate(desks, 0.98, 'one-term')).toBeCloseTo(175.519413, 3);
  });

  it("Nahmias's newsstand of mean 11.73 and deviation 4.74 takes 15.22 (costs from memory)", () => {
    expect(normalQuantity(11.73, 4.74, 0.5 / 0.65)).toBeCloseTo(15.220137, 5);
  });
});

describe('a public daily count: accidents on Swedish roads (data set Traffic of the R package MASS)', () => {
  const rows = readFileSync(
    path.join(import.meta.dirname, '..', 'fixtures', 'forecast', 'mass-traffic-daily.csv'),
    'utf8',
  )
    .trim()
    .split('\n');
  const column = (rows[0] ?? '').replaceAll('"', '').split(',').indexOf('y');
  const counts = rows.slice(1).map((row) => Number(row.split(',')[column]));

  it('has the mean, variance and negative binomial size that R finds', () => {
    expect(counts).toHaveLength(184);
    const fit = unwrap(fitCountByLikelihood(counts));
    expect(fit.mean).toBeCloseTo(21.54891, 5);
    expect(fit.variance).toBeCloseTo(77.19978, 4);
    expect(fit.size).toBeCloseTo(9.045396, 4);
    expect(unwrap(fitCountByMoments(counts)).size).toBeCloseTo(
      21.54891 ** 2 / (77.19978 - 21.54891),
      3,
    );
  });

  it('is forecast with 80% intervals that hold about four in five of its days', () => {
    const first = 20_000;
    const history = counts.map((actualCovers, i) => ({
      serviceDate: serviceDateOf(first + i),
      weekday: weekdayOf(first + i),
      actualCovers,
      snapshots: [],
    }));
    const { horizons } = unwrap(
      backtestCovers({
        history,
        horizons: [1, 7],
        firstOrigin: serviceDateOf(first + 60),
        lastOrigin: serviceDateOf(first + 176),
      }),
    );
    for (const score of horizons) {
      expect(score.services).toBe(117);
      expect(score.coverage.eighty).toBeGreaterThan(0.7);
      expect(score.coverage.eighty).toBeLessThan(0.93);
      expect(score.wape).toBeLessThan(0.4);
    }
  });
});
