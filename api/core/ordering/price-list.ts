import { checkGtin, tradeUnit } from '../codes/index.ts';
import { Decimal, isCurrencyCode, isDecimalText } from '../money/index.ts';
import { coreError } from '../shared/errors.ts';
import type { CoreErrorKind } from '../shared/errors.ts';
import { err, ok, type Result } from '../shared/result.ts';

/** What a column of a supplier's list can hold. */
export type PriceListField =
  | 'supplierCode'
  | 'packName'
  | 'content'
  | 'contentUnit'
  | 'price'
  | 'currency'
  | 'gtin'
  | 'minPacks'
  | 'shelfLifeDays';

/**
 * How to read one supplier's list; kept with the supplier. `columns` names the header of each field;
 * `supplierCode`, `content` and `price` are needed. `content` may hold the unit ("10 x 250 g"), or
 * `contentUnit` does.
 */
export interface PriceListMapping {
  readonly columns: Readonly<Partial<Record<PriceListField, string>>>;
  readonly decimalComma: boolean;
  /** Used where the list has no currency column. */
  readonly currency: string;
}

export interface PriceListEntry {
  /** Row of the file, the header being row 1. */
  readonly row: number;
  readonly supplierCode: string;
  readonly packName: string;
  readonly quantityBase: number;
  readonly baseUnit: 'g' | 'ml' | 'each';
  readonly price: string;
  readonly currency: string;
  readonly gtin?: string;
  readonly minPacks?: number;
  readonly shelfLifeDays?: number;
}

/** A cell that cannot be taken, with its place and what it says. */
export interface PriceListProblem {
  readonly row: number;
  readonly column: string;
  readonly kind: CoreErrorKind;
  readonly message: string;
  readonly text: string;
}

/** The list as read; import it only when there are no problems. */
export interface PriceListReading {
  readonly entries: readonly PriceListEntry[];
  readonly problems: readonly PriceListProblem[];
}

/** Symbols that suppliers write, with their Recommendation 20 codes. */
const SYMBOLS: Readonly<Record<string, string>> = {
  kg: 'KGM',
  g: 'GRM',
  gr: 'GRM',
  l: 'LTR',
  lt: 'LTR',
  ml: 'MLT',
  cl: 'CLT',
  dl: 'DLT',
  lb: 'LBR',
  oz: 'ONZ',
  pc: 'H87',
  pcs: 'H87',
  piece: 'H87',
  pieces: 'H87',
  each: 'EA',
  dozen: 'DZN',
};

const CONTENT = /^(?:(\d{1,6})\s*[x×*]\s*)?(\d+(?:\.\d+)?)\s*([A-Za-z0-9]*)$/;

class CellError extends Error {
  readonly kind: CoreErrorKind;

  constructor(kind: CoreErrorKind, message: string) {
    super(message);
    this.kind = kind;
  }
}

function readContent(
  text: string,
  unitText: string,
): Pick<PriceListEntry, 'quantityBase' | 'baseUnit'> {
  const match = CONTENT.exec(text);
  if (!match)
    throw new CellError('unreadable-amount', 'Write the content as 2.5 kg or 10 x 250 g.');
  const symbol = (match[3] || unitText).trim();
  const unit = tradeUnit(SYMBOLS[symbol.toLowerCase()] ?? symbol.toUpperCase());
  if (!unit.ok) throw new CellError('unknown-unit', `"${symbol}" is not a unit we know.`);
  const total = new Decimal(match[1] ?? 1).times(match[2] ?? 0).times(unit.value.factor);
  if (total.lte(0)) throw new CellError('out-of-range', 'A pack holds more than nothing.');
  return { quantityBase: total.toNumber(), baseUnit: unit.value.baseUnit };
}

function readPrice(text: string): string {
  if (!isDecimalText(text)) throw new CellError('unreadable-amount', 'Write the price as 12.40.');
  if (!new Decimal(text).gt(0)) throw new CellError('out-of-range', 'A price is above zero.');
  return text;
}

function readCount(text: string, least: number): number {
  if (!/^\d{1,6}$/.test(text) || Number(text) < least) {
    throw new CellError('out-of-range', `Write a whole number from ${least} on.`);
  }
  return Number(text);
}

function readWord(text: string): string {
  if (/^[=+@\t\r]|^-(?!\d)/.test(text)) {
    throw new CellError('invalid-code', 'The cell holds a spreadsheet formula, not a text.');
  }
  return text;
}

/**
 * Reads a supplier's price list from cells (of CSV or a workbook), row by row, and says everything
 * that is wrong with it: nothing is guessed and no row is dropped silently. Reading changes nothing,
 * so it is the dry run as well.
 *
 * @param header   first row of the file
 * @param rows     the rows below it
 * @param firstRow the number of the first of them; a sheet may have titles above its header
 * @returns error `missing-data` when a needed or named column is not in the header; otherwise the
 *          entries read and the problems, both in the order of the file
 */
