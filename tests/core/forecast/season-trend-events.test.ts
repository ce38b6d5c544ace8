import { describe, expect, it } from 'vitest';
import { GRID } from '../../../api/core/forecast/booking-grid.ts';
import { eventEffect } from '../../../api/core/forecast/event-effect.ts';
import {
  forecastCovers,
  serviceDateOf,
  smoothingForecast,
  weekdayOf,
  type CompletedService,
  type CoversForecast,
  type KnownEvent,
} from '../../../api/core/forecast/index.ts';
import { MEMBERS } from '../../../api/core/forecast/members.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { simulateSeries } from './simulated-service.ts';

const FIRST = 20_000;
const dated = (day: number) => ({ serviceDate: serviceDateOf(day), weekday: weekdayOf(day) });

/** A forecast so many days ahead from services without bookings that went as `covers` says. */
function ahead(
  days: number,
  horizons: readonly number[],
  covers: (day: number) => Partial<CompletedService>,
  known: (serviceDate: string) => Omit<KnownEvent, 'serviceDate'> | undefined = () => undefined,
): CoversForecast {
  const asOf = FIRST + days;
  const history = Array.from({ length: days }, (_, i) => ({
    ...dated(FIRST + i),
    snapshots: [],
    ...covers(FIRST + i),
  }));
  const targets = horizons.map((h) => ({ ...dated(asOf + h), horizonDays: h }));
  return unwrap(
    forecastCovers({
      asOf: `${serviceDateOf(asOf)}T05:00:00Z`,
      targets,
      history,
      openBookings: [],
      knownEvents: targets.flatMap(({ serviceDate }) => {
        const event = known(serviceDate);
        return event === undefined ? [] : [{ serviceDate, ...event }];
      }),
    }),
  );
}

describe("a service's own yearly season", () => {
  const YEAR = 365.2425;
  const truth = (day: number): number => 80 * (1 + 0.3 * Math.sin((2 * Math.PI * day) / YEAR));
  const seasonal = (day: number) => ({ actualCovers: Math.round(truth(day)) });
  const HORIZONS = [0, 30, 60, 90, 120];

  it('is forecast after two years of it, months ahead', () => {
    const { targets, state } = ahead(730, HORIZONS, seasonal);
    expect(state.seasonBorrowed).toBe(false);
    for (const target of targets) {
      const expected = truth(FIRST + 730 + target.horizonDays);
      expect(Math.abs(target.mean / expected - 1)).toBeLessThan(0.06);
    }
    const factors = targets.map((target) => target.parts.seasonFactor ?? 0);
    expect(Math.max(...factors) / Math.min(...factors)).toBeGreaterThan(1.3);
  });

  it('is not made up from less than most of a year: the season of today is kept', () => {
    const { targets } = ahead(320, HORIZONS, seasonal);
    const factors = targets.map((target) => target.parts.seasonFactor ?? 0);
    for (const factor of factors) expect(factor).toBeCloseTo(factors[0] ?? 0, 12);
    // And what is not known of it makes the range wider the further ahead.
    const spreads = targets.map((target) => target.parts.spreadCovers / target.mean);
    expect(spreads.at(-1)).toBeGreaterThan(2 * (spreads[0] ?? 0));
  });
});

describe('a trend', () => {
  const growing = (day: number) => ({
    actualCovers: Math.round(50 * Math.exp(0.004 * (day - FIRST))),
  });
  const HORIZONS = Array.from({ length: 121 }, (_, h) => h);
  const { targets } = ahead(200, HORIZONS, growing);
  const falling = ahead(200, [0], (day) => ({
    actualCovers: Math.round(110 * Math.exp(-0.004 * (day - FIRST))),
  })).targets;
  const logTrend = targets.map((target) => Math.log(target.parts.trendFactor ?? 1));

  it('goes on into the days ahead, damped as Gardner & McKenzie 1985 have it', () => {
    // The state stands on the evening before, so the target h days ahead has h + 1 days of trend.
    const slope = (logTrend[0] ?? 0) / 0.98;
    expect(slope).toBeGreaterThan(1e-4);
    expect(falling[0]?.parts.trendFactor).toBeLessThan(1);
    const level = { level: 0, trend: slope, season: [], fitted: [], squaredError: 0 };
    const damped = smoothingForecast(level, 121, 'additive', 0.98);
    logTrend.forEach((value, h) => expect(value).toBeCloseTo(damped[h] ?? 0, 12));
  });

  it('fades: every day adds less than the one before, and the whole stays under its limit', () => {
    const steps = logTrend.slice(1).map((value, h) => value - (logTrend[h] ?? 0));
    steps.slice(1).forEach((step, h) => expect(step).toBeLessThan(steps[h] ?? 0));
    const slope = (logTrend[0] ?? 0) / 0.98;
    expect(logTrend[120]).toBeLessThan((slope * 0.98) / 0.02);
    expect(logTrend[120]).toBeLessThan(121 * slope * 0.5);
  });
});

