import { invalid } from '../refusal.ts';
import { columnLetters, isoText, MOST_CELL_TEXT, numberText, placeOf } from './cell-text.ts';
import type { NumberFormat } from './number-formats.ts';
import type { XmlAttributes, XmlReading } from './read-xml.ts';
import { notSound, tooLarge } from './refuse-workbook.ts';
import type { DateBase } from './serial-dates.ts';
import { TextRuns } from './shared-texts.ts';

/** A row of a sheet that holds something: its number as the sheet shows it, cells as text. */
export interface SheetRow {
  readonly row: number;
  /** From column A to the last filled one; empty cells are ''. */
  readonly cells: readonly string[];
  readonly faults: readonly CellFault[];
}

/** A cell whose value cannot be had. */
export interface CellFault {
  /** From 0. */
  readonly column: number;
  readonly message: string;
}

/** How a sheet is read. */
export interface SheetReadOptions {
  /** Rows below the header; more are refused. */
  readonly mostRows: number;
  /** The header is the first row with as many filled cells; titles above it are passed over. */
  readonly headerCells: number;
  /** What stands between whole and parts in the texts of the file; numbers are written so too. */
  readonly mark: '.' | ',';
  /** Stop behind the header. */
  readonly headerOnly?: boolean;
}

/** What the cells of a sheet refer to. */
export interface SheetContext {
  readonly texts: readonly (string | { readonly fault: 'long' | 'unstorable' })[];
  readonly formatOf: (style: number) => NumberFormat;
  readonly base: DateBase;
}

const MOST_COLUMNS = 256;
const MOST_CELLS = 3_000_000;
const MOST_CHARACTERS = 32 * 1_048_576;
/** Last row that a sheet has (ECMA-376: 2 to the power of 20). */
const LAST_ROW = 1_048_576;
const OUT_OF_ORDER = 'The rows or cells of the sheet are not in order.';

type Value = string | { readonly fault: string };

/**
 * Reads the rows of a worksheet part. The extent that the part declares (`dimension`) is never
 * believed; cells without a value are empty, so of merged cells the first holds the value. Hidden
 * rows and columns are read like others. A formula is its kept result.
 *
 * Source: ECMA-376 Part 1 sections 18.3.1.4 (c), 18.3.1.73 (row), 18.18.11 (cell types).
 *
 * @throws Refusal (from `readXml`) for more than is read: rows, columns, filled cells, characters
 */
export class SheetReading implements XmlReading {
  readonly rows: SheetRow[] = [];
  readonly #options: SheetReadOptions;
  readonly #context: SheetContext;
  readonly #inline = new TextRuns();
  #inData = false;
  #row = 0;
  #cells: string[] = [];
  #faults: CellFault[] = [];
  #column = -1;
  #cell: XmlAttributes | null = null;
  #value: string | null = null;
  #inValue = false;
  #hasFormula = false;
  #filled = 0;
  #characters = 0;

  constructor(options: SheetReadOptions, context: SheetContext) {
    this.#options = options;
    this.#context = context;
  }

  enough(): boolean {
    return this.#options.headerOnly === true && this.rows.length > 0;
  }

