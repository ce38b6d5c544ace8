import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { actorOf } from '../../http/access.ts';
import { BUYERS } from './order-answers.ts';
import { toCutoffsBody, toGroupsBody } from './views-body.ts';
import {
  OrderCutoffsSchema,
  OrderGroupsQuery,
  OrderGroupsSchema,
  PaidPricesSchema,
} from './orders.schema.ts';
import { rounded } from './order-body.ts';
import type { OrderViewsService } from './order-views.service.ts';

/** Orders added up and against last week, open cutoffs, and what packs really cost. */
export function orderViewsRoutes(views: OrderViewsService): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['orders'];

    app.get(
      '/order-groups',
      {
        config: { access: BUYERS },
        schema: {
          tags,
          summary: 'Orders by supplier, site, delivery date or all together, against last week',
          querystring: OrderGroupsQuery,
          response: { 200: OrderGroupsSchema },
        },
      },
      async (request) => {
        const { by, from, to } = request.query;
        const groups = await views.groups(actorOf(request), by, { from, to });
        return toGroupsBody(by, groups, await views.book());
      },
    );

    app.get(
      '/order-cutoffs',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'Cutoffs of orders not sent yet, soonest first, on the clock of each site',
          response: { 200: OrderCutoffsSchema },
        },
      },
      async (request) => toCutoffsBody(await views.cutoffs(actorOf(request)), await views.book()),
    );

    app.get(
      '/packs/:packId/paid-prices',
      {
        config: { access: BUYERS },
        schema: {
          tags,
          summary: 'What deliveries say was paid for a pack',
          params: z.object({ packId: z.string() }),
          response: { 200: PaidPricesSchema },
        },
      },
      async (request) => {
        const { packId } = request.params;
        const book = await views.book();
        const supplier = book.suppliers.get(book.packs.get(packId)?.supplierId ?? '');
        const currency = supplier?.currency ?? 'EUR';
        const paid = await views.paidPrices(actorOf(request), packId);
        return {
          items: paid.map(({ date, pricePerPack, changeFraction }) => ({
            date,
            price: { amount: rounded(pricePerPack), currency },
            changeFraction,
          })),
        };
      },
    );
  };
}
