import type { FastifyInstance } from 'fastify';
import { z } from 'zod';
import { invalid, WorkbookFile } from '../modules/platform/index.ts';

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

/** What the document says of how a table is sent, after what it says of its columns. */
export const TABLE_WORDS =
  'as text/csv, or as an XLSX workbook: its first sheet that can be seen, the header in its first ' +
  'filled row, rows by the numbers that the sheet shows.';