  open(name: string, attributes: XmlAttributes): void {
    if (!this.#inData) {
      if (name === 'sheetData') this.#inData = true;
    } else if (this.#cell) {
      if (name === 'v') [this.#inValue, this.#value] = [true, ''];
      else if (name === 'f') this.#hasFormula = true;
      else this.#inline.open(name);
    } else if (name === 'row') this.#beginRow(attributes.r);
    else if (name === 'c') this.#beginCell(attributes);
  }

  text(text: string): void {
    if (!this.#cell) return;
    if (!this.#inValue) this.#inline.add(text);
    else if ((this.#value?.length ?? 0) <= MOST_CELL_TEXT) this.#value += text;
  }

  close(name: string): void {
    if (!this.#inData) return;
    if (this.#cell) {
      if (name === 'v') this.#inValue = false;
      else if (name === 'c') this.#endCell();
      else this.#inline.close(name);
    } else if (name === 'row') this.#endRow();
    else if (name === 'sheetData') this.#inData = false;
  }

  #beginRow(given: string | undefined): void {
    const row = given === undefined ? this.#row + 1 : Number(given);
    if (!Number.isInteger(row) || row <= this.#row || row > LAST_ROW) throw notSound(OUT_OF_ORDER);
    this.#row = row;
    [this.#cells, this.#faults, this.#column] = [[], [], -1];
  }

  #beginCell(attributes: XmlAttributes): void {
    const place =
      attributes.r === undefined
        ? { column: this.#column + 1, row: this.#row }
        : placeOf(attributes.r);
    if (!place || place.row !== this.#row || place.column <= this.#column) {
      throw notSound(OUT_OF_ORDER);
    }
    this.#column = place.column;
    this.#cell = attributes;
    [this.#value, this.#inValue, this.#hasFormula] = [null, false, false];
    this.#inline.begin();
  }

  #endCell(): void {
    const value = this.#valueOf(this.#cell ?? {});
    this.#cell = null;
    if (typeof value === 'string' && value.trim() === '') return;
    const column = this.#column;
    if (column >= MOST_COLUMNS) {
      const last = columnLetters(MOST_COLUMNS - 1);
      throw notSound(`The cell ${this.#ref()} lies beyond ${last}, the last column that is read.`);
    }
    this.#filled += 1;
    if (this.#filled > MOST_CELLS) {
      throw tooLarge(`The sheet has more than ${MOST_CELLS} filled cells. Send it in parts.`);
    }
    while (this.#cells.length < column) this.#cells.push('');
    if (typeof value !== 'string') {
      this.#cells.push('');
      this.#faults.push({ column, message: value.fault });
      return;
    }
    // Counted as often as it stands in a cell: a long text is one to whoever reads the cells.
    this.#characters += value.length;
    if (this.#characters > MOST_CHARACTERS) {
      throw tooLarge('The sheet holds too much text. Send it in parts.');
    }
    this.#cells.push(value);
  }

  #valueOf({ t: type = 'n', s: style = '0' }: XmlAttributes): Value {
    const raw = this.#value;
    if (type === 'inlineStr') return this.#checked(this.#inline.end());
    if (raw === null) {
      return this.#hasFormula
        ? {
            fault: `The cell ${this.#ref()} is a formula without its result. Open the workbook in a spreadsheet and save it.`,
          }
        : '';
    }
    if (raw.length > MOST_CELL_TEXT) return this.#checked({ fault: 'long' });
    switch (type) {
      case 's': {
        const text = /^\s*\d{1,9}\s*$/.test(raw) ? this.#context.texts[Number(raw)] : undefined;
        if (text === undefined) {
          throw notSound(`The cell ${this.#ref()} names a text that the workbook does not hold.`);
        }
        return this.#checked(text);
      }
      case 'str': {
        this.#inline.begin();
        this.#inline.open('t');
        this.#inline.add(raw);
        return this.#checked(this.#inline.end());
      }
      case 'b':
        return raw === '1' || raw === 'true' ? 'TRUE' : 'FALSE';
      case 'd':
        return isoText(raw);
      case 'e':
        return { fault: `The cell ${this.#ref()} holds an error, not a value.` };
      default: {
        if (raw.trim() === '') return '';
        const { formatOf, base } = this.#context;
        const text = numberText(raw.trim(), formatOf(Number(style)), base, this.#options.mark);
        return text ?? { fault: `The cell ${this.#ref()} holds no number that can be read.` };
      }
    }
  }

  #checked(text: string | { readonly fault: 'long' | 'unstorable' }): Value {
    if (typeof text === 'string') return text;
    return text.fault === 'long'
      ? { fault: `The cell ${this.#ref()} holds more than ${MOST_CELL_TEXT} characters.` }
      : { fault: `The cell ${this.#ref()} holds a character that cannot be kept.` };
  }

  #endRow(): void {
    const filled = this.#cells.filter((cell) => cell !== '').length + this.#faults.length;
    if (filled === 0) return;
    if (this.rows.length === 0) {
      if (filled < this.#options.headerCells) return;
      const [fault] = this.#faults;
      if (fault) throw invalid(`/rows/${this.#row}`, fault.message);
      // Headings are wrapped over several lines for the eye.
      this.#cells = this.#cells.map((cell) => cell.replace(/\s+/g, ' ').trim());
    } else if (this.rows.length > this.#options.mostRows) {
      throw notSound(`The file has more than ${this.#options.mostRows} rows; send it in parts.`);
    }
    this.rows.push({ row: this.#row, cells: this.#cells, faults: this.#faults });
  }

  #ref(): string {
    return `${columnLetters(this.#column)}${this.#row}`;
  }
}
