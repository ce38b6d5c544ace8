import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { actorOf } from '../../http/access.ts';
import {
  WasteExpectationBody,
  WasteExpectationList,
  WasteExpectationSchema,
} from './waste-expectations.schema.ts';
import type { WasteExpectation } from './waste-expectations.ports.ts';
import type { WasteExpectationsService } from './waste-expectations.service.ts';

const toBody = (one: WasteExpectation) => ({ ...one, enteredAt: one.enteredAt.toISOString() });

/** /v1/sites/:siteId/waste-expectations. */
export function wasteExpectationsRoutes(service: WasteExpectationsService): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['waste expectations'];
    const params = z.object({ siteId: z.string() });

    app.get(
      '/sites/:siteId/waste-expectations',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'What a site expects to throw away, newest first',
          params,
          response: { 200: WasteExpectationList },
        },
      },
      async (request) => {
        const found = await service.ofSite(actorOf(request), request.params.siteId);
        return { items: found.map(toBody) };
      },
    );

    app.post(
      '/sites/:siteId/waste-expectations',
      {
        config: { access: ['lead', 'purchasing', 'admin'], idempotent: true },
        schema: {
          tags,
          summary: 'State what is expected to be thrown away, from a service date on',
          params,
          body: WasteExpectationBody,
          response: { 201: WasteExpectationSchema },
        },
      },
      async (request, reply) =>
        reply
          .code(201)
          .send(toBody(await service.state(actorOf(request), request.params.siteId, request.body))),
    );
  };
}
