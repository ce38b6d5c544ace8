import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  addDays,
  addMonths,
  datesBetween,
  daysBetween,
  firstOfMonth,
  isInSeason,
  monthOf,
  parseServiceDate,
  weekdayOf,
} from '../../../api/core/calendar/index.ts';

const anyDate = fc.integer({ min: 0, max: 60_000 }).map((days) => addDays('1970-01-01', days));

describe('service dates', () => {
  it('crosses months, leap days and years', () => {
    expect(addDays('2028-02-28', 1)).toBe('2028-02-29');
    expect(addDays('2026-02-28', 1)).toBe('2026-03-01');
    expect(addDays('2026-01-01', -1)).toBe('2025-12-31');
    expect(addMonths('2026-01-31', 1)).toBe('2026-02-28');
    expect(addMonths('2026-03-31', -1)).toBe('2026-02-28');
    expect(addMonths('2026-11-15', 3)).toBe('2027-02-15');
    expect(firstOfMonth('2026-11-15')).toBe('2026-11-01');
  });

  it('names weekdays by ISO 8601', () => {
    // ISO 8601 week date example: 29 December 2008 is the Monday of 2009-W01 (from memory).
    expect(weekdayOf('2008-12-29')).toBe(1);
    expect(weekdayOf('1970-01-01')).toBe(4);
    expect(weekdayOf('2026-03-29')).toBe(7);
  });

  it('adds and subtracts days without loss', () => {
    fc.assert(
      fc.property(anyDate, fc.integer({ min: -5000, max: 5000 }), (date, days) => {
        const moved = addDays(date, days);
        expect(daysBetween(date, moved)).toBe(days);
        expect((weekdayOf(date) - 1 + ((days % 7) + 7)) % 7).toBe(weekdayOf(moved) - 1);
      }),
    );
  });

  it('lists dates with both ends, and nothing backwards', () => {
    expect(datesBetween('2026-02-27', '2026-03-01')).toEqual([
      '2026-02-27',
      '2026-02-28',
      '2026-03-01',
    ]);
    expect(datesBetween('2026-03-01', '2026-02-27')).toEqual([]);
  });

  it('knows a season that runs over new year', () => {
    expect(
      [10, 11, 1, 2, 3].map((m) => isInSeason(`2026-${String(m).padStart(2, '0')}-10`, 11, 2)),
    ).toEqual([false, true, true, true, false]);
    expect(isInSeason('2026-06-01', 6, 8)).toBe(true);
    expect(monthOf('2026-06-01')).toBe(6);
  });

  it('refuses a day the calendar does not have', () => {
    expect(parseServiceDate('2026-04-31').ok).toBe(false);
    expect(parseServiceDate('14/03/2026').ok).toBe(false);
    expect(parseServiceDate('2028-02-29').ok).toBe(true);
    expect(() => addDays('2026-04-31', 1)).toThrow(RangeError);
  });
});
