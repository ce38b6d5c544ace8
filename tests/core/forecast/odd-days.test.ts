import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  dayNumber,
  forecastCovers,
  learnGroupProfile,
  learnSeries,
  serviceDateOf,
  weekdayOf,
  type CompletedService,
  type CoversForecast,
  type CoversForecastInput,
} from '../../../api/core/forecast/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { simulateSeries } from './simulated-service.ts';

// 2025-01-01, a Wednesday.
const FIRST = unwrap(dayNumber('2025-01-01'));
const room = (seed: number, days: number, covers = 60) =>
  simulateSeries({ seed, days, covers, walkInPart: 0.25, firstDay: FIRST });
const dated = (day: number, horizonDays: number) => ({
  serviceDate: serviceDateOf(day),
  weekday: weekdayOf(day),
  horizonDays,
});

/** A forecast on the morning of `today`, without bookings, from what was held before. */
function forecast(
  history: readonly CompletedService[],
  today: number,
  horizons: readonly number[],
  extra: Partial<CoversForecastInput> = {},
): CoversForecast {
  return unwrap(
    forecastCovers({
      asOf: `${serviceDateOf(today)}T06:00:00Z`,
      targets: horizons.map((h) => dated(today + h, h)),
      history: history.filter((s) => s.serviceDate < serviceDateOf(today)),
      openBookings: [],
      ...extra,
    }),
  );
}
const spreadOf = (made: CoversForecast, i = 0): number =>
  (made.targets[i]?.parts.spreadCovers ?? NaN) / (made.targets[i]?.mean ?? NaN);
const flat = (covers: number, days: number, from = FIRST): CompletedService[] =>
  Array.from({ length: days }, (_, i) => ({
    serviceDate: serviceDateOf(from + i),
    weekday: weekdayOf(from + i),
    actualCovers: covers,
    snapshots: [],
  }));

describe('a cold start', () => {
  const stated = ([1, 2, 3, 4, 5, 6, 7] as const).map((weekday) => ({
    weekday,
    covers: 20 + 5 * weekday,
  }));

  it('takes the stated covers of the weekday, with the usual spread, until history speaks', () => {
    const made = forecast([], FIRST, [0, 1, 2, 3, 4, 5, 6], { statedCovers: stated });
    for (const target of made.targets) {
      expect(target.method).toBe('stated-covers');
      expect(target.mean).toBeCloseTo(20 + 5 * target.weekday, 6);
      expect(target.parts.spreadCovers / target.mean).toBeGreaterThan(0.25);
    }
  });

  it('borrows from its group, and leaves it once its own history says otherwise', () => {
    const sisters = [1, 2, 3, 4].map(
      (seed) => unwrap(learnSeries({ history: room(seed, 400).history })).state,
    );
    const groupProfile = unwrap(learnGroupProfile(sisters));
    const start = forecast([], FIRST, [1], { groupProfile });
    expect(start.targets[0]?.method).toBe('group-level');
    expect(start.targets[0]?.mean).toBeGreaterThan(30);
    expect(start.targets[0]?.mean).toBeLessThan(90);
    const own = flat(12, 35);
    const short = forecast(own.slice(0, 3), FIRST + 3, [1], { groupProfile });
    const longer = forecast(own, FIRST + 35, [1], { groupProfile });
    const away = (made: CoversForecast) => Math.abs((made.targets[0]?.mean ?? 0) - 12);
    expect(away(short)).toBeLessThan(away(start));
    expect(away(longer)).toBeLessThan(away(short));
    expect(away(longer)).toBeLessThan(2.5);
    expect(spreadOf(longer)).toBeLessThan(spreadOf(start));
  });

  it('is refused, not guessed, where nothing at all is known', () => {
    const refused = forecastCovers({
      asOf: '2025-01-01T06:00:00Z',
      targets: [dated(FIRST, 0)],
      history: [],
      openBookings: [],
    });
    expect(refused.ok ? 'ok' : refused.error.kind).toBe('missing-data');
  });
});

