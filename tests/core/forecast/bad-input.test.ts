import { describe, expect, it } from 'vitest';
import {
  MAX_HORIZON_DAYS,
  forecastCovers,
  forecastFromState,
  learnSeries,
  learnServices,
  serviceDateOf,
  weekdayOf,
  type CoversForecastInput,
} from '../../../api/core/forecast/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { simulateSeries } from './simulated-service.ts';

const FIRST = 20_000;
const TODAY = FIRST + 200;
const { history, capacityCovers } = simulateSeries({
  seed: 3,
  days: 230,
  covers: 60,
  walkInPart: 0.2,
  firstDay: FIRST,
});
const held = history.slice(0, 200);
const target = (horizonDays: number) => ({
  serviceDate: serviceDateOf(TODAY + horizonDays),
  weekday: weekdayOf(TODAY + horizonDays),
  horizonDays,
});
const open = (h: number) => ({
  serviceDate: serviceDateOf(TODAY + h),
  snapshots: (history[200 + h]?.snapshots ?? []).filter((s) => s.daysBefore >= h),
});
const input = (extra: Partial<CoversForecastInput> = {}): CoversForecastInput => ({
  asOf: `${serviceDateOf(TODAY)}T06:00:00Z`,
  targets: [target(3), target(10)],
  history: held,
  openBookings: [open(3), open(10)],
  capacityCovers,
  ...extra,
});
const usual = unwrap(forecastCovers(input()));
const kinds = (made: { warnings: readonly { kind: string }[] }) => made.warnings.map((w) => w.kind);

describe('snapshots', () => {
  it('in any order say the same', () => {
    const mixed = { ...open(3), snapshots: [...open(3).snapshots].reverse() };
    const turned = held.map((s) => ({ ...s, snapshots: [...s.snapshots].reverse() }));
    const made = unwrap(
      forecastCovers(input({ history: turned, openBookings: [mixed, open(10)] })),
    );
    expect(made.targets).toEqual(usual.targets);
  });

  it('from the future are left out with a warning and change nothing', () => {
    const later = { ...open(3), snapshots: [...open(3).snapshots, { daysBefore: 1, booked: 999 }] };
    const made = unwrap(forecastCovers(input({ openBookings: [later, open(10)] })));
    expect(kinds(made)).toContain('snapshot-in-future');
    expect(made.targets).toEqual(usual.targets);
  });

  it('above the room count as a full room, with a warning', () => {
    const over = { ...open(3), snapshots: [{ daysBefore: 3, booked: capacityCovers + 50 }] };
    const made = unwrap(forecastCovers(input({ openBookings: [over] })));
    expect(kinds(made)).toContain('above-capacity');
    expect(made.targets[0]?.parts.booked).toBe(capacityCovers);
    expect(made.targets[0]?.quantiles.at(-1)?.covers).toBeLessThanOrEqual(capacityCovers);
  });

  it.each([
    [{ daysBefore: 3, booked: -1 }, ['openBookings', 0, 'snapshots', 0, 'booked']],
    [{ daysBefore: 3, booked: 2.5 }, ['openBookings', 0, 'snapshots', 0, 'booked']],
    [{ daysBefore: 3.5, booked: 2 }, ['openBookings', 0, 'snapshots', 0, 'daysBefore']],
    [
      { daysBefore: 3, booked: 2, cancelledSoFar: -2 },
      ['openBookings', 0, 'snapshots', 0, 'cancelledSoFar'],
    ],
  ])('%j is refused with its path', (snapshot, path) => {
    const refused = forecastCovers(
      input({ openBookings: [{ ...open(3), snapshots: [snapshot] }, open(10)] }),
    );
    expect(refused.ok).toBe(false);
    if (!refused.ok) {
      expect(refused.error.kind).toBe('out-of-range');
      expect(refused.error.path).toEqual(path);
    }
  });
});

