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
import { INGREDIENT_COLUMNS } from './ingredient-columns.ts';
import type { IngredientsImportService } from './ingredients-import.service.ts';

const MOST_BYTES = 4 * 1_048_576;

/** Comma-separated values (RFC 4180) out, those or a workbook in; everything in a file lands, or nothing. */
export function ingredientsImportRoutes(service: IngredientsImportService): FastifyPluginAsyncZod {
  return async (app) => {
    acceptTables(app, MOST_BYTES);
    const columns = [...INGREDIENT_COLUMNS.required, ...INGREDIENT_COLUMNS.optional].join(', ');

    app.get(
      '/ingredients/export',
      {
        config: { access: 'signed-in' },
        schema: {
          tags: ['ingredients'],
          summary: 'Ingredients in use as comma-separated values that the import reads back',
          produces: ['text/csv'],
          response: { 200: z.string() },
        },
      },
      async (_request, reply) =>
        reply
          .type('text/csv; charset=utf-8')
          .header('content-disposition', 'attachment; filename="ingredients.csv"')
          .send(await service.export()),
    );

    app.post(
      '/ingredients/import',
      {
        config: { access: ['lead', 'admin'], idempotent: true },
        bodyLimit: MOST_BYTES,
        schema: {
          tags: ['ingredients'],
          summary: 'Import ingredients from a table (CSV or XLSX), all or none',
          description:
            `Columns (any order, header line first; name and base_unit are needed): ${columns}. ` +
            'Allergens as codes separated by spaces, none for a declaration that names none, empty for not declared. ' +
            'A known name changes that ingredient in the columns given. With dryRun=true nothing is changed. Sent ' +
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
