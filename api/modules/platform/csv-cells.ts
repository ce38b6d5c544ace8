import type { RefusalIssue } from './refusal.ts';
import type { SheetsSeen } from './workbook/index.ts';

/** A cell's value, or what is wrong with it. */
export type CellValue<T> = { readonly value: T } | { readonly message: string };

/**
 * A number of zero or more with a decimal point or comma; null for an empty cell. '1,500' is
 * refused: it may mean one and a half or fifteen hundred.
 */
export function numberCell(text: string): CellValue<number | null> {
  if (text === '') return { value: null };
  if (/^\d{1,3}(,\d{3})+$/.test(text)) {
    return { message: `Write ${text} without a comma, or with a point for decimals.` };
  }
  if (!/^\d{1,12}([.,]\d{1,12})?$/.test(text)) {
    return { message: 'Write a number of zero or more.' };
  }
  return { value: Number(text.replace(',', '.')) };
}

/** Yes or no; an empty cell is no. */
export function yesNoCell(text: string): CellValue<boolean> {
  const word = text.toLowerCase();
  if (['yes', 'true', '1'].includes(word)) return { value: true };
  if (['', 'no', 'false', '0'].includes(word)) return { value: false };
  return { message: 'Write yes or no.' };
}

/** The words of a cell, separated by spaces, semicolons or bars. */
export function wordsCell(text: string): readonly string[] {
  return text.split(/[\s;|]+/).filter((word) => word !== '');
}

/** Checks a body as a route would; services are given one so that imports take no lower bar. */
export type BodyCheck<T> = (
  raw: unknown,
) => { readonly value: T } | { readonly issues: readonly RefusalIssue[] };

/** What an import did, or (dry run, or with problems) what it would do and what is in the way. */
export interface CsvReport<Problem> extends SheetsSeen {
  readonly dryRun: boolean;
  readonly rows: number;
  readonly added: number;
  readonly replaced: number;
  /** Rows that say what stands already. */
  readonly unchanged: number;
  readonly problems: readonly Problem[];
}