describe('history', () => {
  it('above the room counts as full, with a warning', () => {
    const over = held.map((s, i) => (i === 190 ? { ...s, actualCovers: capacityCovers + 1 } : s));
    const full = held.map((s, i) => (i === 190 ? { ...s, actualCovers: capacityCovers } : s));
    const made = unwrap(forecastCovers(input({ history: over })));
    expect(kinds(made)).toContain('above-capacity');
    expect(made.targets).toEqual(unwrap(forecastCovers(input({ history: full }))).targets);
  });

  it('with a day twice uses the later record and says so', () => {
    const wrong = { ...held[120], actualCovers: 1 } as (typeof held)[number];
    const made = unwrap(forecastCovers(input({ history: [wrong, ...held] })));
    expect(kinds(made)).toEqual(['duplicate-day', ...kinds(usual)]);
    expect(made.targets).toEqual(usual.targets);
  });

  it('in any order teaches the same', () => {
    const made = unwrap(forecastCovers(input({ history: [...held].reverse() })));
    expect(made.targets).toEqual(usual.targets);
  });

  it('from after the forecast is left out with a warning', () => {
    const made = unwrap(forecastCovers(input({ history })));
    expect(kinds(made)).toContain('history-in-future');
    // The morning's own service lies in the past of nobody: it is at most learned, never needed.
    expect(made.state.lastDay).toBeLessThanOrEqual(TODAY);
  });

  it('with a gap of months leaves the level less sure, and says so', () => {
    const old = held.slice(0, 80);
    const made = unwrap(forecastCovers(input({ history: old, openBookings: [] })));
    const fresh = unwrap(
      forecastCovers({ ...input({ openBookings: [] }), history: held.slice(120, 200) }),
    );
    expect(kinds(made)).toContain('gap-in-history');
    const spread = (f: typeof made) =>
      (f.targets[0]?.parts.spreadCovers ?? 0) / (f.targets[0]?.mean ?? 1);
    expect(spread(made)).toBeGreaterThan(spread(fresh));
  });

  it('with a gap of months inside goes on from where it was', () => {
    const gap = [...held.slice(0, 40), ...held.slice(170)];
    const made = unwrap(forecastCovers(input({ history: gap })));
    made.targets.forEach((t, i) => {
      expect(Math.abs(t.mean / (usual.targets[i]?.mean ?? 1) - 1)).toBeLessThan(0.3);
    });
  });

  it.each([
    ['actualCovers', -3],
    ['actualCovers', 1.5],
    ['walkInCovers', -1],
  ])('with %s %d is refused with its path', (name, value) => {
    const broken = held.map((s, i) => (i === 7 ? { ...s, [name]: value } : s));
    const refused = forecastCovers(input({ history: broken }));
    expect(refused.ok ? [] : refused.error.path).toEqual(['history', 7, name]);
  });

  it('on a weekday that is not that of its date is refused', () => {
    const broken = held.map((s, i) =>
      i === 7 ? { ...s, weekday: ((s.weekday % 7) + 1) as 1 } : s,
    );
    const refused = forecastCovers(input({ history: broken }));
    expect(refused.ok ? [] : refused.error.path).toEqual(['history', 7, 'weekday']);
  });

  it('from before what was learned is not slipped in: the series must be learned again', () => {
    const { state } = unwrap(learnSeries({ history: held }));
    const refused = learnServices(state, held.slice(50, 51));
    expect(refused.ok ? 'ok' : refused.error.kind).toBe('out-of-range');
  });
});

describe('negative pickup', () => {
  it('is learned: where books shrink before service the forecast lies under the bookings', () => {
    const shrinking = held.map((s) => ({
      ...s,
      actualCovers: 40 + (s.weekday % 3),
      snapshots: [7, 3, 0].map((daysBefore) => ({
        daysBefore,
        booked: 52 + (s.weekday % 3) + daysBefore,
      })),
    }));
    const made = unwrap(
      forecastCovers(
        input({
          history: shrinking,
          openBookings: [
            { serviceDate: target(3).serviceDate, snapshots: [{ daysBefore: 3, booked: 56 }] },
          ],
        }),
      ),
    );
    const first = made.targets[0];
    expect(first?.mean).toBeLessThan(46);
    expect(first?.mean).toBeGreaterThan(37);
    expect(first?.parts.firmCovers).toBeLessThanOrEqual(first?.quantiles[0]?.covers ?? -1);
  });
});

describe('a request', () => {
  it.each([MAX_HORIZON_DAYS + 1, -1, 2.5])('%d days ahead is refused with its path', (days) => {
    const asked = { ...target(3), horizonDays: days };
    const refused = forecastCovers(input({ targets: [asked] }));
    expect(refused.ok ? [] : refused.error.path).toEqual(['targets', 0, 'horizonDays']);
  });

  it('at the furthest day allowed is answered', () => {
    const made = unwrap(forecastCovers(input({ targets: [target(MAX_HORIZON_DAYS)] })));
    expect(made.targets[0]?.mean).toBeGreaterThan(0);
  });

  it('that counts days from two different mornings is refused', () => {
    const refused = forecastCovers(
      input({ targets: [target(3), { ...target(10), horizonDays: 9 }] }),
    );
    expect(refused.ok ? 'ok' : refused.error.kind).toBe('invalid-date');
  });

  it.each([
    [{ levels: [0.5, 1] }, ['levels', 1]],
    [{ capacityCovers: 0 }, ['capacityCovers']],
    [
      { knownEvents: [{ serviceDate: target(3).serviceDate, factor: 0 }] },
      ['knownEvents', 0, 'factor'],
    ],
    [
      { knownEvents: [{ serviceDate: target(3).serviceDate, covers: -4 }] },
      ['knownEvents', 0, 'covers'],
    ],
    [{ usualSpread: 0 }, ['usualSpread']],
    [{ statedCovers: [{ weekday: 1 as const, covers: -1 }] }, ['statedCovers', 0, 'covers']],
  ])('with %j is refused with its path', (extra, path) => {
    const refused = forecastCovers(input(extra));
    expect(refused.ok ? [] : refused.error.path).toEqual(path);
  });

  it('of a state that has seen later services, or of another model, is refused', () => {
    const { state } = unwrap(learnSeries({ history }));
    const { history: seen, ...request } = input();
    expect(seen).toHaveLength(200);
    const later = forecastFromState(state, request);
    expect(later.ok ? [] : later.error.path).toEqual(['asOf']);
    const other = forecastFromState({ ...state, modelVersion: 'another' }, request);
    expect(other.ok ? [] : other.error.path).toEqual(['state', 'modelVersion']);
  });
});
