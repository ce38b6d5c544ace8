import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { toRfc3339 } from '../../core/calendar/index.ts';
import { convert } from '../../core/quantity/index.ts';
import { actorOf } from '../../http/access.ts';
import { IfMatchHeaders, revisionFrom, setRevision } from '../../http/etag.ts';
import { orRefuse } from '../platform/index.ts';
import {
  RouteParams,
  TransferRouteBody,
  TransferRouteList,
  TransferRouteSchema,
} from './central-production.schema.ts';
import type { RouteAhead, RouteWish, TransferRoutesService } from './transfer-routes.service.ts';

type RouteBody = z.infer<typeof TransferRouteSchema>;

function toBody({ route, from, to, trips, dropped }: RouteAhead): RouteBody {
  return {
    id: route.id,
    from: { id: from.id, name: from.name },
    to: { id: to.id, name: to.name },
    weekdays: [...route.weekdays],
    leavesAt: route.leavesAt,
    arrivesAt: route.arrivesAt,
    arrivesDaysLater: route.arrivesDaysLater,
    noTripDates: [...route.noTripDates],
    cutoffHours: route.cutoffHours,
    massLimit: route.massLimitG === null ? null : { value: route.massLimitG, unit: 'g' },
    containerLimit: route.containerLimit,
    minimumContainers: route.minimumContainers,
    costPerTrip: { amount: route.costPerTrip, currency: route.currency },
    trips: trips.map(({ leaveDate, leaveMin, arriveMin }) => ({
      leaveDate,
      leavesAt: toRfc3339(leaveMin),
      arrivesAt: toRfc3339(arriveMin),
    })),
    noTrips: dropped.map((one) => ({
      ...one,
      reason: one.reason as RouteBody['noTrips'][number]['reason'],
    })),
    rev: route.rev,
  };
}

function toInput({
  massLimit,
  costPerTrip,
  ...body
}: z.infer<typeof TransferRouteBody>): RouteWish {
  return {
    ...body,
    massLimitG:
      massLimit === null
        ? null
        : orRefuse(convert(massLimit.value, massLimit.unit, 'g'), '/massLimit/unit'),
    costPerTrip: costPerTrip?.amount ?? '0',
    currency: costPerTrip?.currency ?? null,
  };
}

/** /v1/transfer-routes: days, times and limits of the ways between sites. */
export function transferRoutesRoutes(service: TransferRoutesService): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['central production'];
    const access = ['lead', 'admin'] as const;

    app.get(
      '/transfer-routes',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'The ways between sites, with the trips of the two weeks ahead',
          response: { 200: TransferRouteList },
        },
      },
      async (request) => ({ items: (await service.list(actorOf(request))).map(toBody) }),
    );

    app.post(
      '/transfer-routes',
      {
        config: { access, idempotent: true },
        schema: {
          tags,
          summary: 'Say between which sites there are trips, when and for how much',
          body: TransferRouteBody,
          response: { 201: TransferRouteSchema },
        },
      },
      async (request, reply) => {
        const added = await service.add(actorOf(request), toInput(request.body));
        setRevision(reply, added.route.rev);
        return reply.code(201).send(toBody(added));
      },
    );

    app.put(
      '/transfer-routes/:routeId',
      {
        config: { access },
        schema: {
          tags,
          summary: 'Change the trips between two sites',
          params: RouteParams,
          headers: IfMatchHeaders,
          body: TransferRouteBody,
          response: { 200: TransferRouteSchema },
        },
      },
      async (request, reply) => {
        const changed = await service.change(
          actorOf(request),
          request.params.routeId,
          revisionFrom(request),
          toInput(request.body),
        );
        setRevision(reply, changed.route.rev);
        return toBody(changed);
      },
    );

    app.delete(
      '/transfer-routes/:routeId',
      {
        config: { access },
        schema: {
          tags,
          summary: 'Nothing goes this way any more; refused while something is made for it',
          params: RouteParams,
          response: { 204: z.undefined() },
        },
      },
      async (request, reply) => {
        await service.remove(actorOf(request), request.params.routeId);
        return reply.code(204).send();
      },
    );
  };
}
