import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { actorOf } from '../../http/access.ts';
import { IfMatchHeaders, revisionFrom, setRevision } from '../../http/etag.ts';
import type { GoodsCarriesService } from './goods-carries.service.ts';
import type { GoodsCarry, JointOrder, JointPurchase } from './joint-purchases.ports.ts';
import {
  CarriedBody,
  DeclineBody,
  DropCarryBody,
  GoodsCarryList,
  GoodsCarryParams,
  GoodsCarryQuery,
  GoodsCarrySchema,
  JointPurchaseBody,
  JointPurchaseList,
  JointPurchaseParams,
  JointPurchaseSchema,
} from './joint-purchases.schema.ts';
import type { JointPurchasesService } from './joint-purchases.service.ts';
import { BUYERS } from './order-answers.ts';
import { amountOf, named, rounded } from './order-body.ts';
import type { OrderBook } from './order-book.ts';

const NOTICE =
  'Chilled and frozen goods must stay cold on the way: read their temperature when they arrive. Local codes and licensed practice decide.';

const carryShape = (
  carry: Pick<
    GoodsCarry,
    'fromSiteId' | 'toSiteId' | 'ingredientId' | 'tripDate' | 'usableFrom' | 'useBy' | 'quantity'
  >,
  book: OrderBook,
) => ({
  from: named(book.sites, carry.fromSiteId),
  to: named(book.sites, carry.toSiteId),
  ingredient: named(book.ingredients, carry.ingredientId),
  tripDate: carry.tripDate,
  usableFrom: carry.usableFrom,
  useBy: carry.useBy,
  amount: amountOf(book, carry.ingredientId, carry.quantity),
});

function orderBody(order: JointOrder, book: OrderBook, currency: string) {
  return {
    site: named(book.sites, order.siteId),
    supplier: named(book.suppliers, order.supplierId),
    deliveryDate: order.deliveryDate,
    goods: { amount: rounded(order.goods), currency },
    deliveryCharge: { amount: rounded(order.deliveryCharge), currency },
    lines: order.lines.map(({ packId, ingredientId, packs, sites }) => ({
      pack: named(book.packs, packId),
      ingredient: named(book.ingredients, ingredientId),
      packs,
      sites: sites.map(({ siteId, quantity }) => ({
        site: named(book.sites, siteId),
        amount: amountOf(book, ingredientId, quantity),
      })),
    })),
  };
}

function purchaseBody(purchase: JointPurchase, book: OrderBook) {
  const { currency, plans } = purchase;
  const money = (amount: string) => ({ amount: rounded(amount), currency });
  return {
    id: purchase.id,
    sites: purchase.siteIds.map((id) => named(book.sites, id)),
    days: purchase.days,
    status: purchase.status,
    choice: purchase.choice,
    separateCost: money(purchase.separateCost),
    togetherCost: money(purchase.togetherCost),
    saving: money(purchase.saving),
    separate: plans.separate.map((order) => orderBody(order, book, currency)),
    together: plans.together.map((order) => orderBody(order, book, currency)),
    carries: plans.carries.map((carry) => ({
      ...carryShape(carry, book),
      tripCost: money(carry.tripCost),
    })),
    notice: NOTICE,
    workedOutAt: purchase.workedOutAt.toISOString(),
    workedOutBy: purchase.workedOutBy,
    decidedAt: purchase.decidedAt?.toISOString() ?? null,
    decidedBy: purchase.decidedBy,
    reason: purchase.reason,
    rev: purchase.rev,
  };
}

const carryBody = (carry: GoodsCarry, book: OrderBook) => ({
  id: carry.id,
  jointPurchaseId: carry.jointPurchaseId,
  ...carryShape(carry, book),
  status: carry.status,
  carried: carry.carried && {
    amount: amountOf(book, carry.ingredientId, carry.carried.quantity),
    celsius: carry.carried.celsius,
    by: carry.carried.by,
    at: carry.carried.at,
  },
  reason: carry.reason,
  rev: carry.rev,
});

