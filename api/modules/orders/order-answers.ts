import type { FastifyReply } from 'fastify';
import { z } from 'zod';
import { setRevision } from '../../http/etag.ts';
import { toOrderBody } from './order-body.ts';
import type { OrderBook } from './order-book.ts';
import type { Order } from './orders.ports.ts';

// What the routes of orders share.

/** Who buys; chefs see their site's orders and take goods in. */
export const BUYERS = ['purchasing', 'lead', 'admin'] as const;
export const OrderParams = z.object({ orderId: z.string() });
export const LineParams = OrderParams.extend({ lineId: z.string() });

/** The order as its resource, with its revision as ETag. */
export function answerOrder(reply: FastifyReply, order: Order, book: OrderBook) {
  setRevision(reply, order.rev);
  return toOrderBody(order, book);
}

/** Leaves out the members that are undefined. */
export function given<T extends object>(query: T) {
  return Object.fromEntries(Object.entries(query).filter(([, value]) => value !== undefined)) as {
    [K in keyof T]?: Exclude<T[K], undefined>;
  };
}
