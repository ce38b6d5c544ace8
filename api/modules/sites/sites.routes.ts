import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { archiveRoutes } from '../../http/archive-routes.ts';
import { actorOf } from '../../http/access.ts';
import { IfMatchHeaders, revisionFrom, setRevision } from '../../http/etag.ts';
import { PageQuery, pageRequest, toPageBody } from '../../http/paging.ts';
import type { Equipment, MealService, Site } from './sites.ports.ts';
import {
  ArchivedQuery,
  ClosedDayBody,
  ClosedDayList,
  ClosedDaySchema,
  EquipmentBody,
  EquipmentList,
  EquipmentSchema,
  ServiceBody,
  ServiceList,
  ServiceSchema,
  SiteBody,
  SitePage,
  SiteSchema,
} from './sites.schema.ts';
import type { SitesService } from './sites.service.ts';

const SiteParams = z.object({ siteId: z.string() });
const toSite = (site: Site) => ({
  ...site,
  hours: [...site.hours],
  addressLines: [...(site.addressLines ?? [])],
  gln: site.gln ?? null,
});
const toService = (service: MealService) => ({ ...service, weekdays: [...service.weekdays] });
const toEquipment = (equipment: Equipment) => ({ ...equipment });

/** /v1/sites, their services, closed days and equipment. */
export function sitesRoutes(service: SitesService): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['sites'];

    app.get(
      '/sites',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'The sites of the group',
          querystring: PageQuery.extend(ArchivedQuery.shape),
          response: { 200: SitePage },
        },
      },
      async (request) => {
        const page = await service.list(
          actorOf(request),
          pageRequest(request.query),
          request.query.archived === 'true',
        );
        return toPageBody(page, toSite);
      },
    );

    app.post(
      '/sites',
      {
        config: { access: ['lead', 'admin'], idempotent: true },
        schema: { tags, summary: 'Add a site', body: SiteBody, response: { 201: SiteSchema } },
      },
      async (request, reply) => {
        const site = await service.create(actorOf(request), request.body);
        setRevision(reply, site.rev);
        return reply.code(201).header('location', `/v1/sites/${site.id}`).send(toSite(site));
      },
    );

    app.get(
      '/sites/:siteId',
      {
        config: { access: 'signed-in' },
        schema: { tags, summary: 'One site', params: SiteParams, response: { 200: SiteSchema } },
      },
      async (request, reply) => {
        const site = await service.get(actorOf(request), request.params.siteId);
        setRevision(reply, site.rev);
        return toSite(site);
      },
    );

    app.put(
      '/sites/:siteId',
      {
        config: { access: ['lead', 'admin'] },
        schema: {
          tags,
          summary: 'Change a site',
          params: SiteParams,
          headers: IfMatchHeaders,
          body: SiteBody,
          response: { 200: SiteSchema },
        },
      },
      async (request, reply) => {
        const site = await service.update(
          actorOf(request),
          request.params.siteId,
          revisionFrom(request),
          request.body,
        );
        setRevision(reply, site.rev);
        return toSite(site);
      },
    );

    archiveRoutes(app, {
      at: '/sites/:siteId',
      noun: 'a site',
      tags,
      access: ['lead', 'admin'],
      params: SiteParams,
      schema: SiteSchema,
      set: async (actor, { siteId }, rev, archived) => {
        const site = await service.setArchived(actor, siteId, rev, archived);
        return { rev: site.rev, body: toSite(site) };
      },
    });

    app.get(
      '/sites/:siteId/services',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'The services of a site',
          params: SiteParams,
          querystring: ArchivedQuery,
          response: { 200: ServiceList },
        },
      },
      async (request) => ({
        items: (
          await service.services(request.params.siteId, request.query.archived === 'true')
        ).map(toService),
      }),
    );

    app.post(
      '/sites/:siteId/services',
      {
        config: { access: ['lead', 'admin'], idempotent: true },
        schema: {
          tags,
          summary: 'Add a service to a site',
          params: SiteParams,
          body: ServiceBody,
          response: { 201: ServiceSchema },
        },
      },
      async (request, reply) => {
        const made = await service.createService(request.params.siteId, request.body);
        setRevision(reply, made.rev);
        return reply.code(201).header('location', `/v1/services/${made.id}`).send(toService(made));
      },
    );

    const ServiceParams = z.object({ serviceId: z.string() });
    app.get(
      '/services/:serviceId',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'One service',
          params: ServiceParams,
          response: { 200: ServiceSchema },
        },
      },
      async (request, reply) => {
        const found = await service.getService(actorOf(request), request.params.serviceId);
        setRevision(reply, found.rev);
        return toService(found);
      },
    );

    app.put(
      '/services/:serviceId',
      {
        config: { access: ['lead', 'admin'] },
        schema: {
          tags,
          summary: 'Change a service',
          params: ServiceParams,
          headers: IfMatchHeaders,
          body: ServiceBody,
          response: { 200: ServiceSchema },
        },
      },
      async (request, reply) => {
        const saved = await service.updateService(
          actorOf(request),
          request.params.serviceId,
          revisionFrom(request),
          request.body,
        );
        setRevision(reply, saved.rev);
        return toService(saved);
      },
    );

    archiveRoutes(app, {
      at: '/services/:serviceId',
      noun: 'a service',
      tags,
      access: ['lead', 'admin'],
      params: ServiceParams,
      schema: ServiceSchema,
      set: async (actor, { serviceId }, rev, archived) => {
        const saved = await service.setServiceArchived(actor, serviceId, rev, archived);
        return { rev: saved.rev, body: toService(saved) };
      },
    });

    app.get(
      '/sites/:siteId/closed-days',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'The days on which a site is closed',
          params: SiteParams,
          response: { 200: ClosedDayList },
        },
      },
      async (request) => ({ items: [...(await service.closedDays(request.params.siteId))] }),
    );

    app.post(
      '/sites/:siteId/closed-days',
      {
        config: { access: ['lead', 'admin'], idempotent: true },
        schema: {
          tags,
          summary: 'Say that a site is closed on a day',
          params: SiteParams,
          body: ClosedDayBody,
          response: { 201: ClosedDaySchema },
        },
      },
      async (request, reply) =>
        reply.code(201).send(await service.addClosedDay(request.params.siteId, request.body)),
    );

    app.delete(
      '/sites/:siteId/closed-days/:closedDayId',
      {
        config: { access: ['lead', 'admin'] },
        schema: {
          tags,
          summary: 'Say that a site is open on a day after all',
          params: SiteParams.extend({ closedDayId: z.string() }),
          response: { 204: z.undefined() },
        },
      },
      async (request, reply) => {
        await service.removeClosedDay(request.params.siteId, request.params.closedDayId);
        return reply.code(204).send();
      },
    );

    app.get(
      '/sites/:siteId/equipment',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'The equipment of a site',
          params: SiteParams,
          querystring: ArchivedQuery,
          response: { 200: EquipmentList },
        },
      },
      async (request) => ({
        items: (
          await service.equipment(request.params.siteId, request.query.archived === 'true')
        ).map(toEquipment),
      }),
    );

    app.post(
      '/sites/:siteId/equipment',
      {
        config: { access: ['lead', 'admin'], idempotent: true },
        schema: {
          tags,
          summary: 'Add equipment to a site',
          params: SiteParams,
          body: EquipmentBody,
          response: { 201: EquipmentSchema },
        },
      },
      async (request, reply) => {
        const made = await service.addEquipment(request.params.siteId, request.body);
        setRevision(reply, made.rev);
        return reply.code(201).send(toEquipment(made));
      },
    );

    const EquipmentParams = z.object({ equipmentId: z.string() });
    app.put(
      '/equipment/:equipmentId',
      {
        config: { access: ['lead', 'admin'] },
        schema: {
          tags,
          summary: 'Change a piece of equipment',
          params: EquipmentParams,
          headers: IfMatchHeaders,
          body: EquipmentBody,
          response: { 200: EquipmentSchema },
        },
      },
      async (request, reply) => {
        const saved = await service.updateEquipment(
          actorOf(request),
          request.params.equipmentId,
          revisionFrom(request),
          request.body,
        );
        setRevision(reply, saved.rev);
        return toEquipment(saved);
      },
    );

    archiveRoutes(app, {
      at: '/equipment/:equipmentId',
      noun: 'a piece of equipment',
      tags,
      access: ['lead', 'admin'],
      params: EquipmentParams,
      schema: EquipmentSchema,
      set: async (actor, { equipmentId }, rev, archived) => {
        const saved = await service.setEquipmentArchived(actor, equipmentId, rev, archived);
        return { rev: saved.rev, body: toEquipment(saved) };
      },
    });
  };
}
