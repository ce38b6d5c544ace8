import { Archive } from './archive.ts';
import { NumberFormatsReading } from './number-formats.ts';
import { readXml } from './read-xml.ts';
import { Refusal } from '../refusal.ts';
import { pickSheet, type SheetsSeen } from './pick-sheet.ts';
import { notSound } from './refuse-workbook.ts';
import { SharedTextsReading } from './shared-texts.ts';
import { SheetReading, type SheetReadOptions, type SheetRow } from './sheet-rows.ts';
import { workbookParts, type WorkbookParts } from './workbook-parts.ts';
import type { WorkbookFile } from './workbook-file.ts';

/** The table of a workbook. */
export interface WorkbookTable extends SheetsSeen {
  readonly header: SheetRow;
  /** The rows below the header that hold something. */
  readonly rows: readonly SheetRow[];
}

const MOST_TEXTS_PART = 64 * 1_048_576;
const MOST_SHEET_PART = 160 * 1_048_576;
const MOST_STYLES_PART = 8 * 1_048_576;

/** One workbook after the other, so that the room that several take never adds up. */
let before: Promise<unknown> = Promise.resolve();

/**
 * Reads a worksheet that can be seen of an Office Open XML workbook (.xlsx; ECMA-376, ISO/IEC 29500,
 * transitional or strict): the one that is asked for by name, else the first.
 *
 * Read are: shared and inline texts, numbers (as many digits as are shown, with the zeros of an
 * article number's format), TRUE and FALSE, dates and times by their format in the 1900 and 1904
 * systems, the kept results of formulas. Empty rows are passed over, the others keep their numbers.
 *
 * Refused whole are: workbooks with a password, with macros (.xlsm), of the old kind (.xls), binary
 * (.xlsb), templates and other documents; archives and XML that are not sound, DOCTYPE, other
 * encodings than UTF-8; and more than is read: 2000 parts, 192 MB unpacked (160 MB the sheet), 256
 * columns, 3 million filled cells, 32 million characters, 1 million different texts, rows as asked.
 * A cell whose value cannot be had (an error, a formula without result, no number, more than 32 767
 * characters, a NUL) is a fault of its row.
 *
 * Nothing is fetched, opened or run; other requests get their turn while it is read.
 * @throws Refusal `invalid-input` (400) or `too-large` (413), `missing-data` (422) for a sheet that is
 * not there. One that is about a sheet names all of them (`detail.sheets`), so that another can be taken.
 */
export function readWorkbook(
  file: WorkbookFile,
  options: SheetReadOptions,
): Promise<WorkbookTable> {
  const turn = before.then(() => readNow(file, options));
  before = turn.catch(() => undefined);
  return turn;
}

async function readNow(file: WorkbookFile, options: SheetReadOptions): Promise<WorkbookTable> {
  const archive = await Archive.open(file.bytes);
  const parts = await workbookParts(archive);
  const sheets = parts.sheets.map(({ name }) => name);
  const sheet = pickSheet(parts.sheets, file.sheet);
  try {
    const [header, ...rows] = await readRows(archive, parts, sheet.part, options);
    if (!header) throw notSound('The sheet has no rows that can be read.');
    return { sheet: sheet.name, sheets, header, rows };
  } catch (error) {
    if (!(error instanceof Refusal) || sheets.length === 1) throw error;
    const { kind, message, issues, detail } = error;
    throw new Refusal(kind, message, { issues, detail: { ...detail, sheet: sheet.name, sheets } });
  }
}

async function readRows(
  archive: Archive,
  { texts, styles, base }: WorkbookParts,
  part: string,
  options: SheetReadOptions,
): Promise<readonly SheetRow[]> {
  const shared = new SharedTextsReading();
  if (texts !== null) await readXml(archive.read(texts, MOST_TEXTS_PART), texts, shared);
  const formats = new NumberFormatsReading();
  if (styles !== null) await readXml(archive.read(styles, MOST_STYLES_PART), styles, formats);
  const reading = new SheetReading(options, {
    texts: shared.texts,
    formatOf: (style) => formats.formatOf(style),
    base,
  });
  await readXml(archive.read(part, MOST_SHEET_PART), part, reading);
  return reading.rows;
}