describe('closures and private hire', () => {
  const { history } = room(21, 200);
  const today = FIRST + 200;

  it('teach nothing: closed days with a zero change no forecast', () => {
    const shut = history.map((s, i) =>
      i > 100 && i < 108 ? { ...s, actualCovers: 0, closed: true } : s,
    );
    const gone = history.filter((_, i) => !(i > 100 && i < 108));
    expect(forecast(shut, today, [1, 5, 9]).targets).toEqual(
      forecast(gone, today, [1, 5, 9]).targets,
    );
  });

  it('a room let to one party teaches nothing either, however many came', () => {
    const hired = history.map((s, i) =>
      i === 150 ? { ...s, actualCovers: 900, privateHire: true } : s,
    );
    const gone = history.filter((_, i) => i !== 150);
    expect(forecast(hired, today, [1, 7]).targets).toEqual(forecast(gone, today, [1, 7]).targets);
  });

  it('a private hire without its guests is refused unless bookings say them', () => {
    const serviceDate = serviceDateOf(today + 2);
    const input = {
      asOf: `${serviceDateOf(today)}T06:00:00Z`,
      targets: [dated(today + 2, 2)],
      history,
      openBookings: [],
      knownEvents: [{ serviceDate, privateHire: true }],
    };
    const refused = forecastCovers(input);
    expect(refused.ok ? 'ok' : refused.error.kind).toBe('missing-data');
    const booked = [{ serviceDate, snapshots: [{ daysBefore: 2, booked: 31 }] }];
    const made = unwrap(forecastCovers({ ...input, openBookings: booked }));
    expect(made.targets[0]?.quantiles.map((q) => q.covers)).toEqual([31, 31, 31, 31, 31, 31, 31]);
  });
});

describe('the calendar', () => {
  it('counts days by date, so the nights when the clocks change are nights like others', () => {
    for (const [before, after] of [
      ['2026-03-28', '2026-03-30'],
      ['2026-10-24', '2026-10-26'],
    ] as const) {
      expect(unwrap(dayNumber(after)) - unwrap(dayNumber(before))).toBe(2);
    }
    // The same morning told in summer and in winter time: the instant is kept, not reckoned with.
    const { history } = room(5, 440);
    const today = unwrap(dayNumber('2026-03-15'));
    const winter = forecast(history, today, [14, 15], { asOf: '2026-03-15T06:00:00+01:00' });
    const summer = forecast(history, today, [14, 15], { asOf: '2026-03-15T06:00:00+02:00' });
    expect(summer.targets).toEqual(winter.targets);
    expect(winter.targets.map((t) => t.serviceDate)).toEqual(['2026-03-29', '2026-03-30']);
  });

  it('has 29 February as one more day: learned from and forecast like any other', () => {
    const from = unwrap(dayNumber('2028-01-01'));
    const history = flat(50, 70, from);
    expect(history[59]?.serviceDate).toBe('2028-02-29');
    const made = forecast(history, from + 59, [0, 1]);
    expect(made.targets.map((t) => t.serviceDate)).toEqual(['2028-02-29', '2028-03-01']);
    for (const target of made.targets) expect(Math.abs(target.mean - 50)).toBeLessThan(3);
    const after = forecast(history, from + 70, [1]);
    expect(after.targets[0]?.parts.servicesLearned).toBe(70);
    expect(dayNumber('2027-02-29').ok).toBe(false);
    expect(dayNumber('2100-02-29').ok).toBe(false);
  });

  it('has a day number for every date and a date for every day number', () => {
    fc.assert(
      fc.property(fc.integer({ min: -200_000, max: 200_000 }), (day) => {
        const date = serviceDateOf(day);
        expect(unwrap(dayNumber(date))).toBe(day);
        expect(weekdayOf(day)).toBe(new Date(`${date}T00:00:00Z`).getUTCDay() || 7);
      }),
    );
  });
});

