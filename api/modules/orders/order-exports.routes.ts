import type { FastifyReply } from 'fastify';
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { orderSheet, ordersToXlsx, orderToUbl, PAPER_LANGUAGES } from '../../core/exports/index.ts';
import { actorOf } from '../../http/access.ts';
import { orRefuse, Refusal } from '../platform/index.ts';
import { given, OrderParams } from './order-answers.ts';
import { ordersCsv } from './order-body.ts';
import { toOrderDocument } from './order-export.ts';
import { OrderQuery } from './orders.schema.ts';
import type { OrdersService } from './orders.service.ts';

const XLSX = 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet';

export const OrderSheetSchema = z
  .object({
    language: z.enum(PAPER_LANGUAGES),
    title: z.string(),
    head: z.array(z.object({ label: z.string(), lines: z.array(z.string()) })),
    columns: z.array(z.object({ header: z.string(), align: z.enum(['start', 'end']) })),
    rows: z.array(z.array(z.string())),
    totals: z.array(z.object({ label: z.string(), amount: z.string() })),
    notes: z.array(z.string()),
  })
  .meta({ id: 'OrderSheet' });

/** Orders as files that other systems read, and as a sheet for paper. */
export function orderExportsRoutes(service: OrdersService): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['orders'];
    const asFile = (reply: FastifyReply, name: string, type: string, content: string | Buffer) =>
      reply
        .type(type)
        .header('content-disposition', `attachment; filename="${name}"`)
        .send(content);
    const CSV = 'text/csv; charset=utf-8; header=present';

    app.get(
      '/order-lines.csv',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'The lines of orders as comma-separated values',
          querystring: OrderQuery,
          produces: ['text/csv'],
          response: { 200: z.string() },
        },
      },
      async (request, reply) => {
        const orders = await service.matching(actorOf(request), given(request.query));
        return asFile(reply, 'order-lines.csv', CSV, ordersCsv(orders, await service.book()));
      },
    );

    app.get(
      '/order-lines.xlsx',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'Approved and later orders as one workbook: lines, and totals by order',
          querystring: OrderQuery,
          produces: [XLSX],
          response: { 200: z.unknown().describe('A workbook') },
        },
      },
      async (request, reply) => {
        const orders = await service.matching(actorOf(request), given(request.query));
        const book = await service.book();
        const group = await service.groupName();
        const documents = orders
          .filter((order) => order.number !== null && order.approvedAt !== null)
          .filter((order) => order.status !== 'cancelled' && order.lines.some((l) => l.packs > 0))
          .map((order) => toOrderDocument(order, book, group));
        if (documents.length === 0) {
          throw new Refusal('not-found', 'None of these orders is approved yet.');
        }
        const workbook = Buffer.from(orRefuse(ordersToXlsx(documents)));
        return asFile(reply, 'order-lines.xlsx', XLSX, workbook);
      },
    );

    app.get(
      '/orders/:orderId/export',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'One order as a file for the supplier',
          params: OrderParams,
          querystring: z.object({ format: z.enum(['csv', 'ubl', 'xlsx']).default('csv') }),
          produces: ['text/csv', 'application/xml', XLSX],
          response: { 200: z.unknown().describe('The order as a file') },
        },
      },
      async (request, reply) => {
        const order = await service.get(actorOf(request), request.params.orderId);
        const book = await service.book();
        const { format } = request.query;
        if (format === 'csv') {
          return asFile(reply, `${order.id}.csv`, CSV, ordersCsv([order], book));
        }
        const document = toOrderDocument(order, book, await service.groupName());
        if (format === 'ubl') {
          const xml = orRefuse(orderToUbl(document));
          return asFile(reply, `${order.id}.xml`, 'application/xml; charset=utf-8', xml);
        }
        const workbook = Buffer.from(orRefuse(ordersToXlsx([document])));
        return asFile(reply, `${order.id}.xlsx`, XLSX, workbook);
      },
    );

    app.get(
      '/orders/:orderId/sheet',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'The order laid out for paper, in the language of its supplier',
          params: OrderParams,
          response: { 200: OrderSheetSchema },
        },
      },
      async (request) => {
        const order = await service.get(actorOf(request), request.params.orderId);
        const group = await service.groupName();
        const document = toOrderDocument(order, await service.book(), group);
        const sheet = orRefuse(orderSheet(document));
        return {
          ...sheet,
          head: sheet.head.map((part) => ({ ...part, lines: [...part.lines] })),
          columns: sheet.columns.map((column) => ({ ...column })),
          rows: sheet.rows.map((row) => [...row]),
          totals: sheet.totals.map((total) => ({ ...total })),
          notes: [...sheet.notes],
        };
      },
    );
  };
}
