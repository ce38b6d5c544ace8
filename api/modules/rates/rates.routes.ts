import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { actorOf } from '../../http/access.ts';
import { RateBody, RateList, RateParams, RateSchema } from './rates.schema.ts';
import type { RatesService } from './rates.service.ts';

/** /v1/exchange-rates. */
export function ratesRoutes(service: RatesService): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['exchange rates'];
    const editors = ['purchasing', 'lead', 'admin'] as const;

    app.get(
      '/exchange-rates',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'Rates between currencies, with the dates they hold from',
          response: { 200: RateList },
        },
      },
      async () => ({ items: [...(await service.list())] }),
    );

    app.post(
      '/exchange-rates',
      {
        config: { access: editors, idempotent: true },
        schema: {
          tags,
          summary: 'Say what a currency is worth from a date on',
          body: RateBody,
          response: { 201: RateSchema },
        },
      },
      async (request, reply) =>
        reply.code(201).send(await service.add(actorOf(request), request.body)),
    );

    app.delete(
      '/exchange-rates/:rateId',
      {
        config: { access: editors },
        schema: {
          tags,
          summary: 'Take a rate back',
          params: RateParams,
          response: { 204: z.undefined() },
        },
      },
      async (request, reply) => {
        await service.remove(actorOf(request), request.params.rateId);
        return reply.code(204).send();
      },
    );
  };
}
