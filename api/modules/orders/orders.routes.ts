import type { FastifyReply } from 'fastify';
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { actorOf } from '../../http/access.ts';
import { ExplanationSchema, toExplanationBody } from '../../http/explanation.ts';
import { IfMatchHeaders, revisionFrom, setRevision } from '../../http/etag.ts';
import { PageQuery, pageRequest, toPageBody } from '../../http/paging.ts';
import { ordersToXlsx, orderToUbl } from '../../core/exports/index.ts';
import { orRefuse } from '../platform/index.ts';
import { ordersCsv, toOrderBody, toOrderHeader, toTotalsBody } from './order-body.ts';
import { toOrderDocument } from './order-export.ts';
import type { Order } from './orders.ports.ts';
import {
  CancelOrderBody,
  LinePacksBody,
  OrderPageSchema,
  OrderQuery,
  OrderRunBody,
  OrderRunSchema,
  OrderSchema,
  OrderTotalsQuery,
  OrderTotalsSchema,
} from './orders.schema.ts';
import type { OrdersService } from './orders.service.ts';

const XLSX = 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet';
const BUYERS = ['purchasing', 'lead', 'admin'] as const;
const OrderParams = z.object({ orderId: z.string() });
const LineParams = OrderParams.extend({ lineId: z.string() });

/** Leaves out the members that are undefined. */
function given<T extends object>(query: T) {
  return Object.fromEntries(Object.entries(query).filter(([, value]) => value !== undefined)) as {
    [K in keyof T]?: Exclude<T[K], undefined>;
  };
}

/** Proposed orders, their changes and approval, CSV, and the explanation of each line. */
export function ordersRoutes(service: OrdersService): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['orders'];
    const answer = async (reply: FastifyReply, order: Order) => {
      setRevision(reply, order.rev);
      return toOrderBody(order, await service.book());
    };
    const asCsv = (reply: FastifyReply, name: string, text: string) =>
      reply
        .type('text/csv; charset=utf-8; header=present')
        .header('content-disposition', `attachment; filename="${name}"`)
        .send(text);

    app.post(
      '/order-runs',
      {
        config: { access: BUYERS, idempotent: true },
        schema: { tags, body: OrderRunBody, response: { 201: OrderRunSchema } },
      },
      async (request, reply) => {
        const { siteIds, days } = request.body;
        const run = await service.runOrders(actorOf(request), {
          days,
          ...(siteIds ? { siteIds } : {}),
        });
        const book = await service.book();
        const UNITS = { g: 'g', ml: 'mL', each: '{each}' } as const;
        return reply.code(201).send({
          orders: run.orders.map((order) => toOrderHeader(order, book)),
          shortfalls: run.shortfalls.map((short) => {
            const ingredient = book.ingredients.get(short.ingredientId);
            return {
              site: { id: short.siteId, name: book.sites.get(short.siteId)?.name ?? '' },
              ingredient: { id: short.ingredientId, name: ingredient?.name ?? '' },
              amount: { value: short.quantity, unit: UNITS[ingredient?.baseUnit ?? 'g'] },
              needDate: short.needDate,
              reason: short.reason,
              message: short.message,
            };
          }),
        });
      },
    );

    app.get(
      '/orders',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          querystring: PageQuery.extend(OrderQuery.shape),
          response: { 200: OrderPageSchema },
        },
      },
      async (request) => {
        const { siteId, supplierId, deliveryDate, status } = request.query;
        const filter = { siteId, supplierId, deliveryDate, status };
        const page = await service.list(
          actorOf(request),
          pageRequest(request.query),
          given(filter),
        );
        const book = await service.book();
        return toPageBody(page, (order) => toOrderHeader(order, book));
      },
    );

    app.get(
      '/order-lines.csv',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          querystring: OrderQuery,
          produces: ['text/csv'],
          response: { 200: z.string() },
        },
      },
      async (request, reply) => {
        const orders = await service.matching(actorOf(request), given(request.query));
        return asCsv(reply, 'order-lines.csv', ordersCsv(orders, await service.book()));
      },
    );

    app.get(
      '/orders/:orderId',
      {
        config: { access: 'signed-in' },
        schema: { tags, params: OrderParams, response: { 200: OrderSchema } },
      },
      async (request, reply) =>
        answer(reply, await service.get(actorOf(request), request.params.orderId)),
    );

    app.put(
      '/orders/:orderId/lines/:lineId',
      {
        config: { access: BUYERS },
        schema: {
          tags,
          params: LineParams,
          headers: IfMatchHeaders,
          body: LinePacksBody,
          response: { 200: OrderSchema },
        },
      },
      async (request, reply) =>
        answer(
          reply,
          await service.setPacks(
            actorOf(request),
            request.params.orderId,
            revisionFrom(request),
            request.params.lineId,
            request.body.packs,
          ),
        ),
    );

    app.post(
      '/orders/:orderId/approve',
      {
        config: { access: BUYERS },
        schema: {
          tags,
          params: OrderParams,
          headers: IfMatchHeaders,
          response: { 200: OrderSchema },
        },
      },
      async (request, reply) =>
        answer(
          reply,
          await service.approve(actorOf(request), request.params.orderId, revisionFrom(request)),
        ),
    );

    app.post(
      '/orders/:orderId/cancel',
      {
        config: { access: BUYERS },
        schema: {
          tags,
          params: OrderParams,
          headers: IfMatchHeaders,
          body: CancelOrderBody,
          response: { 200: OrderSchema },
        },
      },
      async (request, reply) =>
        answer(
          reply,
          await service.cancel(
            actorOf(request),
            request.params.orderId,
            revisionFrom(request),
            request.body.reason,
          ),
        ),
    );

    app.get(
      '/order-totals',
      {
        config: { access: BUYERS },
        schema: { tags, querystring: OrderTotalsQuery, response: { 200: OrderTotalsSchema } },
      },
      async (request) =>
        toTotalsBody(await service.totals(actorOf(request), request.query), await service.book()),
    );

    app.get(
      '/orders/:orderId/lines/:lineId/explanation',
      {
        config: { access: 'signed-in' },
        schema: { tags, params: LineParams, response: { 200: ExplanationSchema } },
      },
      async (request) =>
        toExplanationBody(
          await service.explainLine(
            actorOf(request),
            request.params.orderId,
            request.params.lineId,
          ),
        ),
    );

    app.get(
      '/orders/:orderId/export',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
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
        if (format === 'csv') return asCsv(reply, `${order.id}.csv`, ordersCsv([order], book));
        const document = toOrderDocument(order, book);
        if (format === 'ubl') {
          return reply
            .type('application/xml; charset=utf-8')
            .header('content-disposition', `attachment; filename="${order.id}.xml"`)
            .send(orRefuse(orderToUbl(document)));
        }
        return reply
          .type(XLSX)
          .header('content-disposition', `attachment; filename="${order.id}.xlsx"`)
          .send(Buffer.from(orRefuse(ordersToXlsx([document]))));
      },
    );
  };
}
