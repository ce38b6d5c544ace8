import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { actorOf } from '../../http/access.ts';
import { PageQuery, pageRequest, toPageBody } from '../../http/paging.ts';
import { Id, Instant, ServiceDate } from '../../http/wire.ts';
import { toEvent, toOutcome, toSale, toSnapshot, withWarnings } from './covers-body.ts';
import {
  OutcomeBody,
  OutcomeKept,
  SaleBody,
  SaleKept,
  SittingSchema,
  SnapshotFigure,
  SnapshotKept,
  SnapshotPage,
  SnapshotQuery,
  SnapshotsBody,
  SnapshotsMade,
} from './covers.schema.ts';
import type { CoversService } from './covers.service.ts';

const SiteParams = z.object({ siteId: z.string() });
const SittingParams = z.object({ serviceId: Id, serviceDate: ServiceDate });
const tags = ['covers'];
const writers = { access: ['lead', 'admin', 'chef'] } as const;

/** Booking snapshots, outcomes and sales of sittings. */
export function coversRoutes(service: CoversService): FastifyPluginAsyncZod {
  return async (app) => {
    app.post(
      '/sites/:siteId/covers-snapshots',
      {
        config: { ...writers, idempotent: true },
        schema: {
          tags,
          summary: 'Keep booking snapshots, all or none',
          params: SiteParams,
          body: SnapshotsBody,
          response: { 201: SnapshotsMade },
        },
      },
      async (request, reply) => {
        const { value, warnings } = await service.addSnapshots(
          request.params.siteId,
          request.body.snapshots.map((s) => ({ ...s, takenAt: new Date(s.takenAt) })),
        );
        return reply.code(201).send({ items: value.map(toSnapshot), warnings: [...warnings] });
      },
    );

    app.get(
      '/sites/:siteId/covers-snapshots',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'What was on the books, and when',
          params: SiteParams,
          querystring: PageQuery.extend(SnapshotQuery.shape),
          response: { 200: SnapshotPage },
        },
      },
      async (request) => {
        const { serviceId, from, to } = request.query;
        const page = await service.listSnapshots(
          request.params.siteId,
          {
            ...(serviceId === undefined ? {} : { serviceId }),
            ...(from === undefined ? {} : { fromDate: from }),
            ...(to === undefined ? {} : { toDate: to }),
          },
          pageRequest(request.query),
        );
        return toPageBody(page, toSnapshot);
      },
    );

    app.get(
      '/services/:serviceId/covers/:serviceDate',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'The booking curve of a sitting and what came of it',
          params: SittingParams,
          response: { 200: SittingSchema },
        },
      },
      async (request) => {
        const found = await service.sitting(actorOf(request), request.params);
        return {
          serviceId: found.service.id,
          serviceName: found.service.name,
          serviceDate: request.params.serviceDate,
          snapshots: found.snapshots.map(toSnapshot),
          outcome: found.outcome && toOutcome(found.outcome),
          sales: found.sales.map(toSale),
          events: found.events.map(toEvent),
        };
      },
    );

    app.put(
      '/services/:serviceId/covers/:serviceDate/snapshots/:takenAt',
      {
        config: writers,
        schema: {
          tags,
          summary: 'For booking systems: keep one snapshot; sending it again changes nothing',
          description:
            'Covers booked and not cancelled for the sitting, as they stood at the instant in the address, and in `cancelled` how many covers had been cancelled by then, adding up from the first booking (leave it out where nobody counts them). A cancellation is sent like a booking: a new instant with fewer booked and more cancelled. Walk-ins and no-shows come with the outcome. Send it whenever the bookings change, in any order, again after a stumble: 201 when it is new, 200 and no change when the same figure stands, 409 when another figure stands for that instant, 400 with the field for an instant in the future, a sitting that is not held, or more covers than the room can hold. The forecast of that sitting alone is then worked out anew.',
          params: SittingParams.extend({ takenAt: Instant }),
          body: SnapshotFigure,
          response: { 200: SnapshotKept, 201: SnapshotKept },
        },
      },
      async (request, reply) => {
        const { takenAt, ...sitting } = request.params;
        const kept = await service.putSnapshot(actorOf(request), {
          ...sitting,
          takenAt: new Date(takenAt),
          ...request.body,
        });
        return reply.code(kept.isNew ? 201 : 200).send(withWarnings(kept, toSnapshot));
      },
    );

    app.put(
      '/services/:serviceId/covers/:serviceDate/outcome',
      {
        config: writers,
        schema: {
          tags,
          summary: 'Say what came of a sitting; a later word replaces an earlier one',
          description:
            'Covers served and, where they are counted, how many of them walked in, how many booked covers did not come and how many were cancelled beforehand: the forecast learns each apart. 400 with the field when more walked in than came or a closed service has guests; figures that do not go with the bookings are kept and said in `warnings`.',
          params: SittingParams,
          body: OutcomeBody,
          response: { 200: OutcomeKept },
        },
      },
      async (request) => {
        const kept = await service.putOutcome(actorOf(request), {
          ...request.params,
          ...request.body,
        });
        return withWarnings(kept, toOutcome);
      },
    );

    app.put(
      '/services/:serviceId/covers/:serviceDate/sales/:dishId',
      {
        config: writers,
        schema: {
          tags,
          summary: 'Say how many portions of a dish were sold at a sitting',
          params: SittingParams.extend({ dishId: Id }),
          body: SaleBody,
          response: { 200: SaleKept },
        },
      },
      async (request) => {
        const { soldOutAt, portions } = request.body;
        const kept = await service.putSale(actorOf(request), {
          ...request.params,
          portions,
          soldOutAt: soldOutAt === null ? null : new Date(soldOutAt),
        });
        return withWarnings(kept, toSale);
      },
    );
  };
}
