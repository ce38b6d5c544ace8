import { parse } from 'csv-parse';
import { Readable } from 'node:stream';
import {
  invalid,
  NO_SHEETS,
  readWorkbook,
  Refusal,
  type CsvProblem,
  type SheetsSeen,
  type TableFile,
  type WorkbookFile,
} from '../platform/index.ts';
import type { PriceColumns } from './suppliers.ports.ts';

/** A wholesaler's whole list; more is several lists. */
const MOST_ROWS = 200_000;
const MOST_CELL_CHARACTERS = 2_000;
/** Rows read before other requests get their turn. */
const ROWS_A_TURN = 2_000;
/** A list says what is sold, how much of it and for how much: titles above it have fewer cells. */
const LEAST_COLUMNS = 3;

/** The cells of a list. */
export interface PriceListCells extends SheetsSeen {
  readonly header: readonly string[];
  /** Row by row from `firstRow` on; those without cells are passed over. */
  readonly rows: readonly (readonly string[])[];
  readonly firstRow: number;
  /** Rows that the file holds. */
  readonly filled: number;
  /** Cells whose value cannot be had; their rows are among `rows` without cells. */
  readonly problems: readonly CsvProblem[];
}

/** What a list says of itself. */
export interface PriceListHeadings extends SheetsSeen {
  readonly headings: readonly string[];
}

/**
 * The cells of a list; other requests get their turn in between.
 * @param mapping which columns are read: what other ones hold is nobody's concern; and how the list
 *        writes numbers in its texts, because a workbook's numbers are written so
 * @throws Refusal for a file that cannot be read, has no rows, or more than 200 000
 */
export async function priceListCells(
  file: TableFile,
  mapping: PriceColumns,
): Promise<PriceListCells> {
  if (typeof file !== 'string') return sheetCells(file, mapping);
  const rows: string[][] = [];
  for await (const record of csvRecords(file)) {
    rows.push(record);
    if (rows.length > MOST_ROWS + 1) {
      throw invalid('', `The list has more than ${MOST_ROWS} rows. Send it in parts.`);
    }
    if (rows.length % ROWS_A_TURN === 0) await new Promise((turn) => setImmediate(turn));
  }
  const [header, ...rest] = rows;
  if (!header || rest.length === 0) throw noRows();
  return { ...NO_SHEETS, header, rows: rest, firstRow: 2, filled: rest.length, problems: [] };
}

/** The headings of a list, for choosing among them: each once, without the empty ones. */
export async function priceListHeadings(file: TableFile): Promise<PriceListHeadings> {
  if (typeof file === 'string') {
    for await (const header of csvRecords(file)) {
      return { headings: distinct(header), ...NO_SHEETS };
    }
    throw noRows();
  }
  const { header, sheet, sheets } = await readWorkbook(file, {
    ...{ mostRows: MOST_ROWS, headerCells: LEAST_COLUMNS, mark: '.', headerOnly: true },
  });
  return { headings: distinct(header.cells), sheet, sheets };
}

async function sheetCells(
  file: WorkbookFile,
  { columns, decimalComma }: PriceColumns,
): Promise<PriceListCells> {
  const read = await readWorkbook(file, {
    mostRows: MOST_ROWS,
    headerCells: LEAST_COLUMNS,
    mark: decimalComma ? ',' : '.',
  });
  const header = read.header.cells;
  const firstRow = read.header.row + 1;
  const last = read.rows.at(-1);
  if (!last) throw noRows();
  const wanted = new Set(Object.values(columns).map((name) => name.trim()));
  const problems: CsvProblem[] = [];
  const none: readonly string[] = [];
  const rows = Array.from({ length: last.row - firstRow + 1 }, () => none);
  for (const { row, cells, faults } of read.rows) {
    const inTheWay = faults.filter(({ column }) => wanted.has(header[column] ?? ''));
    for (const { column, message } of inTheWay) {
      problems.push({ row, column: header[column] ?? null, message });
    }
    if (inTheWay.length > 0) continue;
    const missing = Math.max(0, header.length - cells.length);
    rows[row - firstRow] = [...cells, ...Array.from({ length: missing }, () => '')];
  }
  const { sheet, sheets } = read;
  return { sheet, sheets, header, rows, firstRow, filled: read.rows.length, problems };
}

async function* csvRecords(text: string): AsyncGenerator<string[]> {
  const parser = Readable.from([text]).pipe(
    parse({
      bom: true,
      relax_column_count: true,
      max_record_size: 64 * MOST_CELL_CHARACTERS,
      delimiter: delimiterOf(text),
    }),
  );
  try {
    yield* parser as AsyncIterable<string[]>;
  } catch (error) {
    if (error instanceof Refusal) throw error;
    throw invalid('', `Not readable as comma-separated values: ${(error as Error).message}`);
  }
}

/** Lists from programs that write a decimal comma part their cells by semicolons. */
function delimiterOf(text: string): string {
  const end = text.indexOf('\n');
  const first = end < 0 ? text : text.slice(0, end);
  return first.split(';').length > first.split(',').length ? ';' : ',';
}

function distinct(header: readonly string[]): string[] {
  return [...new Set(header.map((name) => name.trim()).filter((name) => name !== ''))];
}

const noRows = (): Refusal => invalid('', 'The list has no rows.');
