import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import type { z } from 'zod';
import { actorOf } from '../../http/access.ts';
import type { KeptBacktest } from './backtests.ports.ts';
import {
  BacktestBody,
  BacktestList,
  BacktestParams,
  BacktestSchema,
  ListQuery,
  PointsQuery,
  SiteParams,
} from './backtests.schema.ts';
import type { BacktestsService } from './backtests.service.ts';

const toHead = ({ settings, ranAt, ...rest }: Omit<KeptBacktest, 'result'>) => ({
  id: rest.id,
  siteId: rest.siteId,
  serviceId: rest.serviceId,
  ranAt: ranAt.toISOString(),
  ranBy: rest.ranBy,
  modelVersion: rest.modelVersion,
  horizons: [...settings.horizons],
  from: settings.from,
  to: settings.to,
  everyDays: settings.everyDays,
});

function toBody(kept: KeptBacktest, horizonDays?: number): z.infer<typeof BacktestSchema> {
  const { horizons, points, notForecast, scale } = kept.result;
  return {
    ...toHead(kept),
    scores: horizons.map((score) => ({
      ...score,
      pinball: score.pinball.map((p) => ({ ...p })),
      coverage: { ...score.coverage },
      compared: { ...score.compared, baselines: { ...score.compared.baselines } },
      overridden: { ...score.overridden },
    })),
    points: points
      .filter((point) => horizonDays === undefined || point.horizonDays === horizonDays)
      .map(({ origin, serviceDate, horizonDays: ahead, actual, mean, quantiles, override }) => ({
        origin,
        serviceDate,
        horizonDays: ahead,
        actual,
        mean,
        quantiles: quantiles.map((q) => ({ ...q })),
        override: override ?? null,
      })),
    notForecast,
    scale,
  };
}

/** How well the forecast would have done over a service's own past. */
export function backtestsRoutes(service: BacktestsService): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['forecasts'];

    app.post(
      '/sites/:siteId/backtests',
      {
        config: { access: ['lead', 'admin', 'chef'], idempotent: true },
        schema: {
          tags,
          summary: "Test the forecast over a service's own past",
          description:
            'On each morning a forecast is made from nothing but what was known by then, and scored against what came, three plain guesses and the site’s own overrides. At most 120 mornings and 14 horizons at a time; the result is kept.',
          params: SiteParams,
          body: BacktestBody,
          response: { 201: BacktestSchema },
        },
      },
      async (request, reply) => {
        const { serviceId, horizons, from, to, everyDays } = request.body;
        const kept = await service.run(actorOf(request), request.params.siteId, {
          serviceId,
          horizons,
          everyDays,
          ...(from === undefined ? {} : { from }),
          ...(to === undefined ? {} : { to }),
        });
        return reply.code(201).header('location', `/v1/backtests/${kept.id}`).send(toBody(kept));
      },
    );

    app.get(
      '/sites/:siteId/backtests',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'The tests kept of a site, newest first',
          params: SiteParams,
          querystring: ListQuery,
          response: { 200: BacktestList },
        },
      },
      async ({ params, query }) => ({
        items: (await service.list(params.siteId, query.serviceId)).map(toHead),
      }),
    );

    app.get(
      '/backtests/:backtestId',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'One test of the forecasts over the past',
          params: BacktestParams,
          querystring: PointsQuery,
          response: { 200: BacktestSchema },
        },
      },
      async (request) =>
        toBody(
          await service.one(actorOf(request), request.params.backtestId),
          request.query.horizonDays,
        ),
    );
  };
}
