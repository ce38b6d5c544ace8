import type { NumberFormat } from './number-formats.ts';
import { serialText, type DateBase } from './serial-dates.ts';

/** Longest text a cell may hold (ECMA-376 gives none; that of the common spreadsheets). */
export const MOST_CELL_TEXT = 32_767;

const NUMBER = /^[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?$/;

/**
 * A number as text: as many digits as spreadsheets show (15), so that 17.899999999999999 is 17.9;
 * a date or time where the format shows one. Null for what is no number, or none that a spreadsheet
 * can hold. Very large ones keep their exponent (1e+308), so that no column takes them by mistake.
 * @param mark between whole and parts: what the file's own texts use
 */
export function numberText(
  raw: string,
  format: NumberFormat,
  base: DateBase,
  mark: '.' | ',',
): string | null {
  const value = NUMBER.test(raw) ? Number(raw) : Number.NaN;
  if (!Number.isFinite(value)) return null;
  if (format.kind === 'moment') {
    const moment = serialText(value, base, format.shown);
    if (moment !== null) return moment;
  }
  const shown = Number(value.toPrecision(15));
  if (format.kind === 'digits' && Number.isInteger(shown) && shown >= 0) {
    return String(shown).padStart(format.count, '0');
  }
  const text = /e-/.test(String(shown))
    ? shown.toFixed(20).replace(/\.?0+$/, '')
    : String(shown === 0 ? 0 : shown);
  return text.replace('.', mark);
}

/** A moment written in ISO 8601 (type d): a date alone where it is midnight or has no time. */
export function isoText(raw: string): string {
  return raw.trim().replace(/T00:00(:00(\.0+)?)?Z?$/, '');
}

/** Text with its escapes read: _x000D_ stands for a character by its code (ECMA-376 22.9.2.19). */
export function unescaped(text: string): string {
  if (!text.includes('_x')) return text;
  return text.replace(/_x([0-9A-Fa-f]{4})_/g, (_, code: string) =>
    String.fromCharCode(Number.parseInt(code, 16)),
  );
}

/** Whether a text holds what no database keeps: a NUL, or half of a character. */
export function isUnstorable(text: string): boolean {
  return text.includes('\0') || /\p{Surrogate}/u.test(text);
}

/** Column letters: 0 A, 25 Z, 26 AA. */
export function columnLetters(index: number): string {
  const before = Math.floor(index / 26);
  const letter = String.fromCharCode(65 + (index % 26));
  return before === 0 ? letter : columnLetters(before - 1) + letter;
}

/** @returns the column (from 0) and row of a reference such as B7; null for what is none */
export function placeOf(
  reference: string,
): { readonly column: number; readonly row: number } | null {
  const read = /^([A-Z]{1,3})([1-9]\d{0,6})$/.exec(reference);
  if (!read) return null;
  let column = 0;
  for (const letter of read[1] ?? '') column = column * 26 + letter.charCodeAt(0) - 64;
  return { column: column - 1, row: Number(read[2]) };
}