/** Buying for several sites together, and the goods that go on from one to another. */
export function jointPurchasesRoutes(
  service: JointPurchasesService,
  carries: GoodsCarriesService,
): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['joint purchases'];

    app.post(
      '/joint-purchases',
      {
        config: { access: BUYERS, idempotent: true },
        schema: {
          tags,
          summary: 'Work out what the sites pay each for itself and together; orders nothing',
          body: JointPurchaseBody,
          response: { 201: JointPurchaseSchema },
        },
      },
      async (request, reply) => {
        const { siteIds, days } = request.body;
        const asked = { days, ...(siteIds ? { siteIds } : {}) };
        const made = await service.workOut(actorOf(request), asked);
        setRevision(reply, made.rev);
        reply.code(201).header('location', `/v1/joint-purchases/${made.id}`);
        return purchaseBody(made, await service.book());
      },
    );

    app.get(
      '/joint-purchases',
      {
        config: { access: BUYERS },
        schema: {
          tags,
          summary: 'Purchases for several sites together',
          response: { 200: JointPurchaseList },
        },
      },
      async (request) => {
        const found = await service.list(actorOf(request));
        const book = await service.book();
        return { items: found.map((purchase) => purchaseBody(purchase, book)) };
      },
    );

    app.get(
      '/joint-purchases/:jointPurchaseId',
      {
        config: { access: BUYERS },
        schema: {
          tags,
          summary: 'One joint purchase with what is carried where',
          params: JointPurchaseParams,
          response: { 200: JointPurchaseSchema },
        },
      },
      async (request, reply) => {
        const found = await service.get(actorOf(request), request.params.jointPurchaseId);
        setRevision(reply, found.rev);
        return purchaseBody(found, await service.book());
      },
    );

    app.post(
      '/joint-purchases/:jointPurchaseId/accept',
      {
        config: { access: BUYERS },
        schema: {
          tags,
          summary: 'Buy together: the orders of the sites are worked out with what is carried',
          params: JointPurchaseParams,
          headers: IfMatchHeaders,
          response: { 200: JointPurchaseSchema },
        },
      },
      async (request, reply) => {
        const { jointPurchaseId } = request.params;
        const taken = await service.accept(
          actorOf(request),
          jointPurchaseId,
          revisionFrom(request),
        );
        setRevision(reply, taken.rev);
        return purchaseBody(taken, await service.book());
      },
    );

    app.post(
      '/joint-purchases/:jointPurchaseId/decline',
      {
        config: { access: BUYERS },
        schema: {
          tags,
          summary: 'Decline a joint purchase; each site buys for itself',
          params: JointPurchaseParams,
          headers: IfMatchHeaders,
          body: DeclineBody,
          response: { 200: JointPurchaseSchema },
        },
      },
      async (request, reply) => {
        const { jointPurchaseId } = request.params;
        const reason = request.body?.reason ?? null;
        const rev = revisionFrom(request);
        const left = await service.decline(actorOf(request), jointPurchaseId, rev, reason);
        setRevision(reply, left.rev);
        return purchaseBody(left, await service.book());
      },
    );

    app.get(
      '/goods-carries',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'Goods that one site buys for another, those of a site where it is named',
          querystring: GoodsCarryQuery,
          response: { 200: GoodsCarryList },
        },
      },
      async (request) => {
        const found = await service.carries(actorOf(request), request.query.siteId);
        const book = await service.book();
        return { items: found.map((carry) => carryBody(carry, book)) };
      },
    );

    app.post(
      '/goods-carries/:carryId/receive',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'Write down what came from the site that bought it',
          params: GoodsCarryParams,
          headers: IfMatchHeaders,
          body: CarriedBody,
          response: { 200: GoodsCarrySchema },
        },
      },
      async (request, reply) => {
        const { carryId } = request.params;
        const came = request.body;
        const rev = revisionFrom(request);
        const carry = await carries.receive(actorOf(request), carryId, rev, came);
        setRevision(reply, carry.rev);
        return carryBody(carry, await service.book());
      },
    );

    app.post(
      '/goods-carries/:carryId/drop',
      {
        config: { access: BUYERS },
        schema: {
          tags,
          summary: 'Call it off: either site buys for itself when orders are worked out again',
          params: GoodsCarryParams,
          headers: IfMatchHeaders,
          body: DropCarryBody,
          response: { 200: GoodsCarrySchema },
        },
      },
      async (request, reply) => {
        const { carryId } = request.params;
        const { reason } = request.body;
        const rev = revisionFrom(request);
        const carry = await carries.drop(actorOf(request), carryId, rev, reason);
        setRevision(reply, carry.rev);
        return carryBody(carry, await service.book());
      },
    );
  };
}
