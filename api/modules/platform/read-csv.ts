import { CsvError, parse } from 'csv-parse/sync';
import { asBeforeCsv } from '../../core/exports/index.ts';
import { Refusal } from './refusal.ts';
import {
  NO_SHEETS,
  readWorkbook,
  type CellFault,
  type SheetRow,
  type SheetsSeen,
  type TableFile,
} from './workbook/index.ts';

/** One thing wrong with a file: the line as a spreadsheet numbers it, and the column where known. */
export interface CsvProblem {
  readonly row: number;
  readonly column: string | null;
  readonly message: string;
}

/** A record of a file with the line it begins on; cells by column, trimmed. */
export interface CsvRecord {
  readonly row: number;
  readonly cells: Readonly<Record<string, string>>;
}

export interface CsvTable extends SheetsSeen {
  readonly records: readonly CsvRecord[];
  readonly problems: readonly CsvProblem[];
}

export const MOST_CSV_ROWS = 50_000;
const MOST_CELL_CHARACTERS = 2_000;

/** Which columns a table must and may have. */
export interface TableColumns {
  readonly required: readonly string[];
  readonly optional: readonly string[];
}

interface RawRecord {
  readonly row: number;
  readonly cells: readonly string[];
  readonly faults?: readonly CellFault[];
}

/** A header as people write it: any case, spaces for underscores. */
function columnName(text: string): string {
  return text
    .trim()
    .toLowerCase()
    .replace(/[\s-]+/g, '_');
}

function readRecords(text: string): readonly RawRecord[] | CsvProblem {
  try {
    const read = parse(text, {
      bom: true,
      info: true,
      relax_column_count: true,
      skip_empty_lines: true,
      trim: true,
      max_record_size: 100_000,
    }) as unknown as readonly { record: readonly string[]; info: { lines: number } }[];
    return read.map(({ record, info }) => ({ row: info.lines, cells: record }));
  } catch (error) {
    if (!(error instanceof CsvError)) throw error;
    const line = Number((error as { lines?: unknown }).lines);
    return {
      row: Number.isFinite(line) ? line : 1,
      column: null,
      message: `Not readable as comma-separated values (RFC 4180): ${error.message}`,
    };
  }
}

/**
 * Reads a table with a header row, from comma-separated values or from a workbook: the same columns,
 * the same problems, rows by the numbers that the file or the sheet shows. The apostrophe that our
 * own files have before what looks like a formula is taken off again.
 * @throws Refusal for a workbook that cannot be read at all (`readWorkbook`)
 */
export async function readTable(file: TableFile, columns: TableColumns): Promise<CsvTable> {
  if (typeof file === 'string') return readCsv(file, columns);
  const options = { mostRows: MOST_CSV_ROWS, headerCells: 1, mark: '.' } as const;
  const { header, rows, sheet, sheets } = await readWorkbook(file, options);
  const records = [header, ...rows].map(recordOf(header.cells.length));
  return { ...tableOf(records, columns), sheet, sheets };
}

/** A row of a sheet as a record of a file would be: trimmed, and as wide as the header at least. */
function recordOf(width: number): (row: SheetRow) => RawRecord {
  return ({ row, cells, faults }) => {
    const trimmed = cells.map((cell) => cell.trim());
    while (trimmed.length < width) trimmed.push('');
    return { row, cells: trimmed, faults };
  };
}

/**
 * Reads comma-separated values with a header line (RFC 4180). Column order is free, columns in
 * `required` must be there, others than those and `optional` are refused (a misspelt optional one
 * would be lost in silence).
 */
export function readCsv(text: string, columns: TableColumns): CsvTable {
  const read = readRecords(text);
  const table = 'message' in read ? { records: [], problems: [read] } : tableOf(read, columns);
  return { ...table, ...NO_SHEETS };
}

type TableRows = Pick<CsvTable, 'records' | 'problems'>;

function tableOf(all: readonly RawRecord[], columns: TableColumns): TableRows {
  const [header, ...rest] = all;
  const refuse = (message: string, column: string | null = null): TableRows => ({
    records: [],
    problems: [{ row: header?.row ?? 1, column, message }],
  });
  if (!header) return refuse('The file is empty.');
  const names = header.cells.map(columnName);
  const wanted = [...columns.required, ...columns.optional];
  if (names.length === 1 && names[0]?.includes(';')) {
    return refuse('Separate the columns by commas, not semicolons.');
  }
  for (const name of columns.required) {
    if (!names.includes(name)) return refuse(`The column ${name} is missing.`, name);
  }
  for (const [i, name] of names.entries()) {
    if (!wanted.includes(name)) {
      return refuse(
        `There is no column ${name.slice(0, 60)}; we know ${wanted.join(', ')}.`,
        name.slice(0, 60),
      );
    }
    if (names.indexOf(name) !== i) return refuse(`The column ${name} is there twice.`, name);
  }
  if (rest.length > MOST_CSV_ROWS) {
    return refuse(`The file has more than ${MOST_CSV_ROWS} rows; send it in parts.`);
  }
  const records: CsvRecord[] = [];
  const problems: CsvProblem[] = [];
  for (const { row, cells, faults = [] } of rest) {
    if (cells.length !== names.length) {
      const message = `This row has ${cells.length} cells, the header ${names.length}.`;
      problems.push({ row, column: null, message });
      continue;
    }
    for (const { column, message } of faults) {
      problems.push({ row, column: names[column] ?? null, message });
    }
    if (faults.length > 0) continue;
    const long = cells.findIndex((cell) => cell.length > MOST_CELL_CHARACTERS);
    if (long >= 0) {
      problems.push({ row, column: names[long] ?? null, message: 'This cell is too long.' });
      continue;
    }
    records.push({
      row,
      cells: Object.fromEntries(names.map((name, i) => [name, asBeforeCsv(cells[i] ?? '')])),
    });
  }
  if (rest.length === 0) return refuse('The file has a header and no rows.');
  return { records, problems };
}

/**
 * Refuses an import with bad rows: all or nothing.
 * @throws Refusal `invalid-input` with an issue for every problem: `/rows/7/price`
 */
export function refuseBadRows(problems: readonly CsvProblem[]): void {
  if (problems.length === 0) return;
  const rows = new Set(problems.map((p) => p.row)).size;
  throw new Refusal(
    'invalid-input',
    `${rows} ${rows === 1 ? 'row is' : 'rows are'} not right; nothing was imported.`,
    {
      issues: problems.map(({ row, column, message }) => ({
        pointer: column === null ? `/rows/${row}` : `/rows/${row}/${column}`,
        message,
      })),
    },
  );
}
