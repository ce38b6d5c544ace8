import { Archive } from './archive.ts';
import { NumberFormatsReading } from './number-formats.ts';
import { readXml } from './read-xml.ts';
import { notSound } from './refuse-workbook.ts';
import { SharedTextsReading } from './shared-texts.ts';
import { SheetReading, type SheetReadOptions, type SheetRow } from './sheet-rows.ts';
import { workbookParts } from './workbook-parts.ts';
import type { WorkbookFile } from './workbook-file.ts';

/** The table of a workbook. */
export interface WorkbookTable {
  /** The sheet it was read from. */
  readonly sheet: string;
  /** Sheets that can be seen and were not read. */
  readonly others: readonly string[];
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
 * Reads the first worksheet that can be seen of an Office Open XML workbook (.xlsx; ECMA-376,
 * ISO/IEC 29500, transitional or strict).
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
 * @throws Refusal `invalid-input` (400) or `too-large` (413)
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
  const { sheet, others, texts, styles, base } = await workbookParts(archive);
  const shared = new SharedTextsReading();
  if (texts !== null) await readXml(archive.read(texts, MOST_TEXTS_PART), texts, shared);
  const formats = new NumberFormatsReading();
  if (styles !== null) await readXml(archive.read(styles, MOST_STYLES_PART), styles, formats);
  const reading = new SheetReading(options, {
    texts: shared.texts,
    formatOf: (style) => formats.formatOf(style),
    base,
  });
  await readXml(archive.read(sheet.part, MOST_SHEET_PART), sheet.part, reading);
  const [header, ...rows] = reading.rows;
  if (!header) throw notSound('The sheet has no rows that can be read.');
  return { sheet: sheet.name, others, header, rows };
}
