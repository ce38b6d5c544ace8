import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { NightRunList } from './night-work.schema.ts';
import type { NightWorkService } from './night-work.service.ts';

/** /v1/night-runs: how the nights went. */
export function nightWorkRoutes(service: NightWorkService): FastifyPluginAsyncZod {
  return async (app) => {
    app.get(
      '/night-runs',
      {
        config: { access: ['lead', 'admin'] },
        schema: {
          tags: ['operation'],
          summary: 'The latest forecasts, plans and orders worked out at night, newest first',
          response: { 200: NightRunList },
        },
      },
      async () => ({
        items: (await service.latest()).map((run) => ({
          ...run,
          startedAt: run.startedAt.toISOString(),
          endedAt: run.endedAt?.toISOString() ?? null,
        })),
      }),
    );
  };
}