describe('a known event', () => {
  /** Every ninth day brings half as many again. */
  const regatta = (day: number) =>
    (day - FIRST) % 9 === 4
      ? { actualCovers: 90, event: 'regatta' }
      : { actualCovers: 60 + ((day * 7) % 5) - 2 };
  const means = (known?: Omit<KnownEvent, 'serviceDate'>): number[] =>
    ahead(180, [3, 10], regatta, () => known).targets.map((target) => target.mean);
  const plain = means();
  const times = (known: Omit<KnownEvent, 'serviceDate'>): number[] =>
    means(known).map((mean, i) => mean / (plain[i] ?? 1));

  it('by its label has the uplift that past days of the label showed', () => {
    for (const uplift of times({ label: 'regatta' })) expect(uplift).toBeCloseTo(1.5, 1);
    for (const uplift of times({ label: 'never seen' })) expect(uplift).toBeCloseTo(1, 9);
  });

  it('teaches its own label only: the days without it stay as they are', () => {
    for (const mean of plain) expect(Math.abs(mean / 60 - 1)).toBeLessThan(0.05);
  });

  it('is surer the more often it was seen', () => {
    const variance = (days: number): number =>
      ahead(days, [3], regatta).state.events['regatta']?.variance ?? 1;
    expect(variance(30)).toBeLessThan(0.35 ** 2);
    expect(variance(180)).toBeLessThan(variance(30));
  });

  it('with a stated factor and no past is exactly so many times the usual', () => {
    for (const uplift of times({ factor: 1.3 })) expect(uplift).toBeCloseTo(1.3, 9);
    for (const uplift of times({ factor: 0.8, label: 'never seen' })) {
      expect(uplift).toBeCloseTo(0.8, 9);
    }
  });

  it('with both lies between what was stated and what was shown', () => {
    for (const uplift of times({ label: 'regatta', factor: 1.1 })) {
      expect(uplift).toBeGreaterThan(1.1);
      expect(uplift).toBeLessThan(1.5);
    }
  });

  it('weighs the two by how sure each is (normal data with a normal prior, worked by hand)', () => {
    // Shown: log 1.4 with precision 50 on top of the vague prior of variance 0.35²; the posterior of
    // that is what is kept. Stated: log 1.2 with variance 0.15².
    const priorPrecision = 1 / 0.35 ** 2;
    const kept = {
      effect: (50 * Math.log(1.4)) / (50 + priorPrecision),
      variance: 1 / (50 + priorPrecision),
    };
    const stated = 1 / 0.15 ** 2;
    const both = eventEffect(
      { fair: kept },
      { serviceDate: '2026-05-01', label: 'fair', factor: 1.2 },
    );
    const expected = (50 * Math.log(1.4) + stated * Math.log(1.2)) / (50 + stated);
    expect(both.effect).toBeCloseTo(expected, 12);
    expect(both.variance).toBeCloseTo(1 / (50 + stated), 12);
  });
});

describe('the weights of the ways of forecasting', () => {
  const DAYS = 400;
  const { history, capacityCovers } = simulateSeries({
    seed: 3,
    days: DAYS + 28,
    covers: 70,
    walkInPart: 0.2,
    firstDay: FIRST,
  });
  const asOf = FIRST + DAYS;
  const horizons = [0, 1, 2, 3, 5, 7, 10, 14, 21];
  const forecast = unwrap(
    forecastCovers({
      asOf: `${serviceDateOf(asOf)}T05:00:00Z`,
      targets: horizons.map((h) => ({ ...dated(asOf + h), horizonDays: h })),
      history: history.slice(0, DAYS),
      openBookings: horizons.map((h) => {
        const service = history[DAYS + h];
        return {
          serviceDate: serviceDateOf(asOf + h),
          snapshots: (service?.snapshots ?? []).filter((s) => s.daysBefore >= h),
        };
      }),
      capacityCovers,
    }),
  );

  it('are the past errors at the same horizon, each to the power −4, and add up to 1', () => {
    const { errors } = forecast.state.combination;
    for (const target of forecast.targets) {
      const at = target.parts.bookedDaysBefore ?? -1;
      const grid = GRID.indexOf(at as (typeof GRID)[number]);
      expect(grid).toBeGreaterThanOrEqual(0);
      const used = MEMBERS.map((member, m) => ({
        weight: target.weights[member] ?? 0,
        inverse: (errors[grid * MEMBERS.length + m] ?? 1) ** -4,
      })).filter(({ weight }) => weight > 0);
      const total = used.reduce((sum, { inverse }) => sum + inverse, 0);
      for (const { weight, inverse } of used) expect(weight).toBeCloseTo(inverse / total, 9);
      expect(used.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 12);
      expect(used.length).toBeGreaterThan(2);
    }
  });

  it('differ by horizon: the usual level counts for more weeks ahead than on the morning itself', () => {
    const level = (h: number): number =>
      forecast.targets.find((target) => target.horizonDays === h)?.weights.level ?? 0;
    expect(level(21)).toBeGreaterThan(level(0) + 0.05);
    expect(level(0)).toBeLessThan(0.1);
  });
});
