import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { backtestCovers } from '../../../api/core/backtest/index.ts';
import type { Backtest, BacktestInput, BacktestPoint } from '../../../api/core/backtest/index.ts';
import { serviceDateOf } from '../../../api/core/forecast/index.ts';
import type { CompletedService } from '../../../api/core/forecast/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { simulateSeries } from '../forecast/simulated-service.ts';

const FIRST = 20_000;
const { history, capacityCovers } = simulateSeries({
  seed: 17,
  days: 150,
  covers: 60,
  walkInPart: 0.25,
  firstDay: FIRST,
});
const base: BacktestInput = {
  history,
  capacityCovers,
  horizons: [1, 7, 14],
  firstOrigin: serviceDateOf(FIRST + 90),
  lastOrigin: serviceDateOf(FIRST + 130),
  everyDays: 4,
};
const run = (extra: Partial<BacktestInput> = {}): Backtest =>
  unwrap(backtestCovers({ ...base, ...extra }));
const whole = run();
/** What a forecast said, without what it is set against. */
const said = ({ origin, serviceDate, horizonDays, mean, quantiles, baselines }: BacktestPoint) => ({
  origin,
  serviceDate,
  horizonDays,
  mean,
  quantiles,
  baselines,
});
const upTo = (made: Backtest, origin: string) =>
  made.points.filter((point) => point.origin <= origin).map(said);
const at = (service: CompletedService) => Math.round(Date.parse(service.serviceDate) / 86_400_000);

describe('a rolling origin', () => {
  it('makes a forecast at every origin for every horizon on which a service was held', () => {
    expect(whole.points).toHaveLength(11 * 3);
    expect(whole.notForecast).toBe(0);
    for (const point of whole.points) {
      const gap = Date.parse(point.serviceDate) - Date.parse(point.origin);
      expect(gap / 86_400_000).toBe(point.horizonDays);
      expect(Object.keys(point.baselines)).toHaveLength(3);
    }
  });

  it('leaks nothing: whatever happens from an origin on, its forecasts and those before stay (property)', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 90, max: 130 }),
        fc.integer({ min: 0, max: 150 }),
        fc.boolean(),
        (offset, covers, closed) => {
          const origin = FIRST + offset;
          const changed = history.map((service): CompletedService => {
            const day = at(service);
            if (day < origin) return service;
            // Bookings told before the origin stay; all that came on later mornings is other.
            return {
              ...service,
              actualCovers: covers,
              ...(closed && day > origin + 20 ? { closed: true } : {}),
              snapshots: service.snapshots.map((s) =>
                day - s.daysBefore > origin ? { ...s, booked: covers } : s,
              ),
            };
          });
          const date = serviceDateOf(origin);
          expect(upTo(run({ history: changed }), date)).toEqual(upTo(whole, date));
        },
      ),
      { numRuns: 12 },
    );
  });

  it('uses an event only from the day it was known, and later records not at all', () => {
    const origin = serviceDateOf(FIRST + 110);
    const events = [
      { serviceDate: serviceDateOf(FIRST + 117), factor: 3, knownFrom: serviceDateOf(FIRST + 111) },
    ];
    expect(upTo(run({ events }), origin)).toEqual(upTo(whole, origin));
    const known = run({ events: events.map((e) => ({ ...e, knownFrom: origin })) });
    const mean = (made: Backtest) =>
      made.points.find((p) => p.origin === origin && p.horizonDays === 7)?.mean ?? 0;
    expect(mean(known)).toBeGreaterThan(1.2 * mean(whole));
  });

  it('does not score closed days and private hire', () => {
    const shut = history.map((s) => (at(s) === FIRST + 97 ? { ...s, closed: true } : s));
    const made = run({ history: shut });
    expect(made.points.some((p) => p.serviceDate === serviceDateOf(FIRST + 97))).toBe(false);
    expect(made.points.length).toBeLessThan(whole.points.length);
  });

  it('counts mornings on which nothing was known yet instead of failing', () => {
    const made = run({ firstOrigin: serviceDateOf(FIRST), lastOrigin: serviceDateOf(FIRST + 20) });
    expect(made.notForecast).toBe(1);
    expect(made.points.length).toBeGreaterThan(10);
    expect(made.scale).toBeNull();
  });
});

describe('its scores', () => {
  it('are those of the points, horizon by horizon', () => {
    for (const score of whole.horizons) {
      const points = whole.points.filter((p) => p.horizonDays === score.horizonDays);
      const sum = (f: (p: BacktestPoint) => number) => points.reduce((a, p) => a + f(p), 0);
      expect(score.services).toBe(points.length);
      expect(score.wape).toBeCloseTo(
        sum((p) => Math.abs(p.mean - p.actual)) / sum((p) => p.actual),
        12,
      );
      expect(score.bias).toBeCloseTo(sum((p) => p.mean - p.actual) / points.length, 12);
      const inside = sum((p) => {
        const level = (l: number) => p.quantiles.find((q) => q.level === l)?.covers ?? NaN;
        return p.actual >= level(0.05) && p.actual <= level(0.95) ? 1 : 0;
      });
      expect(score.coverage.ninety).toBeCloseTo(inside / points.length, 12);
      expect(score.coverage.fifty ?? 1).toBeLessThanOrEqual(score.coverage.eighty ?? 0);
      expect(score.coverage.eighty ?? 1).toBeLessThanOrEqual(score.coverage.ninety ?? 0);
    }
  });

  it("set the site's own numbers beside the forecast, each from the day it was set", () => {
    const [point] = whole.points.filter((p) => p.horizonDays === 7);
    const serviceDate = point?.serviceDate ?? '';
    const set = (daysBefore: number, covers: number) =>
      run({ overrides: [{ serviceDate, covers, daysBefore }] });
    const perfect = set(7, point?.actual ?? 0).horizons.find((h) => h.horizonDays === 7);
    expect(perfect?.overridden.services).toBe(1);
    expect(perfect?.overridden.override.wape).toBe(0);
    expect(perfect?.overridden.forecast.wape).toBeGreaterThan(0);
    const late = set(3, 50).horizons.find((h) => h.horizonDays === 7);
    expect(late?.overridden.services).toBe(0);
    expect(late?.overridden.override.wape).toBeNull();
  });
});

describe('bad input to a backtest', () => {
  it.each([
    [{ firstOrigin: '2025-02-30' }, ['firstOrigin']],
    [{ lastOrigin: serviceDateOf(FIRST + 1) }, ['lastOrigin']],
    [{ everyDays: 0 }, ['lastOrigin']],
  ])('%j is refused with its path', (extra, path) => {
    const refused = backtestCovers({ ...base, ...extra });
    expect(refused.ok ? [] : refused.error.path).toEqual(path);
  });
});
