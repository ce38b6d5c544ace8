import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { actorOf } from '../../http/access.ts';
import {
  acceptTables,
  TABLE_TYPES,
  TABLE_WORDS,
  tableAsked,
  TableBody,
  TableQuery,
} from '../../http/tables.ts';
import { ImportParams, ImportReportSchema } from './covers.schema.ts';
import type { CoversImportService } from './covers-import.service.ts';

/** Fifty thousand rows of snapshots are about four megabytes. */
const MOST_BYTES = 8 * 1_048_576;

/** POST of comma-separated values (RFC 4180) or a workbook; everything in the file lands, or nothing. */
export function coversImportRoutes(service: CoversImportService): FastifyPluginAsyncZod {
  return async (app) => {
    acceptTables(app, MOST_BYTES);

    app.post(
      '/sites/:siteId/covers-imports/:kind',
      {
        config: { access: ['lead', 'admin', 'chef'], idempotent: true },
        bodyLimit: MOST_BYTES,
        schema: {
          tags: ['covers'],
          summary: 'Import snapshots, outcomes or sales from a table (CSV or XLSX), all or none',
          description:
            'Columns (any order, header line first): snapshots service, service_date, taken_at, booked, cancelled; ' +
            'outcomes service, service_date, covers, walk_ins, no_shows, cancelled, closed (yes or no), note; ' +
            'sales service, service_date, dish, portions, sold_out_at. ' +
            'cancelled, walk_ins, no_shows, closed, note and sold_out_at may be left out or empty; a column of an outcome that is left out says nothing, so that counts made before stay with the same covers. ' +
            'Services and dishes by id or name. With dryRun=true nothing is changed and every bad row is reported. Sent ' +
            TABLE_WORDS,
          consumes: TABLE_TYPES,
          params: ImportParams,
          querystring: TableQuery,
          body: TableBody,
          response: { 200: ImportReportSchema },
        },
      },
      async (request) => {
        const report = await service.import(
          actorOf(request),
          request.params.siteId,
          request.params.kind,
          tableAsked(request.body, request.query.sheet),
          request.query.dryRun === 'true',
        );
        return {
          ...report,
          sheets: [...report.sheets],
          problems: [...report.problems],
          warnings: [...report.warnings],
        };
      },
    );
  };
}
