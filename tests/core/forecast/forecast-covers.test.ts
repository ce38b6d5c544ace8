import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  forecastCovers,
  serviceDateOf,
  weekdayOf,
  type CoversForecastInput,
} from '../../../api/core/forecast/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { simulateSeries } from './simulated-service.ts';

const FIRST = 20_000;
const { history, capacityCovers } = simulateSeries({
  seed: 7,
  days: 200,
  covers: 60,
  walkInPart: 0.25,
  firstDay: FIRST,
});
const TODAY = FIRST + 180;
const dated = (day: number, horizonDays: number) => ({
  serviceDate: serviceDateOf(day),
  weekday: weekdayOf(day),
  horizonDays,
});

function input(extra: Partial<CoversForecastInput> = {}, asOfDay = TODAY): CoversForecastInput {
  const today = serviceDateOf(asOfDay);
  const upcoming = Array.from({ length: 14 }, (_, i) => i + 1);
  return {
    asOf: `${today}T05:30:00Z`,
    targets: upcoming.map((h) => dated(asOfDay + h, h)),
    history: history.filter((service) => service.serviceDate < today),
    openBookings: history
      .filter((service) => service.serviceDate > today)
      .map(({ serviceDate, snapshots }) => ({
        serviceDate,
        snapshots: snapshots.filter(
          (s) =>
            s.daysBefore >= Math.round((Date.parse(serviceDate) - Date.parse(today)) / 86_400_000),
        ),
      })),
    capacityCovers,
    ...extra,
  };
}

describe('a covers forecast', () => {
  it('has terms that add up to its mean, and quantiles that rise with the level', () => {
    for (const target of unwrap(forecastCovers(input())).targets) {
      const sum = target.terms.reduce((total, term) => total + term.value * term.factor, 0);
      expect(sum).toBeCloseTo(target.mean, 9);
      const covers = target.quantiles.map((q) => q.covers);
      expect(covers).toEqual([...covers].sort((a, b) => a - b));
      expect(covers[0]).toBeGreaterThanOrEqual(Math.floor(target.parts.firmCovers));
      expect(covers.at(-1)).toBeLessThanOrEqual(capacityCovers);
    }
  });

  it('does not change when the future does', () => {
    const changed = history.map((service) =>
      service.serviceDate > serviceDateOf(TODAY) ? { ...service, actualCovers: 0 } : service,
    );
    const base = input();
    const withFuture = { ...base, history: changed };
    const known = { ...base, history };
    expect(unwrap(forecastCovers(withFuture)).targets).toEqual(
      unwrap(forecastCovers(known)).targets,
    );
  });

  it('begins from stated covers where there is no history, and says when it has neither', () => {
    const cold = unwrap(
      forecastCovers({
        ...input({ history: [], openBookings: [] }),
        statedCovers: ([1, 2, 3, 4, 5, 6, 7] as const).map((weekday) => ({ weekday, covers: 40 })),
      }),
    );
    for (const target of cold.targets) expect(Math.abs(target.mean - 40)).toBeLessThan(0.01);
    const nothing = forecastCovers(input({ history: [], openBookings: [] }));
    expect(nothing.ok ? 'ok' : nothing.error.kind).toBe('missing-data');
  });

  it('takes a closure as nobody, a private hire as its guests, and a factor as more', () => {
    const [first, second, third] = input().targets;
    const plain = unwrap(forecastCovers(input())).targets;
    const known = unwrap(
      forecastCovers(
        input({
          knownEvents: [
            { serviceDate: first?.serviceDate ?? '', closed: true },
            { serviceDate: second?.serviceDate ?? '', privateHire: true, covers: 42 },
            { serviceDate: third?.serviceDate ?? '', factor: 1.5 },
          ],
        }),
      ),
    ).targets;
    expect(known[0]?.mean).toBe(0);
    expect(known[1]?.mean).toBe(42);
    expect(known[2]?.mean ?? 0).toBeGreaterThan(plain[2]?.mean ?? 0);
  });

  it('refuses a negative booking with its path', () => {
    const bad = history
      .filter((service) => service.serviceDate < serviceDateOf(TODAY))
      .map((service, i) =>
        i === 3 ? { ...service, snapshots: [{ daysBefore: 3, booked: -4 }] } : service,
      );
    const refused = forecastCovers(input({ history: bad }));
    expect(refused.ok).toBe(false);
    if (!refused.ok) expect(refused.error.path?.slice(0, 2)).toEqual(['history', 3]);
  });

  it('is not thrown by one day with twenty times the usual', () => {
    const usual = unwrap(forecastCovers(input())).targets;
    const odd = history.map((service) =>
      service.serviceDate === serviceDateOf(TODAY - 10)
        ? { ...service, actualCovers: (service.actualCovers ?? 0) * 20 }
        : service,
    );
    const after = unwrap(
      forecastCovers(
        input({
          history: odd.filter((s) => s.serviceDate < serviceDateOf(TODAY)),
          capacityCovers: 5000,
        }),
      ),
    ).targets;
    after.forEach((target, i) => {
      expect(target.mean / (usual[i]?.mean ?? 1)).toBeLessThan(1.6);
    });
  });

  it('keeps these rules on any morning', () => {
    fc.assert(
      fc.property(fc.integer({ min: 30, max: 185 }), (days) => {
        const forecast = unwrap(forecastCovers(input({}, FIRST + days)));
        for (const target of forecast.targets) {
          expect(target.mean).toBeGreaterThanOrEqual(0);
          expect(target.mean).toBeLessThanOrEqual(capacityCovers);
          expect(Number.isFinite(target.mean)).toBe(true);
        }
      }),
      { numRuns: 25 },
    );
  });
});
