import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { actorOf } from '../../http/access.ts';
import { IfMatchHeaders, revisionFrom, setRevision } from '../../http/etag.ts';
import type { PreOrderInput } from './pre-orders.ports.ts';
import { PreOrderBody, PreOrderKept, PreOrderList, PreOrderQuery } from './pre-orders.schema.ts';
import type { NamedPreOrder, PreOrdersService } from './pre-orders.service.ts';

function toBody({ order, dishNames }: NamedPreOrder) {
  return {
    id: order.id,
    siteId: order.siteId,
    serviceId: order.serviceId,
    serviceDate: order.serviceDate,
    party: order.party,
    covers: order.covers,
    note: order.note,
    enteredBy: order.enteredBy,
    rev: order.rev,
    createdAt: order.createdAt.toISOString(),
    lines: order.lines.map((line) => ({
      ...line,
      dishName: dishNames.get(line.dishId) ?? line.dishId,
    })),
  };
}
const toKept = (named: NamedPreOrder) => ({ ...toBody(named), warnings: [...named.warnings] });

/** A set menu comes to so many portions of each of its dishes. */
function toInput({ setMenu, lines, ...body }: z.infer<typeof PreOrderBody>): PreOrderInput {
  const menu = setMenu.map(({ dishId, perCover }) => ({
    dishId,
    portions: perCover * body.covers,
  }));
  return { ...body, lines: [...lines, ...menu] };
}

/** /v1/sites/:siteId/pre-orders and /v1/pre-orders. */
export function preOrdersRoutes(service: PreOrdersService): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['covers'];
    const params = z.object({ siteId: z.string() });
    const oneParams = z.object({ preOrderId: z.string() });
    const access = ['lead', 'chef', 'admin'] as const;

    app.get(
      '/sites/:siteId/pre-orders',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'Parties that ordered beforehand, between two service dates',
          params,
          querystring: PreOrderQuery,
          response: { 200: PreOrderList },
        },
      },
      async (request) => {
        const { from, to } = request.query;
        const found = await service.list(actorOf(request), request.params.siteId, from, to);
        return { items: found.map(toBody) };
      },
    );

    app.post(
      '/sites/:siteId/pre-orders',
      {
        config: { access, idempotent: true },
        schema: {
          tags,
          summary: 'Keep what a party ordered beforehand, or the set menu it will eat',
          params,
          body: PreOrderBody,
          response: { 201: PreOrderKept },
        },
      },
      async (request, reply) => {
        const kept = await service.add(
          actorOf(request),
          request.params.siteId,
          toInput(request.body),
        );
        setRevision(reply, kept.order.rev);
        return reply.code(201).send(toKept(kept));
      },
    );

    app.put(
      '/pre-orders/:preOrderId',
      {
        config: { access },
        schema: {
          tags,
          summary: 'Change a pre-order',
          params: oneParams,
          headers: IfMatchHeaders,
          body: PreOrderBody,
          response: { 200: PreOrderKept },
        },
      },
      async (request, reply) => {
        const kept = await service.change(
          actorOf(request),
          request.params.preOrderId,
          revisionFrom(request),
          toInput(request.body),
        );
        setRevision(reply, kept.order.rev);
        return toKept(kept);
      },
    );

    app.delete(
      '/pre-orders/:preOrderId',
      {
        config: { access },
        schema: {
          tags,
          summary: 'Take a pre-order back; it stays on record as removed',
          params: oneParams,
          response: { 204: z.undefined() },
        },
      },
      async (request, reply) => {
        await service.remove(actorOf(request), request.params.preOrderId);
        return reply.code(204).send();
      },
    );
  };
}
