import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';

/**
 * /healthz: the process answers. /readyz: its database does too, and it is not about to stop, so that
 * whoever shares requests out sends it more.
 */
export function healthRoutes(
  ping: () => Promise<void>,
  isStopping: () => boolean,
): FastifyPluginAsyncZod {
  const Status = z.object({ status: z.enum(['ok', 'not-ready', 'stopping']) });
  return async (app) => {
    app.get(
      '/healthz',
      {
        config: { access: 'public' },
        schema: {
          tags: ['operation'],
          summary: 'Whether the process runs',
          response: { 200: Status },
        },
      },
      async () => ({ status: 'ok' as const }),
    );
    app.get(
      '/readyz',
      {
        config: { access: 'public' },
        schema: {
          tags: ['operation'],
          summary:
            'Whether requests may be sent here: the database answers, and no stop is asked for',
          response: { 200: Status, 503: Status },
        },
      },
      async (request, reply) => {
        if (isStopping()) return reply.code(503).send({ status: 'stopping' as const });
        try {
          await ping();
          return { status: 'ok' as const };
        } catch (error) {
          request.log.warn({ err: error }, 'the database does not answer');
          return reply.code(503).send({ status: 'not-ready' as const });
        }
      },
    );
  };
}
