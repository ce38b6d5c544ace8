import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fromRfc3339 } from '../../../api/core/calendar/index.ts';
import { toCalendarFeed } from '../../../api/core/exports/index.ts';
import type { CalendarEntry } from '../../../api/core/exports/index.ts';
import { unwrap } from '../../../api/core/shared/result.ts';

const at = (text: string): number => unwrap(fromRfc3339(text));
const entry = (changes: Partial<CalendarEntry> = {}): CalendarEntry => ({
  uid: 'task-1@lake.example',
  title: 'Line tart shells',
  startMin: at('2026-03-24T06:30:00Z'),
  endMin: at('2026-03-24T07:15:00Z'),
  ...changes,
});
const feed = (...entries: CalendarEntry[]) =>
  toCalendarFeed({ name: 'Boathouse prep', stampMin: at('2026-03-23T12:00:00Z'), entries });

describe('calendar feed', () => {
  it('gives the instants in UTC and leaves out an end that equals the start', () => {
    const text = unwrap(feed(entry(), entry({ uid: 'cutoff', endMin: entry().startMin })));
    expect(text).toContain('DTSTART:20260324T063000Z\r\nDTEND:20260324T071500Z\r\n');
    expect(text.match(/DTEND/g)).toHaveLength(1);
    expect(text.startsWith('BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:')).toBe(true);
    expect(text.endsWith('END:VCALENDAR\r\n')).toBe(true);
  });

  it('refuses entries without title, with a uid used twice, or that end before they start', () => {
    expect(feed(entry({ title: ' ' }))).toMatchObject({
      ok: false,
      error: { kind: 'missing-data' },
    });
    expect(feed(entry(), entry())).toMatchObject({ ok: false, error: { kind: 'missing-data' } });
    expect(feed(entry({ endMin: 1 }))).toMatchObject({
      ok: false,
      error: { kind: 'out-of-range' },
    });
    expect(feed(entry({ startMin: 0.5 }))).toMatchObject({ ok: false });
  });

  it('never writes a line longer than 75 octets nor breaks a character', () => {
    const text = fc.string({ unit: 'grapheme', minLength: 1, maxLength: 200 });
    fc.assert(
      fc.property(text, (title) => {
        fc.pre(title.trim() !== '');
        const lines = unwrap(feed(entry({ title }))).split('\r\n');
        for (const line of lines) {
          const octets = Buffer.from(line, 'utf8');
          expect(octets.length).toBeLessThanOrEqual(75);
          expect(octets.toString('utf8')).toBe(line);
        }
      }),
      { seed: 3 },
    );
  });
});
