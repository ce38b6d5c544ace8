import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { actorOf } from '../../http/access.ts';
import { setRevision } from '../../http/etag.ts';
import { PageQuery, pageRequest, toPageBody } from '../../http/paging.ts';
import { toLot, toMovement } from './stock-body.ts';
import {
  HoldBody,
  LotBody,
  LotPage,
  LotQuery,
  LotSchema,
  LotWithMovements,
} from './stock.schema.ts';
import type { StockService } from './stock.service.ts';

const SiteParams = z.object({ siteId: z.string() });
const LotParams = z.object({ lotId: z.string() });
const tags = ['stock'];

/** Lots: what there is, where it came from, and holding it back. */
export function stockRoutes(service: StockService): FastifyPluginAsyncZod {
  return async (app) => {
    app.get(
      '/sites/:siteId/stock-lots',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'Lots of a site, first-expiring first',
          params: SiteParams,
          querystring: PageQuery.extend(LotQuery.shape),
          response: { 200: LotPage },
        },
      },
      async (request) => {
        const { state, itemKind, itemId } = request.query;
        const page = await service.list(
          request.params.siteId,
          {
            state,
            ...(itemKind === undefined ? {} : { itemKind }),
            ...(itemId === undefined ? {} : { itemId }),
          },
          pageRequest(request.query),
        );
        return toPageBody(page, toLot(service.now()));
      },
    );

    app.post(
      '/sites/:siteId/stock-lots',
      {
        config: { access: ['lead', 'admin', 'chef', 'purchasing'], idempotent: true },
        schema: {
          tags,
          summary: 'Put a lot on record that was found or received outside a plan or an order',
          params: SiteParams,
          body: LotBody,
          response: { 201: LotSchema },
        },
      },
      async (request, reply) => {
        const { madeAt, useBy, ...rest } = request.body;
        const made = await service.add(actorOf(request), request.params.siteId, {
          ...rest,
          madeAt: madeAt === null ? null : new Date(madeAt),
          useBy: new Date(useBy),
        });
        setRevision(reply, made.value.rev);
        return reply
          .code(201)
          .header('location', `/v1/stock-lots/${made.value.id}`)
          .send(toLot(service.now())(made));
      },
    );

    app.get(
      '/stock-lots/:lotId',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'A lot with everything that changed it',
          params: LotParams,
          response: { 200: LotWithMovements },
        },
      },
      async (request, reply) => {
        const found = await service.get(actorOf(request), request.params.lotId);
        setRevision(reply, found.value.rev);
        return {
          ...toLot(service.now())(found),
          movements: found.movements.map(toMovement(found.item)),
        };
      },
    );

    app.post(
      '/stock-lots/:lotId/hold',
      {
        config: { access: ['lead', 'admin', 'chef', 'purchasing'] },
        schema: {
          tags,
          summary: 'Hold a lot back: nothing plans with it until it is released',
          params: LotParams,
          body: HoldBody,
          response: { 200: LotSchema },
        },
      },
      async (request, reply) => {
        const held = await service.hold(
          actorOf(request),
          request.params.lotId,
          request.body.reason,
        );
        setRevision(reply, held.value.rev);
        return toLot(service.now())(held);
      },
    );

    app.post(
      '/stock-lots/:lotId/release',
      {
        config: { access: ['lead', 'admin'] },
        schema: {
          tags,
          summary: 'Release a held lot, saying why it is fit to use',
          params: LotParams,
          body: HoldBody,
          response: { 200: LotSchema },
        },
      },
      async (request, reply) => {
        const released = await service.release(
          actorOf(request),
          request.params.lotId,
          request.body.reason,
        );
        setRevision(reply, released.value.rev);
        return toLot(service.now())(released);
      },
    );
  };
}