describe('a service added in mid-season', () => {
  const summer = unwrap(dayNumber('2025-06-20'));
  const own = flat(80, 60, summer);
  const today = summer + 60;

  it('keeps the season of today, less sure the further ahead, while it knows no other', () => {
    const made = forecast(own, today, [1, 50, 100]);
    for (const target of made.targets) expect(Math.abs(target.mean / 80 - 1)).toBeLessThan(0.1);
    expect(spreadOf(made, 1)).toBeGreaterThan(spreadOf(made, 0));
    expect(spreadOf(made, 2)).toBeGreaterThan(spreadOf(made, 1));
  });

  it("follows its group's season where the group has one", () => {
    const sisters = [1, 2, 3].map(
      (seed) => unwrap(learnSeries({ history: room(seed, 420).history })).state,
    );
    const groupProfile = unwrap(learnGroupProfile(sisters));
    expect(groupProfile.seasonKnown).toBe(true);
    const made = forecast(own, today, [1, 90], { groupProfile });
    // By November a lake is quiet: the simulated season falls by a third from August.
    expect(made.targets[1]?.mean ?? 0).toBeLessThan(0.9 * (made.targets[0]?.mean ?? 0));
  });
});

describe('a lasting change', () => {
  it.each([
    [20, 60],
    [60, 20],
    [100, 60],
    [50, 75],
  ])('from %d covers to %d is followed within ten services', (before, after) => {
    const history = [...flat(before, 90), ...flat(after, 10, FIRST + 90)];
    const mean = forecast(history, FIRST + 100, [1]).targets[0]?.mean ?? 0;
    expect(Math.abs(mean / after - 1)).toBeLessThan(0.2);
  });

  it('is not seen in one or two wild days', () => {
    const { history } = room(31, 150);
    const wild = history.map((s, i) =>
      i === 140 || i === 145 ? { ...s, actualCovers: (s.actualCovers ?? 0) * 20 } : s,
    );
    const usual = forecast(history, FIRST + 150, [1]).targets[0]?.mean ?? 0;
    const mean = forecast(wild, FIRST + 150, [1]).targets[0]?.mean ?? 0;
    expect(mean / usual).toBeLessThan(1.3);
  });
});

describe('zero covers', () => {
  it('are a service like any other: a quiet evening lowers the level, and never breaks it', () => {
    const { history } = room(9, 200);
    const today = FIRST + 200;
    const quiet = history.map((s, i) => (i === 197 ? { ...s, actualCovers: 0 } : s));
    const usual = forecast(history, today, [1]).targets[0]?.mean ?? 0;
    const after = forecast(quiet, today, [1]).targets[0]?.mean ?? 0;
    expect(after).toBeLessThan(usual);
    expect(after).toBeGreaterThan(0.7 * usual);
  });

  it('on every evening forecast next to nobody, and guests are believed again when they come', () => {
    const none = flat(0, 60);
    const made = forecast(none, FIRST + 60, [1, 14]);
    for (const target of made.targets) {
      expect(target.mean).toBeLessThan(1);
      expect(target.quantiles[0]?.covers).toBe(0);
    }
    const back = [...none, ...flat(30, 40, FIRST + 60)];
    const mean = forecast(back, FIRST + 100, [1]).targets[0]?.mean ?? 0;
    expect(mean).toBeGreaterThan(20);
    expect(mean).toBeLessThan(45);
  });

  it('any run of counts gives finite, ordered answers', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 0, max: 400 }), { minLength: 1, maxLength: 60 }),
        fc.integer({ min: 0, max: 120 }),
        (counts, horizon) => {
          const history = flat(0, counts.length).map((s, i) => ({
            ...s,
            actualCovers: counts[i] ?? 0,
          }));
          const target = forecast(history, FIRST + counts.length, [horizon]).targets[0];
          const covers = target?.quantiles.map((q) => q.covers) ?? [];
          expect(covers.every((c) => Number.isInteger(c) && c >= 0)).toBe(true);
          expect(covers).toEqual([...covers].sort((a, b) => a - b));
          expect(Number.isFinite(target?.mean)).toBe(true);
        },
      ),
      { numRuns: 60 },
    );
  });
});
