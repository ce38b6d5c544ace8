import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { archiveRoutes } from '../../http/archive-routes.ts';
import { actorOf } from '../../http/access.ts';
import { IfMatchHeaders, revisionFrom, setRevision } from '../../http/etag.ts';
import { pageRequest, toPageBody } from '../../http/paging.ts';
import type { Supplier } from './suppliers.ports.ts';
import {
  SupplierBody,
  SupplierPage,
  SupplierParams,
  SupplierQuery,
  SupplierSchema,
} from './suppliers.schema.ts';
import type { SuppliersService } from './suppliers.service.ts';

const toBody = (supplier: Supplier) => ({
  ...supplier,
  deliveryWeekdays: [...supplier.deliveryWeekdays],
  holidays: [...supplier.holidays],
  workingWeekdays: [...supplier.workingWeekdays],
  addressLines: [...supplier.addressLines],
  siteIds: [...supplier.siteIds],
});

/** /v1/suppliers. Their packs and prices have routes of their own. */
export function suppliersRoutes(service: SuppliersService): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['suppliers'];
    const editors = ['purchasing', 'lead', 'admin'] as const;

    app.get(
      '/suppliers',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'The suppliers of the group',
          querystring: SupplierQuery,
          response: { 200: SupplierPage },
        },
      },
      async ({ query }) =>
        toPageBody(await service.list(pageRequest(query), query.archived === 'true'), toBody),
    );

    app.post(
      '/suppliers',
      {
        config: { access: editors, idempotent: true },
        schema: {
          tags,
          summary: 'Add a supplier with its delivery days, cutoff and minimum',
          body: SupplierBody,
          response: { 201: SupplierSchema },
        },
      },
      async (request, reply) => {
        const made = await service.create(actorOf(request), request.body);
        setRevision(reply, made.rev);
        return reply.code(201).header('location', `/v1/suppliers/${made.id}`).send(toBody(made));
      },
    );

    app.get(
      '/suppliers/:supplierId',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'One supplier',
          params: SupplierParams,
          response: { 200: SupplierSchema },
        },
      },
      async (request, reply) => {
        const found = await service.get(request.params.supplierId);
        setRevision(reply, found.rev);
        return toBody(found);
      },
    );

    app.put(
      '/suppliers/:supplierId',
      {
        config: { access: editors },
        schema: {
          tags,
          summary: 'Change a supplier',
          params: SupplierParams,
          headers: IfMatchHeaders,
          body: SupplierBody,
          response: { 200: SupplierSchema },
        },
      },
      async (request, reply) => {
        const saved = await service.update(
          actorOf(request),
          request.params.supplierId,
          revisionFrom(request),
          request.body,
        );
        setRevision(reply, saved.rev);
        return toBody(saved);
      },
    );

    archiveRoutes(app, {
      at: '/suppliers/:supplierId',
      noun: 'a supplier',
      tags,
      access: editors,
      params: SupplierParams,
      schema: SupplierSchema,
      set: async (actor, { supplierId }, rev, archived) => {
        const saved = await service.setArchived(actor, supplierId, rev, archived);
        return { rev: saved.rev, body: toBody(saved) };
      },
    });
  };
}
