import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { lotCode } from '../../core/codes/index.ts';
import { codeOfBase } from '../../core/quantity/index.ts';
import { actorOf } from '../../http/access.ts';
import type { TracedLot } from './tracing.ports.ts';
import {
  FindQuery,
  FoundLotsSchema,
  RecallBody,
  RecalledSchema,
  TraceSchema,
  type TracedLotSchema,
} from './tracing.schema.ts';
import type { Trace, TracingService } from './tracing.service.ts';

const tags = ['tracing'];
const LotParams = z.object({ lotId: z.string() });

function toLotBody(lot: TracedLot): z.infer<typeof TracedLotSchema> {
  const amount = (value: number) => ({ value, unit: codeOfBase(lot.baseUnit) });
  return {
    lotId: lot.id,
    lotCode: lotCode(lot.id),
    item: { kind: lot.itemKind, id: lot.itemId, name: lot.itemName },
    site: { id: lot.siteId, name: lot.siteName },
    supplier: lot.supplierName,
    supplierLot: lot.supplierLot,
    madeAt: lot.madeAt.toISOString(),
    useBy: lot.useBy.toISOString(),
    sourceKind: lot.sourceKind,
    heldReason: lot.heldReason,
    came: amount(lot.came),
    used: amount(lot.used),
    sold: amount(lot.sold),
    wasted: amount(lot.wasted),
    sent: amount(lot.sent),
    unexplained: amount(lot.unexplained),
    left: amount(lot.left),
  };
}

function remarksOf({ mayHaveReached, hiddenLots, services }: Trace): string[] {
  const remarks: string[] = [];
  if (mayHaveReached.length > 0) {
    remarks.push(
      'Counts found less than the record: what is missing may have been served in any dish made with it.',
    );
  }
  if (hiddenLots > 0) remarks.push('Some of it lies at sites that are not yours: ask a lead.');
  if (services.length === 0) {
    remarks.push(
      'No sale on record has drawn from it. That is no proof that nobody ate of it: sales may not have been entered.',
    );
  }
  return remarks;
}

function toTraceBody(trace: Trace): z.infer<typeof TraceSchema> {
  const lots = [trace.start, ...trace.back.map((s) => s.lot), ...trace.forward.map((s) => s.lot)];
  const unitOf = new Map(lots.map((lot) => [lot.id, codeOfBase(lot.baseUnit)]));
  const amount = (lotId: string, value: number) => ({ value, unit: unitOf.get(lotId) ?? '{each}' });
  return {
    start: toLotBody(trace.start),
    back: trace.back.map(({ lot, steps }) => ({ lot: toLotBody(lot), steps })),
    forward: trace.forward.map(({ lot, steps }) => ({ lot: toLotBody(lot), steps })),
    links: trace.links.map(({ fromLotId, toLotId, quantity, taskId }) => ({
      fromLotId,
      toLotId,
      amount: amount(fromLotId, quantity),
      taskId,
    })),
    services: trace.services.map((reached) => ({
      lotId: reached.lotId,
      site: { id: reached.siteId, name: reached.siteName },
      service: { id: reached.serviceId, name: reached.serviceName },
      serviceDate: reached.serviceDate,
      dish: { id: reached.dishId, name: reached.dishName },
      portions: reached.portions,
      amount: amount(reached.lotId, reached.quantity),
    })),
    mayHaveReached: trace.mayHaveReached.map(({ id, name }) => ({ id, name })),
    hiddenLots: trace.hiddenLots,
    remarks: remarksOf(trace),
  };
}

/** From a supplier's lot to the plates it reached, and back; and calling it back. */
export function tracingRoutes(tracing: TracingService): FastifyPluginAsyncZod {
  return async (app) => {
    app.get(
      '/lot-codes',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: "Lots by the code on a label: the supplier's or ours; of the sites one sees",
          querystring: FindQuery,
          response: { 200: FoundLotsSchema },
        },
      },
      async (request) => ({
        items: (await tracing.find(actorOf(request), request.query.code)).map(toLotBody),
      }),
    );
    app.get(
      '/stock-lots/:lotId/trace',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'What a lot came from, what it went into, and the services it reached',
          params: LotParams,
          response: { 200: TraceSchema },
        },
      },
      async (request) => toTraceBody(await tracing.trace(actorOf(request), request.params.lotId)),
    );
    app.post(
      '/stock-lots/:lotId/recall',
      {
        config: { access: ['lead', 'admin', 'purchasing'] },
        schema: {
          tags,
          summary: 'Hold a lot and everything made with it, at every site',
          params: LotParams,
          body: RecallBody,
          response: { 200: RecalledSchema },
        },
      },
      async (request) => ({
        held: [
          ...(await tracing.recall(actorOf(request), request.params.lotId, request.body.reason)),
        ],
      }),
    );
  };
}
