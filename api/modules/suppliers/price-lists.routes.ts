import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { actorOf } from '../../http/access.ts';
import { CsvProblemSchema } from '../../http/csv.ts';
import {
  acceptTables,
  SheetQuery,
  SHEETS_SEEN,
  TABLE_TYPES,
  tableAsked,
  TableBody,
  TableQuery,
} from '../../http/tables.ts';
import { ServiceDate } from '../../http/wire.ts';
import type { PriceListsService } from './price-lists.service.ts';

const MOST_BYTES = 32 * 1_048_576;
/** Enough to see what is wrong with a file, or what a list changes. */
const MOST_SHOWN = 500;

const Column = z.string().trim().min(1).max(200);
const columns = z.strictObject({
  supplierCode: Column,
  packName: Column.optional(),
  content: Column,
  contentUnit: Column.optional(),
  price: Column,
  currency: Column.optional(),
  gtin: Column.optional(),
  minPacks: Column.optional(),
  shelfLifeDays: Column.optional(),
});
const PriceColumnsBody = z
  .strictObject({ columns, decimalComma: z.boolean().default(false) })
  .meta({
    id: 'PriceColumnsBody',
    description: 'The header of each column of the supplier’s list, as the list writes it.',
  });
const PriceColumnsSchema = z
  .object({
    columns: z.record(z.string(), z.string()).nullable(),
    decimalComma: z.boolean(),
  })
  .meta({ id: 'PriceColumns' });

const HeadingsSchema = z
  .object({ headings: z.array(z.string()), ...SHEETS_SEEN })
  .meta({ id: 'PriceListHeadings' });

const PriceListReportSchema = z
  .object({
    dryRun: z.boolean(),
    ...SHEETS_SEEN,
    rows: z.number().int(),
    prices: z.number().int().meta({ description: 'Prices written, or that would be.' }),
    unchanged: z.number().int(),
    counts: z.object({
      new: z.number().int(),
      price: z.number().int(),
      content: z.number().int(),
      gone: z.number().int(),
      problems: z.number().int(),
    }),
    changes: z
      .array(
        z.object({
          supplierCode: z.string(),
          what: z.enum(['new', 'price', 'content', 'gone']),
          before: z.string().nullable(),
          after: z.string().nullable(),
          changeFraction: z.number().nullable(),
        }),
      )
      .meta({
        description: `The first ${MOST_SHOWN}. Only prices are written; the rest is for a person.`,
      }),
    problems: z.array(CsvProblemSchema),
  })
  .meta({ id: 'PriceListReport' });

/** Suppliers' price lists: how each is read, and taking one in. */
export function priceListsRoutes(service: PriceListsService): FastifyPluginAsyncZod {
  return async (app) => {
    acceptTables(app, MOST_BYTES);
    const tags = ['suppliers'];
    const params = z.object({ supplierId: z.string() });
    const access = ['purchasing', 'lead', 'admin'] as const;
    const toBody = (kept: Awaited<ReturnType<PriceListsService['columns']>>) => ({
      columns: kept === null ? null : { ...kept.columns },
      decimalComma: kept?.decimalComma ?? false,
    });

    app.get(
      '/suppliers/:supplierId/price-columns',
      {
        config: { access },
        schema: {
          tags,
          summary: 'Which column of the supplier’s list holds what, as it was kept',
          params,
          response: { 200: PriceColumnsSchema },
        },
      },
      async (request) => toBody(await service.columns(request.params.supplierId)),
    );

    app.put(
      '/suppliers/:supplierId/price-columns',
      {
        config: { access },
        schema: {
          tags,
          summary: 'Say which column of the supplier’s list holds what; kept for the next list',
          params,
          body: PriceColumnsBody,
          response: { 200: PriceColumnsSchema },
        },
      },
      async (request) => {
        const { columns: named, decimalComma } = request.body;
        const given = Object.fromEntries(
          Object.entries(named).filter(([, name]) => name !== undefined),
        );
        const { supplierId } = request.params;
        return toBody(
          await service.keepColumns(actorOf(request), supplierId, { columns: given, decimalComma }),
        );
      },
    );

    app.post(
      '/suppliers/:supplierId/price-list-headings',
      {
        config: { access },
        bodyLimit: MOST_BYTES,
        schema: {
          tags,
          summary: 'The headings of a supplier’s list, to choose among; changes nothing',
          consumes: TABLE_TYPES,
          params,
          querystring: z.object({ sheet: SheetQuery }),
          body: TableBody,
          response: { 200: HeadingsSchema },
        },
      },
      async (request) => {
        const list = tableAsked(request.body, request.query.sheet);
        const found = await service.headings(request.params.supplierId, list);
        return { ...found, headings: [...found.headings], sheets: [...found.sheets] };
      },
    );

    app.post(
      '/suppliers/:supplierId/price-lists',
      {
        config: { access, idempotent: true },
        bodyLimit: MOST_BYTES,
        schema: {
          tags,
          summary: 'Take a supplier’s price list in: prices from a date on, all or none',
          description:
            'Comma- or semicolon-separated values with the header line first, or an XLSX workbook: one sheet of it, the header in its first row of three filled cells or more. A sheet that is not there is refused (422) with the names of those that are. At most 200 000 rows. With dryRun=true nothing is changed.',
          consumes: TABLE_TYPES,
          params,
          querystring: TableQuery.extend({ validFrom: ServiceDate }),
          body: TableBody,
          response: { 200: PriceListReportSchema },
        },
      },
      async (request) => {
        const { dryRun, validFrom, sheet } = request.query;
        const report = await service.take(
          actorOf(request),
          request.params.supplierId,
          tableAsked(request.body, sheet),
          { dryRun: dryRun === 'true', validFrom },
        );
        const count = (what: string): number =>
          report.changes.filter((change) => change.what === what).length;
        return {
          ...report,
          sheets: [...report.sheets],
          counts: {
            new: count('new'),
            price: count('price'),
            content: count('content'),
            gone: count('gone'),
            problems: report.problems.length,
          },
          changes: report.changes.slice(0, MOST_SHOWN),
          problems: report.problems.slice(0, MOST_SHOWN),
        };
      },
    );
  };
}
