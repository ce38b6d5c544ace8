import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { archiveRoutes } from '../../http/archive-routes.ts';
import { actorOf } from '../../http/access.ts';
import { IfMatchHeaders, revisionFrom, setRevision } from '../../http/etag.ts';
import { pageRequest, toPageBody } from '../../http/paging.ts';
import type { Pack } from './suppliers.ports.ts';
import {
  PackBody,
  PackPage,
  PackParams,
  PackPriceBody,
  PackQuery,
  PackSchema,
  PriceParams,
  SupplierParams,
} from './suppliers.schema.ts';
import type { SuppliersService } from './suppliers.service.ts';

const toBody = (pack: Pack) => ({
  ...pack,
  content: { ...pack.content },
  prices: [...pack.prices],
});

/** /v1/packs and /v1/suppliers/:supplierId/packs, with the prices of each pack. */
export function packsRoutes(service: SuppliersService): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['suppliers'];
    const editors = ['purchasing', 'lead', 'admin'] as const;

    app.get(
      '/packs',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'The packs that suppliers sell, with their prices',
          querystring: PackQuery,
          response: { 200: PackPage },
        },
      },
      async ({ query }) => {
        const page = await service.packs(pageRequest(query), {
          archived: query.archived === 'true',
          ...(query.supplierId === undefined ? {} : { supplierId: query.supplierId }),
          ...(query.ingredientId === undefined ? {} : { ingredientId: query.ingredientId }),
        });
        return toPageBody(page, toBody);
      },
    );

    app.post(
      '/suppliers/:supplierId/packs',
      {
        config: { access: editors, idempotent: true },
        schema: {
          tags,
          summary: 'Add a pack to what a supplier sells',
          params: SupplierParams,
          body: PackBody,
          response: { 201: PackSchema },
        },
      },
      async (request, reply) => {
        const made = await service.createPack(
          actorOf(request),
          request.params.supplierId,
          request.body,
        );
        setRevision(reply, made.rev);
        return reply.code(201).header('location', `/v1/packs/${made.id}`).send(toBody(made));
      },
    );

    app.get(
      '/packs/:packId',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'One pack with its prices',
          params: PackParams,
          response: { 200: PackSchema },
        },
      },
      async (request, reply) => {
        const found = await service.getPack(request.params.packId);
        setRevision(reply, found.rev);
        return toBody(found);
      },
    );

    app.put(
      '/packs/:packId',
      {
        config: { access: editors },
        schema: {
          tags,
          summary: 'Change a pack',
          params: PackParams,
          headers: IfMatchHeaders,
          body: PackBody,
          response: { 200: PackSchema },
        },
      },
      async (request, reply) => {
        const saved = await service.updatePack(
          actorOf(request),
          request.params.packId,
          revisionFrom(request),
          request.body,
        );
        setRevision(reply, saved.rev);
        return toBody(saved);
      },
    );

    archiveRoutes(app, {
      at: '/packs/:packId',
      noun: 'a pack',
      tags,
      access: editors,
      params: PackParams,
      schema: PackSchema,
      set: async (actor, { packId }, rev, archived) => {
        const saved = await service.setPackArchived(actor, packId, rev, archived);
        return { rev: saved.rev, body: toBody(saved) };
      },
    });

    app.post(
      '/packs/:packId/prices',
      {
        config: { access: editors, idempotent: true },
        schema: {
          tags,
          summary: 'Add a price of a pack from a date on',
          params: PackParams,
          body: PackPriceBody,
          response: { 201: PackSchema },
        },
      },
      async (request, reply) => {
        const pack = await service.addPrice(actorOf(request), request.params.packId, request.body);
        return reply.code(201).header('location', `/v1/packs/${pack.id}`).send(toBody(pack));
      },
    );

    app.delete(
      '/packs/:packId/prices/:priceId',
      {
        config: { access: editors },
        schema: {
          tags,
          summary: 'Take a price back',
          params: PriceParams,
          response: { 204: z.undefined() },
        },
      },
      async (request, reply) => {
        const { packId, priceId } = request.params;
        await service.removePrice(actorOf(request), packId, priceId);
        return reply.code(204).send();
      },
    );
  };
}
