import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { RECEIVING_NOTICE } from '../../core/ordering/index.ts';
import type { ReceiptLine } from '../../core/ordering/index.ts';
import { actorOf } from '../../http/access.ts';
import { IfMatchHeaders, revisionFrom, setRevision } from '../../http/etag.ts';
import { BUYERS, given, OrderParams } from './order-answers.ts';
import { toOrderBody } from './order-body.ts';
import type { OrdersService } from './orders.service.ts';
import { toDeliveryBody, toInvoiceBody } from './receiving-body.ts';
import {
  DeliveriesSchema,
  DeliveryBody,
  InvoiceBody,
  InvoiceSchema,
  InvoicesSchema,
  ReceivedSchema,
} from './receiving.schema.ts';
import type { ReceivingService } from './receiving.service.ts';

/** Goods at the door, put in by whoever takes them in at the site, and the invoices that follow. */
export function receivingRoutes(
  receiving: ReceivingService,
  service: OrdersService,
): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['orders'];

    app.post(
      '/orders/:orderId/deliveries',
      {
        config: { access: 'signed-in', idempotent: true },
        schema: {
          tags,
          summary: 'Take goods in: quantities, use-by, temperature, price and lot of each line',
          params: OrderParams,
          headers: IfMatchHeaders,
          body: DeliveryBody,
          response: { 201: ReceivedSchema },
        },
      },
      async (request, reply) => {
        const { lines, ...rest } = request.body;
        const received = await receiving.receive(
          actorOf(request),
          request.params.orderId,
          revisionFrom(request),
          { ...rest, lines: lines.map((line) => given(line) as ReceiptLine) },
        );
        const { order } = received;
        setRevision(reply, order.rev);
        return reply.code(201).send({
          order: toOrderBody(order, await service.book()),
          delivery: toDeliveryBody(received.delivery, order),
          lotIds: [...received.lotIds],
          notice: received.notice,
        });
      },
    );

    app.get(
      '/orders/:orderId/deliveries',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'What came of an order',
          params: OrderParams,
          response: { 200: DeliveriesSchema },
        },
      },
      async (request) => {
        const { orderId } = request.params;
        const order = await service.get(actorOf(request), orderId);
        const deliveries = await receiving.deliveries(actorOf(request), orderId);
        const items = deliveries.map((delivery) => toDeliveryBody(delivery, order));
        return { items, notice: RECEIVING_NOTICE };
      },
    );

    app.post(
      '/orders/:orderId/invoices',
      {
        config: { access: BUYERS, idempotent: true },
        schema: {
          tags,
          summary: 'Check an invoice against order and deliveries: what is due back',
          params: OrderParams,
          body: InvoiceBody,
          response: { 201: InvoiceSchema },
        },
      },
      async (request, reply) => {
        const { orderId } = request.params;
        const invoice = await receiving.invoice(actorOf(request), orderId, request.body);
        const order = await service.get(actorOf(request), orderId);
        return reply.code(201).send(toInvoiceBody(invoice, order));
      },
    );

    app.get(
      '/orders/:orderId/invoices',
      {
        config: { access: BUYERS },
        schema: {
          tags,
          summary: 'What was charged for an order',
          params: OrderParams,
          response: { 200: InvoicesSchema },
        },
      },
      async (request) => {
        const { orderId } = request.params;
        const order = await service.get(actorOf(request), orderId);
        const invoices = await receiving.invoices(actorOf(request), orderId);
        return { items: invoices.map((invoice) => toInvoiceBody(invoice, order)) };
      },
    );
  };
}
