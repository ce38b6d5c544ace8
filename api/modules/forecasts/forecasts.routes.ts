import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { actorOf } from '../../http/access.ts';
import { ExplanationSchema, toExplanationBody } from '../../http/explanation.ts';
import { toOverride, toPortions, toScored, toSitting } from './forecasts-body.ts';
import {
  DatesQuery,
  ForecastParams,
  OverrideBody,
  OverrideList,
  OverrideSchema,
  PortionsForecastSchema,
  RunBody,
  RunSchema,
  SiteForecastSchema,
  SiteParams,
  SittingForecastSchema,
  SittingParams,
  WindowQuery,
} from './forecasts.schema.ts';
import type { ForecastsServices } from './forecasts.services.ts';

/** Forecasts of covers and portions, what people put in their place, and the full run. */
export function forecastsRoutes({
  forecasts: service,
  overrides,
  refresh,
}: ForecastsServices): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['forecasts'];
    const cooks = { access: ['lead', 'admin', 'chef'] } as const;

    app.get(
      '/sites/:siteId/covers-forecasts',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'The covers expected of each sitting, with their range, and from what',
          description:
            'From today on (28 days when no dates are named, at most 120) worked out from what is known now; of sittings gone by the last forecast kept, and what came.',
          params: SiteParams,
          querystring: WindowQuery,
          response: { 200: SiteForecastSchema },
        },
      },
      async (request) => {
        const { siteId } = request.params;
        const view = await service.covers(actorOf(request), siteId, windowOf(request.query));
        return {
          siteId,
          zone: view.site.zone,
          today: view.today,
          items: view.sittings.map(toSitting),
        };
      },
    );

    app.get(
      '/sites/:siteId/portions-forecasts',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'The portions expected of each dish on offer, at most 14 days from today on',
          params: SiteParams,
          querystring: WindowQuery,
          response: { 200: PortionsForecastSchema },
        },
      },
      async (request) => {
        const { siteId } = request.params;
        const found = await service.portions(actorOf(request), siteId, windowOf(request.query));
        return { siteId, items: found.sittings.map(toPortions) };
      },
    );

    app.get(
      '/covers-forecasts/:forecastId',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'A forecast as it was kept: what a plan names can be read again',
          params: ForecastParams,
          response: { 200: SittingForecastSchema },
        },
      },
      async (request) => {
        const { view } = await service.one(actorOf(request), request.params.forecastId);
        return toSitting(view);
      },
    );

    app.get(
      '/covers-forecasts/:forecastId/explanation',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'Why that many covers are expected',
          params: ForecastParams,
          response: { 200: ExplanationSchema },
        },
      },
      async (request) =>
        toExplanationBody(await service.explain(actorOf(request), request.params.forecastId)),
    );

    app.get(
      '/sites/:siteId/covers-overrides',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'Overrides between two dates, with what came of those gone by',
          params: SiteParams,
          querystring: DatesQuery,
          response: { 200: OverrideList },
        },
      },
      async (request) => {
        const { from, to } = request.query;
        const found = await overrides.list(actorOf(request), request.params.siteId, from, to);
        return { items: found.map(toScored) };
      },
    );

    app.put(
      '/services/:serviceId/covers/:serviceDate/override',
      {
        config: cooks,
        schema: {
          tags,
          summary: 'Put covers in place of the forecast of a sitting, with the reason',
          description: 'The plan uses it instead; sending it again changes nothing.',
          params: SittingParams,
          body: OverrideBody,
          response: { 200: OverrideSchema },
        },
      },
      async (request) =>
        toOverride(await overrides.put(actorOf(request), { ...request.params, ...request.body })),
    );

    app.delete(
      '/services/:serviceId/covers/:serviceDate/override',
      {
        config: cooks,
        schema: {
          tags,
          summary: 'Take an override back; it stays on record',
          params: SittingParams,
          response: { 204: z.undefined() },
        },
      },
      async (request, reply) => {
        await overrides.remove(actorOf(request), request.params);
        return reply.code(204).send();
      },
    );

    app.post(
      '/forecast-runs',
      {
        config: { access: ['lead', 'admin'], idempotent: true },
        schema: {
          tags,
          summary:
            'Learn every series anew and work out the next four weeks, as the night run does',
          body: RunBody,
          response: { 200: RunSchema },
        },
      },
      async (request) => refresh.refreshAll(actorOf(request), request.body.siteIds),
    );
  };
}

function windowOf(query: z.infer<typeof WindowQuery>) {
  return {
    ...(query.from === undefined ? {} : { from: query.from }),
    ...(query.to === undefined ? {} : { to: query.to }),
    ...(query.serviceId === undefined ? {} : { serviceId: query.serviceId }),
  };
}