export function readPriceList(
  header: readonly string[],
  rows: readonly (readonly string[])[],
  mapping: PriceListMapping,
  firstRow = 2,
): Result<PriceListReading> {
  const places = new Map<PriceListField, number>();
  for (const field of ['supplierCode', 'content', 'price'] as const) {
    if (mapping.columns[field] === undefined) {
      return err(
        coreError('missing-data', `Say which column holds the ${field}.`, {
          path: ['columns', field],
        }),
      );
    }
  }
  const trimmed = header.map((name) => name.trim());
  for (const [field, name] of Object.entries(mapping.columns)) {
    const place = trimmed.indexOf(name.trim());
    if (place < 0) {
      return err(
        coreError('missing-data', `The list has no column "${name}".`, {
          path: ['columns', field],
          detail: { header },
        }),
      );
    }
    places.set(field as PriceListField, place);
  }
  const entries: PriceListEntry[] = [];
  const problems: PriceListProblem[] = [];
  const rowOfCode = new Map<string, number>();
  for (const [i, cells] of rows.entries()) {
    const row = i + firstRow;
    if (cells.every((cell) => cell.trim() === '')) continue;
    if (cells.length !== header.length) {
      const message = `The row has ${cells.length} cells, the header ${header.length}.`;
      const text = cells.join(' | ').slice(0, 200);
      problems.push({ row, column: header[0] ?? '', kind: 'missing-data', message, text });
      continue;
    }
    const before = problems.length;
    const entry = readRow(cells, row, { places, mapping, header, problems });
    if (problems.length > before || !entry) continue;
    const first = rowOfCode.get(entry.supplierCode);
    if (first === undefined) {
      rowOfCode.set(entry.supplierCode, row);
      entries.push(entry);
    } else {
      const column = mapping.columns.supplierCode ?? '';
      const message = `The code is on row ${first} already.`;
      problems.push({ row, column, kind: 'invalid-code', message, text: entry.supplierCode });
    }
  }
  return ok({ entries, problems });
}

function readRow(
  cells: readonly string[],
  row: number,
  list: {
    readonly places: ReadonlyMap<PriceListField, number>;
    readonly mapping: PriceListMapping;
    readonly header: readonly string[];
    readonly problems: PriceListProblem[];
  },
): PriceListEntry | null {
  const { places, mapping, header, problems } = list;
  const raw = (field: PriceListField): string => {
    const place = places.get(field);
    return place === undefined ? '' : (cells[place] ?? '').trim();
  };
  const number = (text: string): string => (mapping.decimalComma ? text.replace(',', '.') : text);
  const read = <T>(field: PriceListField, text: string, reader: (text: string) => T): T | null => {
    try {
      return reader(text);
    } catch (thrown) {
      if (!(thrown instanceof CellError)) throw thrown;
      const column = header[places.get(field) ?? -1] ?? field;
      problems.push({ row, column, kind: thrown.kind, message: thrown.message, text });
      return null;
    }
  };
  const optional = <T>(field: PriceListField, reader: (text: string) => T): T | null =>
    raw(field) === '' ? null : read(field, raw(field), reader);
  const needed = (text: string): string => {
    if (text === '') throw new CellError('missing-data', 'The cell is empty.');
    return readWord(text);
  };
  const supplierCode = read('supplierCode', raw('supplierCode'), needed);
  const packName = read('packName', raw('packName'), readWord);
  const content = read('content', raw('content'), (text) =>
    readContent(number(text), raw('contentUnit')),
  );
  const price = read('price', raw('price'), (text) => readPrice(number(text)));
  const currency = read('currency', raw('currency') || mapping.currency, (text) => {
    if (!isCurrencyCode(text)) throw new CellError('invalid-code', 'This is not a currency code.');
    if (text !== mapping.currency) {
      throw new CellError(
        'currency-mismatch',
        `This supplier's prices are in ${mapping.currency}.`,
      );
    }
    return text;
  });
  const gtin = optional('gtin', (text) => {
    const checked = checkGtin(text);
    if (!checked.ok) throw new CellError('invalid-code', checked.error.message);
    return checked.value;
  });
  const minPacks = optional('minPacks', (text) => readCount(text, 1));
  const shelfLifeDays = optional('shelfLifeDays', (text) => readCount(text, 0));
  if (
    supplierCode === null ||
    packName === null ||
    !content ||
    price === null ||
    currency === null
  ) {
    return null;
  }
  return {
    row,
    supplierCode,
    packName,
    ...content,
    price,
    currency,
    ...(gtin === null ? {} : { gtin }),
    ...(minPacks === null ? {} : { minPacks }),
    ...(shelfLifeDays === null ? {} : { shelfLifeDays }),
  };
}

/** What importing a list would change, by supplier code. */
export interface PriceListChange {
  readonly supplierCode: string;
  readonly what: 'new' | 'price' | 'content' | 'gone';
  readonly before: string | null;
  readonly after: string | null;
  /** Price now over before, less one; null when it is no change of price. */
  readonly changeFraction: number | null;
}

/**
 * Compares a list with the packs held now: new codes, other prices, other contents (which must be
 * looked at: a pack that shrinks is another pack), and codes no longer listed. Unchanged ones are
 * left out.
 */
export function comparePriceList(
  entries: readonly PriceListEntry[],
  held: ReadonlyMap<string, { readonly price: string; readonly quantityBase: number }>,
): PriceListChange[] {
  const listed = new Set<string>();
  const changes: PriceListChange[] = [];
  for (const { supplierCode, price, quantityBase } of entries) {
    listed.add(supplierCode);
    const pack = held.get(supplierCode);
    const change = (what: PriceListChange['what'], before: string | null, after: string): void => {
      const changeFraction =
        what === 'price'
          ? new Decimal(after)
              .div(before ?? after)
              .minus(1)
              .toNumber()
          : null;
      changes.push({ supplierCode, what, before, after, changeFraction });
    };
    if (!pack) {
      change('new', null, price);
      continue;
    }
    if (Math.abs(pack.quantityBase - quantityBase) > 1e-9 * quantityBase) {
      change('content', String(pack.quantityBase), String(quantityBase));
    }
    if (!new Decimal(pack.price).eq(price)) change('price', pack.price, price);
  }
  for (const [supplierCode, { price }] of held) {
    if (listed.has(supplierCode)) continue;
    changes.push({ supplierCode, what: 'gone', before: price, after: null, changeFraction: null });
  }
  return changes;
}
