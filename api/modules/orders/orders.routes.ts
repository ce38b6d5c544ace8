import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { actorOf } from '../../http/access.ts';
import { IfMatchHeaders, revisionFrom } from '../../http/etag.ts';
import { PageQuery, pageRequest, toPageBody } from '../../http/paging.ts';
import { ExplanationSchema, toExplanationBody } from '../../http/explanation.ts';
import { answerOrder, BUYERS, given, LineParams, OrderParams } from './order-answers.ts';
import { toOrderBody, toOrderHeader, toTotalsBody } from './order-body.ts';
import { toLastRunsBody, toRunBody } from './run-body.ts';
import {
  LastOrderRunsQuery,
  LastOrderRunsSchema,
  LinePacksBody,
  NewLineBody,
  OrderBody,
  OrderPageSchema,
  OrderQuery,
  OrderRunBody,
  OrderRunSchema,
  OrderSchema,
  OrderTotalsQuery,
  OrderTotalsSchema,
} from './orders.schema.ts';
import type { OrdersService } from './orders.service.ts';

/** Proposed orders, their lines and changes by hand, and the explanation of each line. */
export function ordersRoutes(service: OrdersService): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['orders'];

    app.post(
      '/order-runs',
      {
        config: { access: BUYERS, idempotent: true },
        schema: {
          tags,
          summary: 'Work the orders out anew from the plans',
          body: OrderRunBody,
          response: { 201: OrderRunSchema },
        },
      },
      async (request, reply) => {
        const { siteIds, days } = request.body;
        const run = await service.runOrders(actorOf(request), {
          days,
          ...(siteIds ? { siteIds } : {}),
        });
        return reply.code(201).send(toRunBody(run, await service.book()));
      },
    );

    app.get(
      '/order-runs',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'What the last working-out of each site could not buy, the nightly one too',
          querystring: LastOrderRunsQuery,
          response: { 200: LastOrderRunsSchema },
        },
      },
      async (request) =>
        toLastRunsBody(
          await service.lastRuns(actorOf(request), request.query.siteId),
          await service.book(),
        ),
    );

    app.get(
      '/orders',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'Orders, filtered by site, supplier, delivery date and status',
          querystring: PageQuery.extend(OrderQuery.shape),
          response: { 200: OrderPageSchema },
        },
      },
      async (request) => {
        const { siteId, supplierId, deliveryDate, from, to, status } = request.query;
        const filter = { siteId, supplierId, deliveryDate, from, to, status };
        const page = await service.list(
          actorOf(request),
          pageRequest(request.query),
          given(filter),
        );
        const book = await service.book();
        return toPageBody(page, (order) => toOrderHeader(order, book));
      },
    );

    app.post(
      '/orders',
      {
        config: { access: BUYERS, idempotent: true },
        schema: {
          tags,
          summary: 'An empty order by hand, for what no plan asks for',
          body: OrderBody,
          response: { 201: OrderSchema },
        },
      },
      async (request, reply) => {
        const order = await service.create(actorOf(request), request.body);
        reply.code(201).header('location', `/v1/orders/${order.id}`);
        return toOrderBody(order, await service.book());
      },
    );

    app.get(
      '/orders/:orderId',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'One order with its lines',
          params: OrderParams,
          response: { 200: OrderSchema },
        },
      },
      async (request, reply) => {
        const order = await service.get(actorOf(request), request.params.orderId);
        return answerOrder(reply, order, await service.book());
      },
    );

    app.post(
      '/orders/:orderId/lines',
      {
        config: { access: BUYERS },
        schema: {
          tags,
          summary: 'Add a pack by hand',
          params: OrderParams,
          headers: IfMatchHeaders,
          body: NewLineBody,
          response: { 200: OrderSchema },
        },
      },
      async (request, reply) => {
        const order = await service.addLine(
          actorOf(request),
          request.params.orderId,
          revisionFrom(request),
          request.body,
        );
        return answerOrder(reply, order, await service.book());
      },
    );

    app.put(
      '/orders/:orderId/lines/:lineId',
      {
        config: { access: BUYERS },
        schema: {
          tags,
          summary: 'Change the packs of a line by hand',
          params: LineParams,
          headers: IfMatchHeaders,
          body: LinePacksBody,
          response: { 200: OrderSchema },
        },
      },
      async (request, reply) => {
        const { orderId, lineId } = request.params;
        const { packs, reason } = request.body;
        const rev = revisionFrom(request);
        const order = await service.setPacks(actorOf(request), orderId, rev, lineId, packs, reason);
        return answerOrder(reply, order, await service.book());
      },
    );

    app.get(
      '/order-totals',
      {
        config: { access: BUYERS },
        schema: {
          tags,
          summary: 'What orders add up to by supplier, site or delivery date',
          querystring: OrderTotalsQuery,
          response: { 200: OrderTotalsSchema },
        },
      },
      async (request) =>
        toTotalsBody(await service.totals(actorOf(request), request.query), await service.book()),
    );

    app.get(
      '/orders/:orderId/lines/:lineId/explanation',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'Why a line orders that many packs',
          params: LineParams,
          response: { 200: ExplanationSchema },
        },
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
  };
}
