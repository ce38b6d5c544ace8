import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { actorOf } from '../../http/access.ts';
import { CsvReportSchema } from '../../http/csv.ts';
import {
  acceptTables,
  TABLE_TYPES,
  TABLE_WORDS,
  tableAsked,
  TableBody,
  TableQuery,
} from '../../http/tables.ts';
import { PACK_COLUMNS } from './pack-columns.ts';
import type { PacksImportService } from './packs-import.service.ts';

const MOST_BYTES = 4 * 1_048_576;

/** Comma-separated values (RFC 4180) out, those or a workbook in; everything in a file lands, or nothing. */
export function packsImportRoutes(service: PacksImportService): FastifyPluginAsyncZod {
  return async (app) => {
    acceptTables(app, MOST_BYTES);
    const [needed, more] = [PACK_COLUMNS.required.join(', '), PACK_COLUMNS.optional.join(', ')];

    app.get(
      '/packs/export',
      {
        config: { access: 'signed-in' },
        schema: {
          tags: ['suppliers'],
          summary:
            'Packs in use with every price as comma-separated values that the import reads back',
          produces: ['text/csv'],
          response: { 200: z.string() },
        },
      },
      async (_request, reply) =>
        reply
          .type('text/csv; charset=utf-8')
          .header('content-disposition', 'attachment; filename="packs.csv"')
          .send(await service.export()),
    );

    app.post(
      '/packs/import',
      {
        config: { access: ['purchasing', 'lead', 'admin'], idempotent: true },
        bodyLimit: MOST_BYTES,
        schema: {
          tags: ['suppliers'],
          summary: 'Import packs and prices from a table (CSV or XLSX), all or none',
          description:
            `Columns (any order, header line first): ${needed}; and where wanted ${more}. ` +
            'Supplier and ingredient by id or name; content as written on the pack: 25 kg, 6 x 1 l. ' +
            'A known article number changes that pack in the columns given. With dryRun=true nothing is changed. Sent ' +
            TABLE_WORDS,
          consumes: TABLE_TYPES,
          querystring: TableQuery,
          body: TableBody,
          response: { 200: CsvReportSchema },
        },
      },
      async (request) => {
        const dryRun = request.query.dryRun === 'true';
        const table = tableAsked(request.body, request.query.sheet);
        const report = await service.import(actorOf(request), table, dryRun);
        return { ...report, sheets: [...report.sheets], problems: [...report.problems] };
      },
    );
  };
}
