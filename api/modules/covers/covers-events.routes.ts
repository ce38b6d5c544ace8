import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { actorOf } from '../../http/access.ts';
import { Id } from '../../http/wire.ts';
import { toEvent, withWarnings } from './covers-body.ts';
import {
  EventBody,
  EventKept,
  EventList,
  EventQuery,
  StatedCoversBody,
  StatedCoversSchema,
} from './covers.schema.ts';
import type { CoversService } from './covers.service.ts';

const SiteParams = z.object({ siteId: z.string() });
const ServiceParams = z.object({ serviceId: Id });
const tags = ['covers'];

/** What is known ahead of a sitting, and the usual covers as a lead states them. */
export function coversEventsRoutes(service: CoversService): FastifyPluginAsyncZod {
  return async (app) => {
    app.get(
      '/sites/:siteId/covers-events',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'Events that change how many guests come',
          params: SiteParams,
          querystring: EventQuery,
          response: { 200: EventList },
        },
      },
      async (request) => {
        const { from, to } = request.query;
        return { items: (await service.listEvents(request.params.siteId, from, to)).map(toEvent) };
      },
    );

    app.post(
      '/sites/:siteId/covers-events',
      {
        config: { access: ['lead', 'admin', 'chef'], idempotent: true },
        schema: {
          tags,
          summary: 'Say something known about a sitting ahead',
          params: SiteParams,
          body: EventBody,
          response: { 201: EventKept },
        },
      },
      async (request, reply) => {
        const kept = await service.addEvent(actorOf(request), request.params.siteId, request.body);
        return reply.code(201).send(withWarnings(kept, toEvent));
      },
    );

    app.delete(
      '/covers-events/:eventId',
      {
        config: { access: ['lead', 'admin', 'chef'] },
        schema: {
          tags,
          summary: 'Take an event back; it stays on record as removed',
          params: z.object({ eventId: z.string() }),
          response: { 204: z.undefined() },
        },
      },
      async (request, reply) => {
        await service.removeEvent(actorOf(request), request.params.eventId);
        return reply.code(204).send();
      },
    );

    app.get(
      '/services/:serviceId/stated-covers',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'The figures that people put in the forecast’s place',
          params: ServiceParams,
          response: { 200: StatedCoversSchema },
        },
      },
      async (request) => {
        const { serviceId } = request.params;
        return { serviceId, weekdays: [...(await service.stated(actorOf(request), serviceId))] };
      },
    );

    app.put(
      '/services/:serviceId/stated-covers',
      {
        config: { access: ['lead', 'admin'] },
        schema: {
          tags,
          summary: 'State the usual covers by weekday, for as long as there is no history',
          params: ServiceParams,
          body: StatedCoversBody,
          response: { 200: StatedCoversSchema },
        },
      },
      async (request) => {
        const { serviceId } = request.params;
        const saved = await service.putStated(actorOf(request), serviceId, request.body.weekdays);
        return { serviceId, weekdays: [...saved] };
      },
    );
  };
}
