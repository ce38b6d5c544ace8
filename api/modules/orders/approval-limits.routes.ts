import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { actorOf } from '../../http/access.ts';
import { rounded } from './order-body.ts';
import type { ApprovalLimit } from './orders.ports.ts';
import { ApprovalLimitBody, ApprovalLimitsSchema } from './orders.schema.ts';
import type { ApprovalLimitsService } from './approval-limits.service.ts';

const toBody = (limits: readonly ApprovalLimit[]) => ({
  items: limits.map(({ id, subject, currency, amount }) => ({
    id,
    subject,
    limit: { amount: rounded(amount), currency },
  })),
});

/** Who may approve how much: seen by who buys, set by an administrator. */
export function approvalLimitsRoutes(service: ApprovalLimitsService): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['orders'];

    app.get(
      '/approval-limits',
      {
        config: { access: ['purchasing', 'lead', 'admin'] },
        schema: {
          tags,
          summary: 'Up to what amount a role or a person may approve',
          response: { 200: ApprovalLimitsSchema },
        },
      },
      async () => toBody(await service.list()),
    );

    app.put(
      '/approval-limits',
      {
        config: { access: ['admin'] },
        schema: {
          tags,
          summary: 'The most a person, a token or everybody of a role may approve in one order',
          body: ApprovalLimitBody,
          response: { 200: ApprovalLimitsSchema },
        },
      },
      async (request) => {
        const { subject, limit } = request.body;
        return toBody(await service.set(actorOf(request), { subject, ...limit }));
      },
    );

    app.delete(
      '/approval-limits/:limitId',
      {
        config: { access: ['admin'] },
        schema: {
          tags,
          summary: 'Lift an approval limit',
          params: z.object({ limitId: z.string() }),
          response: { 204: z.undefined() },
        },
      },
      async (request, reply) => {
        await service.remove(actorOf(request), request.params.limitId);
        return reply.code(204).send();
      },
    );
  };
}
