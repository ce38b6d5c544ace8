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

/** The library minds all but a leading line feed and formulas behind leading blanks. */
function disarm(cell: CsvCell): CsvCell {
  return typeof cell === 'string' && /^(\n|[ \u00a0]+[=+@-])/.test(cell) ? `'${cell}` : cell;
}

/** A number for a CSV cell from decimal text, exact as far as a spreadsheet reads it. */
export function csvNumber(decimalText: string): number {
  return Number(decimalText);
}
