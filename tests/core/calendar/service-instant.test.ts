import { describe, expect, it } from 'vitest';
import {
  fromRfc3339,
  minutesOfDay,
  serviceDateOf,
  serviceInstant,
  toRfc3339,
  wallClockOf,
} from '../../../api/core/calendar/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';

const at = (date: string, time: string, zone: string): string =>
  toRfc3339(unwrap(serviceInstant(date, time, zone)));

describe('serviceInstant', () => {
  it('reads an ordinary wall-clock time in its zone', () => {
    expect(at('2026-07-01', '12:00', 'Europe/London')).toBe('2026-07-01T11:00:00Z');
    expect(at('2026-01-15', '19:30', 'America/New_York')).toBe('2026-01-16T00:30:00Z');
    expect(at('2026-01-15', '08:00', 'Asia/Kathmandu')).toBe('2026-01-15T02:15:00Z');
  });

  // EU summer time: Directive 2000/84/EC, last Sundays of March and October at 01:00 UTC.
  it('moves a time that the spring change skips to the same distance after the jump', () => {
    expect(at('2026-03-29', '02:30', 'Europe/Paris')).toBe('2026-03-29T01:30:00Z');
    expect(
      unwrap(
        wallClockOf(unwrap(serviceInstant('2026-03-29', '02:30', 'Europe/Paris')), 'Europe/Paris'),
      ).time,
    ).toBe('03:30');
  });

  it('takes the first of the two when the autumn change repeats a time', () => {
    expect(at('2026-10-25', '02:30', 'Europe/Paris')).toBe('2026-10-25T00:30:00Z');
    expect(at('2026-10-25', '03:00', 'Europe/Paris')).toBe('2026-10-25T02:00:00Z');
    // US rule (Energy Policy Act of 2005): first Sunday of November, 02:00 local.
    expect(at('2026-11-01', '01:30', 'America/New_York')).toBe('2026-11-01T05:30:00Z');
  });

  it('knows a half-hour change (Lord Howe Island)', () => {
    expect(at('2026-10-04', '02:15', 'Australia/Lord_Howe')).toBe('2026-10-03T15:45:00Z');
    expect(at('2026-04-05', '01:45', 'Australia/Lord_Howe')).toBe('2026-04-04T14:45:00Z');
  });

  it('treats 24:00 as the midnight that ends the day, also when the clocks change', () => {
    expect(at('2026-03-29', '24:00', 'Europe/Paris')).toBe('2026-03-29T22:00:00Z');
    expect(unwrap(minutesOfDay('24:00'))).toBe(1440);
  });

  it.each([
    ['2026-02-29', '12:00', 'Europe/London', 'invalid-date'],
    ['2026-13-01', '12:00', 'Europe/London', 'invalid-date'],
    ['2026-03-01', '24:30', 'Europe/London', 'invalid-date'],
    ['2026-03-01', '9:00', 'Europe/London', 'invalid-date'],
    ['2026-03-01', '09:00', 'Europe/Lakeside', 'invalid-zone'],
  ])('refuses %s %s in %s', (date, time, zone, kind) => {
    const result = serviceInstant(date, time, zone);
    expect(result.ok ? 'ok' : result.error.kind).toBe(kind);
  });

  it('goes back from the instant to the wall clock of every zone for a whole year', () => {
    for (const zone of [
      'Europe/London',
      'America/New_York',
      'Asia/Kathmandu',
      'Australia/Lord_Howe',
    ]) {
      for (let minute = 29_500_000; minute < 29_500_000 + 366 * 1440; minute += 997) {
        const wall = unwrap(wallClockOf(minute, zone));
        const again = unwrap(serviceInstant(wall.date, wall.time, zone));
        // Equal, or the first of a repeated hour.
        expect([0, 30, 60]).toContain(minute - again);
        expect(unwrap(serviceDateOf(minute, zone))).toBe(wall.date);
      }
    }
  });

  it('reads RFC 3339 with any offset and refuses other text', () => {
    expect(unwrap(fromRfc3339('2026-03-14T19:30:59+01:00'))).toBe(
      unwrap(serviceInstant('2026-03-14', '18:30', 'UTC')),
    );
    expect(fromRfc3339('tomorrow').ok).toBe(false);
    expect(fromRfc3339('2026-03-14').ok).toBe(false);
  });
});
