import { maySeeSite, notFound, Refusal, requireRevision, type Actor } from '../platform/index.ts';
import type { Delivery, Order, OrdersWork } from './orders.ports.ts';

export const savedElsewhere = (): Refusal =>
  new Refusal('stale-version', 'Somebody else saved this order just now. Look again.');

/** @throws Refusal `not-found` for an order that is not there or not of the actor's sites */
export async function findOrder(work: OrdersWork, actor: Actor, id: string): Promise<Order> {
  const order = await work.orders.find(id);
  if (!order || !maySeeSite(actor, order.siteId)) throw notFound('order', id);
  return order;
}

/** The order for a change against revision `rev`, with what was delivered so far. */
export async function orderToChange(
  work: OrdersWork,
  actor: Actor,
  id: string,
  rev: number,
): Promise<{ readonly order: Order; readonly deliveries: readonly Delivery[] }> {
  const order = await findOrder(work, actor, id);
  requireRevision(rev, order);
  return { order, deliveries: await work.orders.deliveriesOf([id]) };
}

/** Saves the changed order over the revision it was read at. @throws Refusal `stale-version` */
export async function saveOrder(work: OrdersWork, order: Order, readRev: number): Promise<Order> {
  const next = { ...order, rev: readRev + 1 };
  if (!(await work.orders.save(next, readRev))) throw savedElsewhere();
  return (await work.orders.find(order.id)) ?? next;
}
