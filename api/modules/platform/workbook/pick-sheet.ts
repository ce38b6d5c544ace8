import { Refusal } from '../refusal.ts';

/** Which sheet a table was read from, and which it could be. */
export interface SheetsSeen {
  /** Null where the table is no workbook. */
  readonly sheet: string | null;
  /** All that can be seen, in the order of the workbook. */
  readonly sheets: readonly string[];
}

export const NO_SHEETS: SheetsSeen = { sheet: null, sheets: [] };

/** A worksheet by the name it is shown by and the part it stands in. */
export interface Sheet {
  readonly name: string;
  readonly part: string;
}

/** Longest name of a sheet in characters; common spreadsheets allow 31, ECMA-376 says nothing. */
export const MOST_SHEET_NAME = 100;
/** A refusal is one sentence; all names stand in its detail. */
const MOST_NAMED = 10;

/**
 * The name of a sheet as it is shown and asked for: on one line, without what cannot be kept, and
 * of a longer one the first 100 characters.
 */
export function sheetName(raw: string): string {
  const line = raw
    .normalize('NFC')
    .replace(/[\p{Cc}\p{Surrogate}\s]+/gu, ' ')
    .trim();
  return [...line].slice(0, MOST_SHEET_NAME).join('').trim();
}

/**
 * The sheet that is asked for, by its name as it is shown; without regard to case where none is
 * written just so. The first where none is asked for.
 * @throws Refusal `missing-data` where there is none of that name, or more than one
 */
export function pickSheet(sheets: readonly [Sheet, ...Sheet[]], asked: string | null): Sheet {
  if (asked === null) return sheets[0];
  const wanted = sheetName(asked);
  const same = sheets.filter(({ name }) => name === wanted);
  const alike = sheets.filter(({ name }) => name.toLowerCase() === wanted.toLowerCase());
  const [found, second] = same.length > 0 ? same : alike;
  if (found && !second) return found;
  const message = found
    ? `The workbook has more than one sheet "${wanted}".`
    : `The workbook has no sheet "${wanted}"; it has ${namesOf(sheets)}.`;
  throw new Refusal('missing-data', message, {
    issues: [{ pointer: '/querystring/sheet', message }],
    detail: { sheets: sheets.map(({ name }) => name) },
  });
}

function namesOf(sheets: readonly Sheet[]): string {
  const named = sheets.slice(0, MOST_NAMED).map(({ name }) => `"${name}"`);
  const more = sheets.length - named.length;
  return `${named.join(', ')}${more > 0 ? ` (+${more})` : ''}`;
}
