import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { actorOf } from '../../http/access.ts';
import { IfMatchHeaders, revisionFrom } from '../../http/etag.ts';
import { answerOrder, BUYERS, OrderParams } from './order-answers.ts';
import type { OrderLifeService } from './order-life.service.ts';
import {
  ApproveBody,
  CancelOrderBody,
  ConfirmBody,
  OrderSchema,
  ReopenBody,
  SendBody,
} from './orders.schema.ts';
import type { OrdersService } from './orders.service.ts';

/** The steps of an order: approve, send, confirm, open again, close, cancel. */
export function orderLifeRoutes(
  life: OrderLifeService,
  service: OrdersService,
): FastifyPluginAsyncZod {
  return async (app) => {
    const config = { access: BUYERS };
    const schema = {
      tags: ['orders'],
      params: OrderParams,
      headers: IfMatchHeaders,
      response: { 200: OrderSchema },
    };

    app.post(
      '/orders/:orderId/approve',
      {
        config,
        schema: {
          ...schema,
          summary: 'Approve within your limit; gives the supplier’s next number',
          body: ApproveBody,
        },
      },
      async (request, reply) => {
        const agreed = {
          belowMinimum: request.body?.agreedBelowMinimum === true,
          late: request.body?.agreedLate === true,
        };
        const { orderId } = request.params;
        const rev = revisionFrom(request);
        const order = await life.approve(actorOf(request), orderId, rev, agreed);
        return answerOrder(reply, order, await service.book());
      },
    );

    app.post(
      '/orders/:orderId/send',
      {
        config,
        schema: { ...schema, summary: 'The order is with the supplier now', body: SendBody },
      },
      async (request, reply) => {
        const step = { agreedLate: request.body?.agreedLate === true };
        const { orderId } = request.params;
        const order = await life.send(actorOf(request), orderId, revisionFrom(request), step);
        return answerOrder(reply, order, await service.book());
      },
    );

    app.post(
      '/orders/:orderId/confirm',
      {
        config,
        schema: {
          ...schema,
          summary: 'The supplier confirms, lines in other numbers where given',
          body: ConfirmBody,
        },
      },
      async (request, reply) => {
        const { packs = [], supplierRef } = request.body ?? {};
        const step = {
          packs: Object.fromEntries(packs.map((line) => [line.lineId, line.packs])),
          ...(supplierRef === undefined ? {} : { supplierRef }),
        };
        const { orderId } = request.params;
        const order = await life.confirm(actorOf(request), orderId, revisionFrom(request), step);
        return answerOrder(reply, order, await service.book());
      },
    );

    app.post(
      '/orders/:orderId/reopen',
      {
        config,
        schema: {
          ...schema,
          summary: 'Back to a proposal before the cutoff, under the same number',
          body: ReopenBody,
        },
      },
      async (request, reply) => {
        const { orderId } = request.params;
        const { reason } = request.body;
        const order = await life.reopen(actorOf(request), orderId, revisionFrom(request), reason);
        return answerOrder(reply, order, await service.book());
      },
    );

    app.post(
      '/orders/:orderId/close',
      { config, schema: { ...schema, summary: 'Checked against the invoice: done' } },
      async (request, reply) => {
        const { orderId } = request.params;
        const order = await life.close(actorOf(request), orderId, revisionFrom(request));
        return answerOrder(reply, order, await service.book());
      },
    );

    app.post(
      '/orders/:orderId/cancel',
      { config, schema: { ...schema, summary: 'Cancel an order', body: CancelOrderBody } },
      async (request, reply) => {
        const { orderId } = request.params;
        const { reason } = request.body;
        const order = await life.cancel(actorOf(request), orderId, revisionFrom(request), reason);
        return answerOrder(reply, order, await service.book());
      },
    );
  };
}
