import { describe, expect, it } from 'vitest';
import {
  openIntervals,
  requireOpenAt,
  serviceInstant,
  toRfc3339,
} from '../../../api/core/calendar/index.ts';
import type { OpeningCalendar, Weekday, WeekdayHours } from '../../../api/core/calendar/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';

const daily = (opens: string, closes: string): WeekdayHours[] =>
  ([1, 2, 3, 4, 5, 6, 7] as Weekday[]).map((weekday) => ({ weekday, opens, closes }));

const calendar = (over: Partial<OpeningCalendar>): OpeningCalendar => ({
  zone: 'Europe/Paris',
  hours: daily('07:00', '15:00'),
  closedDates: [],
  fromDate: '2026-03-27',
  toDate: '2026-03-30',
  ...over,
});

const lengths = (over: Partial<OpeningCalendar>): number[] =>
  unwrap(openIntervals(calendar(over))).map(({ fromMin, toMin }) => (toMin - fromMin) / 60);

describe('openIntervals', () => {
  it('gives one stretch a day and none on closed dates', () => {
    const open = unwrap(openIntervals(calendar({ closedDates: ['2026-03-28'] })));
    expect(open.map(({ date }) => date)).toEqual(['2026-03-27', '2026-03-29', '2026-03-30']);
    expect(toRfc3339(open[0]?.fromMin ?? 0)).toBe('2026-03-27T06:00:00Z');
    expect(toRfc3339(open[1]?.fromMin ?? 0)).toBe('2026-03-29T05:00:00Z');
  });

  it('has 23 and 25 hour days when the clocks change', () => {
    expect(lengths({ hours: daily('00:00', '24:00') })).toEqual([24, 24, 23, 24]);
    expect(
      lengths({ hours: daily('00:00', '24:00'), fromDate: '2026-10-24', toDate: '2026-10-26' }),
    ).toEqual([24, 25, 24]);
  });

  it('runs past midnight, belongs to the day it opened, and loses or gains the changed hour', () => {
    const hours: WeekdayHours[] = [{ weekday: 6, opens: '18:00', closes: '04:00' }];
    const open = unwrap(openIntervals(calendar({ hours, closedDates: ['2026-03-29'] })));
    expect(open).toHaveLength(1);
    expect(open[0]?.date).toBe('2026-03-28');
    expect(((open[0]?.toMin ?? 0) - (open[0]?.fromMin ?? 0)) / 60).toBe(9);
    expect(lengths({ hours, fromDate: '2026-10-24', toDate: '2026-10-25' })).toEqual([11]);
  });

  it('never counts the same minute twice where stretches overlap', () => {
    const hours = daily('05:00', '06:00').concat(daily('18:00', '05:30'));
    const open = unwrap(
      openIntervals(calendar({ hours, fromDate: '2026-06-01', toDate: '2026-06-03' })),
    );
    for (let i = 1; i < open.length; i += 1) {
      expect(open[i]?.fromMin).toBeGreaterThanOrEqual(open[i - 1]?.toMin ?? 0);
    }
    // 3 × 11.5 h overnight, 3 × 1 h early, less the 30 min shared on two mornings.
    expect(open.reduce((sum, { fromMin, toMin }) => sum + toMin - fromMin, 0)).toBe(
      3 * 690 + 180 - 60,
    );
  });

  it.each([
    [{ fromDate: '2026-03-31' }, 'out-of-range'],
    [{ hours: daily('09:00', '09:00') }, 'out-of-range'],
    [{ hours: daily('9am', '17:00') }, 'invalid-date'],
    [{ closedDates: ['2026-02-30'] }, 'invalid-date'],
    [{ zone: 'Nowhere/Lake' }, 'invalid-zone'],
  ] as [Partial<OpeningCalendar>, string][])('refuses %j', (over, kind) => {
    const result = openIntervals(calendar(over));
    expect(result.ok ? 'ok' : result.error.kind).toBe(kind);
  });

  it('refuses a service at a closed hour and names it', () => {
    const open = unwrap(openIntervals(calendar({})));
    const lunch = unwrap(serviceInstant('2026-03-28', '12:30', 'Europe/Paris'));
    const dinner = unwrap(serviceInstant('2026-03-28', '20:00', 'Europe/Paris'));
    expect(unwrap(requireOpenAt(open, lunch, 'Lunch')).date).toBe('2026-03-28');
    const refused = requireOpenAt(open, dinner, 'Dinner');
    expect(refused.ok ? null : refused.error).toMatchObject({
      kind: 'infeasible',
      detail: { reason: 'service-when-closed', name: 'Dinner' },
    });
  });
});
