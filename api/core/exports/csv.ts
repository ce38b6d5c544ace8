import { stringify } from 'csv-stringify/sync';

/** A cell: text, a number (written with a point), or nothing. */
export type CsvCell = string | number | null;

/**
 * Writes rows as CSV: records end in CRLF, fields with comma, quote or line break are quoted, quotes
 * doubled; the first row is the header.
 *
 * A text that a spreadsheet would run as a formula (it starts with = + - @, a tab, a line break or
 * one of their full-width twins) is written with an apostrophe before it. Numbers are not text: a
 * credit of -3.5 stays -3.5.
 *
 * Source: RFC 4180; the characters from OWASP, "CSV Injection" (formulas are outside the RFC).
 *
 * @throws RangeError when a row has not as many cells as the header (a programmer's mistake)
 */
export function toCsv(header: readonly string[], rows: readonly (readonly CsvCell[])[]): string {
  const odd = rows.findIndex((row) => row.length !== header.length);
  if (odd >= 0) throw new RangeError(`Row ${odd} has not as many cells as the header`);
  return stringify([header, ...rows.map((row) => row.map(disarm))], {
    record_delimiter: '\r\n',
    escape_formulas: true,
    // Left alone the library quotes the whole record delimiter only, not a lone CR or LF.
    quoted_match: /[\r\n]/,
  });
}

/** What a spreadsheet would run as a formula; dashes and signs also in their full widths. */
const FORMULA = /^(?:[=+@\-\t\r\n\uFF1D\uFF0B\uFF0D\uFF20]|[ \u00a0]+[=+@-])/;

/**
 * The library minds all but a leading line feed and formulas behind leading blanks. A text that has
 * such an apostrophe of its own gets another, so that reading takes the right one away.
 */
function disarm(cell: CsvCell): CsvCell {
  return typeof cell === 'string' && (/^(\n|[ \u00a0]+[=+@-])/.test(cell) || isDisarmed(cell))
    ? `'${cell}`
    : cell;
}

const isDisarmed = (text: string): boolean =>
  text.startsWith("'") && FORMULA.test(text.replace(/^'+/, ''));

/** A cell as it was before `toCsv` kept a spreadsheet from running it. */
export function asBeforeCsv(text: string): string {
  return isDisarmed(text) ? text.slice(1) : text;
}

/** A number for a CSV cell from decimal text, exact as far as a spreadsheet reads it. */
export function csvNumber(decimalText: string): number {
  return Number(decimalText);
}
