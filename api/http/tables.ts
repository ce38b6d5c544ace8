import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import {
  invalid,
  MOST_SHEET_NAME,
  WorkbookFile,
  type TableFile,
} from '../modules/platform/index.ts';
import { DryRun } from './wire.ts';

/** Workbooks of Office Open XML (ISO/IEC 29500). */
export const XLSX = 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet';
/** What a table may be sent as. */
export const TABLE_TYPES = [XLSX, 'text/csv'];

/**
 * Lets the routes of this scope take tables: `text/csv` as UTF-8 text, and workbooks as bytes that
 * are looked into only once it is known who asks and for what.
 */
export function acceptTables(
  app: Pick<FastifyInstance, 'addContentTypeParser'>,
  mostBytes: number,
): void {
  const whole = { parseAs: 'buffer', bodyLimit: mostBytes } as const;
  app.addContentTypeParser('text/csv', whole, (_request, bytes: Buffer, done) => {
    if (bytes.subarray(0, 4).equals(Buffer.from('PK\x03\x04', 'latin1'))) {
      return done(invalid('', `The file is a workbook, not CSV. Send it as ${XLSX}.`));
    }
    try {
      done(null, new TextDecoder('utf-8', { fatal: true }).decode(bytes));
    } catch {
      done(invalid('', 'The file is not UTF-8 text. Save it as CSV UTF-8.'));
    }
  });
  app.addContentTypeParser(XLSX, whole, (_request, bytes: Buffer, done) =>
    done(null, new WorkbookFile(bytes)),
  );
}

const Workbook = z.instanceof(WorkbookFile);
// Bytes have no form that a schema could check.
Workbook._zod.toJSONSchema = () => ({ type: 'string', format: 'binary' });

/** A table: comma-separated values, or a workbook. */
export const TableBody = z.union([z.string().min(1), Workbook]);

/** The name of a sheet as reports write it. */
export const SheetQuery = z
  .string()
  .trim()
  .min(1)
  .max(MOST_SHEET_NAME)
  .optional()
  .meta({
    description:
      'The sheet of a workbook that is read, as reports name it; the first that can be seen ' +
      `where none is named. A name longer than ${MOST_SHEET_NAME} characters is cut there.`,
    example: 'Prices',
  });
export const TableQuery = z.object({
  dryRun: DryRun,
  sheet: SheetQuery,
});

/** Which sheet was read, for a report's schema. */
export const SHEETS_SEEN = {
  sheet: z
    .string()
    .nullable()
    .meta({ description: 'The sheet that was read; null where the table is no workbook.' }),
  sheets: z
    .array(z.string())
    .meta({ description: 'The sheets that can be seen, in the order of the workbook.' }),
};

/**
 * The table that was sent, to be read from the sheet that is asked for.
 * @throws Refusal for a sheet of what is no workbook
 */
export function tableAsked(file: TableFile, sheet: string | undefined): TableFile {
  if (sheet === undefined) return file;
  if (typeof file !== 'string') return file.onSheet(sheet);
  throw invalid('/querystring/sheet', 'Comma-separated values have no sheets.');
}

/** What the document says of how a table is sent, after what it says of its columns. */
export const TABLE_WORDS =
  'as text/csv, or as an XLSX workbook: one sheet of it, the header in its first filled row, rows ' +
  'by the numbers that the sheet shows. A sheet that is not there is refused (422) with the names ' +
  'of those that are.';
