import type { XmlReading } from './read-xml.ts';
import type { DateShown } from './serial-dates.ts';

/** How a number is shown, as far as it changes what is read. */
export type NumberFormat =
  | { readonly kind: 'plain' }
  | { readonly kind: 'moment'; readonly shown: DateShown }
  /** An article number kept as a number: 00417 is shown by the format 00000. */
  | { readonly kind: 'digits'; readonly count: number };

export const PLAIN: NumberFormat = { kind: 'plain' };

/** Longer codes are not valid (MS-OE376 2.1.739) and not looked at. */
const MOST_CODE = 254;

/**
 * Formats that are known by number alone. Source: ECMA-376 Part 1 section 18.8.30; those of
 * Chinese, Japanese and Korean (27 to 36, 50 to 58) from memory: dates, but for the times among them.
 */
const BUILT_IN: ReadonlyMap<number, DateShown> = new Map([
  ...[14, 15, 16, 17, 27, 28, 29, 30, 31, 36, 50, 51, 52, 53, 54, 57, 58].map(
    (id) => [id, 'date'] as const,
  ),
  ...[18, 19, 20, 21, 32, 33, 34, 35, 45, 46, 47, 55, 56].map((id) => [id, 'time'] as const),
  [22, 'date and time'],
]);

/**
 * What a format code shows. Quoted and escaped text, colours, conditions and languages are left out
 * of account, and only the first section (of positive numbers) counts.
 * Source: ECMA-376 Part 1 section 18.8.31.
 */
export function formatOfCode(code: string): NumberFormat {
  if (code.length > MOST_CODE) return PLAIN;
  if (/^0{2,20}$/.test(code)) return { kind: 'digits', count: code.length };
  const bare = code
    .replace(/"[^"]*"|[\\_*]./g, '')
    .replace(/\[(?![hms]+\])[^\]]*\]/gi, '')
    .split(';', 1)[0];
  const letters = (bare ?? '').replace(/general/gi, '').toLowerCase();
  const time = /[hs]/.test(letters);
  const date = /[yd]/.test(letters) || (letters.includes('m') && !time);
  // Dates hold no digits but those of parts of a second: 0.00 stk is a number.
  if ((!time && !date) || /[0#?]/.test(letters.replace(/s\.0+/g, ''))) return PLAIN;
  return { kind: 'moment', shown: time && date ? 'date and time' : time ? 'time' : 'date' };
}

/** Reads the styles part: the format of each cell style, in their order. */
export class NumberFormatsReading implements XmlReading {
  readonly #codes = new Map<number, NumberFormat>();
  readonly #ids: number[] = [];
  #inCellStyles = false;

  open(name: string, attributes: Readonly<Record<string, string>>): void {
    if (name === 'cellXfs') this.#inCellStyles = true;
    else if (name === 'numFmt') {
      this.#codes.set(Number(attributes.numFmtId), formatOfCode(attributes.formatCode ?? ''));
    } else if (name === 'xf' && this.#inCellStyles) this.#ids.push(Number(attributes.numFmtId));
  }

  close(name: string): void {
    if (name === 'cellXfs') this.#inCellStyles = false;
  }

  /** @returns the format of a cell style; plain for one that is not there */
  formatOf(style: number): NumberFormat {
    const id = this.#ids[style];
    if (id === undefined) return PLAIN;
    const own = this.#codes.get(id);
    if (own) return own;
    const shown = BUILT_IN.get(id);
    return shown === undefined ? PLAIN : { kind: 'moment', shown };
  }
}
