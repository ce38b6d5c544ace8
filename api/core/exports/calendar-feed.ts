import { toRfc3339 } from '../calendar/index.ts';
import type { EpochMin } from '../calendar/index.ts';
import { coreError } from '../shared/errors.ts';
import { err, ok, type Result } from '../shared/result.ts';

/** One entry of a calendar: a prep task, a delivery, a cutoff. */
export interface CalendarEntry {
  /** Stays the same when the entry changes, so that calendars replace it. */
  readonly uid: string;
  readonly title: string;
  readonly startMin: EpochMin;
  /** Not included; equal to the start for an entry without length. */
  readonly endMin: EpochMin;
  readonly description?: string;
  readonly location?: string;
  readonly categories?: readonly string[];
  /** Rises with each change of the entry. */
  readonly sequence?: number;
}

export interface CalendarFeed {
  readonly name: string;
  /** When the feed was made; every entry carries it. */
  readonly stampMin: EpochMin;
  readonly entries: readonly CalendarEntry[];
}

const MOST_OCTETS = 75;
const encoder = new TextEncoder();

/** Backslash first, then the signs that divide values, then line breaks. */
function escapeText(text: string): string {
  return (
    text
      .replaceAll('\\', '\\\\')
      .replaceAll(';', '\\;')
      .replaceAll(',', '\\,')
      .replace(/\r\n|\r|\n/g, '\\n')
      // eslint-disable-next-line no-control-regex
      .replace(/[\u0000-\u0008\u000b-\u001f\u007f]/g, '')
  );
}

/** Folds a content line to at most 75 octets each, never inside a character. */
function fold(line: string): string {
  const parts: string[] = [];
  let part = '';
  let octets = 0;
  for (const character of line) {
    const size = encoder.encode(character).length;
    if (octets + size > MOST_OCTETS) {
      parts.push(part);
      part = ' ';
      octets = 1;
    }
    part += character;
    octets += size;
  }
  return [...parts, part].join('\r\n');
}

const utc = (min: EpochMin): string => toRfc3339(min).replace(/[-:]/g, '');

/**
 * A calendar feed in iCalendar form: UTC instants, so that no zone table is needed and clock changes
 * cannot shift an entry; CRLF line ends; lines folded at 75 octets.
 *
 * Errors: `missing-data` for an entry without uid or title or a uid used twice; `out-of-range` for
 * one that ends before it starts or whose instants are no whole minutes.
 * Source: RFC 5545, sections 3.1 (folding), 3.3.11 (text), 3.6.1 (VEVENT).
 */
export function toCalendarFeed(feed: CalendarFeed): Result<string> {
  const lines = [
    'BEGIN:VCALENDAR',
    'VERSION:2.0',
    'PRODID:-//tamis//prep and orders//EN',
    'CALSCALE:GREGORIAN',
    'METHOD:PUBLISH',
    // Not in RFC 5545, but read by most calendars; RFC 7986 has NAME.
    `NAME:${escapeText(feed.name)}`,
    `X-WR-CALNAME:${escapeText(feed.name)}`,
  ];
  const uids = new Set<string>();
  for (const [i, entry] of feed.entries.entries()) {
    if (entry.uid.trim() === '' || entry.title.trim() === '' || uids.has(entry.uid)) {
      return err(
        coreError('missing-data', 'A calendar entry has a title and a uid of its own.', {
          path: ['entries', i],
          detail: { uid: entry.uid, title: entry.title },
        }),
      );
    }
    uids.add(entry.uid);
    const whole = Number.isInteger(entry.startMin) && Number.isInteger(entry.endMin);
    if (!whole || entry.endMin < entry.startMin) {
      return err(
        coreError('out-of-range', `${entry.title} ends before it starts.`, {
          path: ['entries', i, 'endMin'],
          detail: { startMin: entry.startMin, endMin: entry.endMin },
        }),
      );
    }
    lines.push(...entryLines(entry, feed.stampMin));
  }
  lines.push('END:VCALENDAR');
  return ok(lines.map((line) => `${fold(line)}\r\n`).join(''));
}

function entryLines(entry: CalendarEntry, stampMin: EpochMin): string[] {
  const { description, location, categories = [] } = entry;
  return [
    'BEGIN:VEVENT',
    `UID:${escapeText(entry.uid)}`,
    `DTSTAMP:${utc(stampMin)}`,
    `DTSTART:${utc(entry.startMin)}`,
    ...(entry.endMin > entry.startMin ? [`DTEND:${utc(entry.endMin)}`] : []),
    ...(entry.sequence === undefined ? [] : [`SEQUENCE:${entry.sequence}`]),
    `SUMMARY:${escapeText(entry.title)}`,
    ...(description === undefined ? [] : [`DESCRIPTION:${escapeText(description)}`]),
    ...(location === undefined ? [] : [`LOCATION:${escapeText(location)}`]),
    ...(categories.length === 0 ? [] : [`CATEGORIES:${categories.map(escapeText).join(',')}`]),
    'END:VEVENT',
  ];
}
