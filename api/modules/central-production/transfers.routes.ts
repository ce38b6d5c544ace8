import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { SAFETY_NOTICE } from '../../core/safety/index.ts';
import { actorOf } from '../../http/access.ts';
import { setRevision } from '../../http/etag.ts';
import { ExplanationSchema, toExplanationBody } from '../../http/explanation.ts';
import type { CarryingService } from './carrying.service.ts';
import { toCarriedBody, toTransferBody, toTransferWithLots } from './transfers-body.ts';
import {
  CallOffBody,
  CarriedSchema,
  CarryBody,
  TransferList,
  TransferParams,
  TransferQuery,
  TransferSiteParams,
  TransferWithLots,
} from './transfers.schema.ts';
import type { TransfersService } from './transfers.service.ts';

/** /v1/sites/:siteId/transfers and /v1/transfers: what goes from site to site. */
export function transfersRoutes(
  transfers: TransfersService,
  carrying: CarryingService,
): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['central production'];

    app.get(
      '/sites/:siteId/transfers',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'What leaves a site or comes to it, between two service dates',
          params: TransferSiteParams,
          querystring: TransferQuery,
          response: { 200: TransferList },
        },
      },
      async (request) => {
        const { from, to } = request.query;
        const { siteId } = request.params;
        const found = await transfers.ofSite(actorOf(request), siteId, from, to);
        return { items: found.map(toTransferBody), notice: SAFETY_NOTICE };
      },
    );

    app.get(
      '/transfers/:transferId',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'One load from a site to another',
          params: TransferParams,
          response: { 200: TransferWithLots },
        },
      },
      async (request, reply) => {
        const actor = actorOf(request);
        const found = await transfers.get(actor, request.params.transferId);
        setRevision(reply, found.transfer.rev);
        return toTransferWithLots(found, await transfers.lotsToSend(actor, found));
      },
    );

    app.get(
      '/transfers/:transferId/explanation',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'Why a load is that large',
          params: TransferParams,
          response: { 200: ExplanationSchema },
        },
      },
      async (request) =>
        toExplanationBody(await transfers.explain(actorOf(request), request.params.transferId)),
    );

    const act = { config: { access: ['lead', 'chef', 'admin'], idempotent: true } } as const;

    app.post(
      '/transfers/:transferId/send',
      {
        ...act,
        schema: {
          tags,
          summary: 'Write what leaves: lots, amounts, temperature. Too warm, it is held instead',
          params: TransferParams,
          body: CarryBody,
          response: { 200: CarriedSchema },
        },
      },
      async (request) => {
        const { transferId } = request.params;
        return toCarriedBody(await carrying.send(actorOf(request), transferId, request.body));
      },
    );

    app.post(
      '/transfers/:transferId/receive',
      {
        ...act,
        schema: {
          tags,
          summary: 'Write what came: it becomes stock here, held where it was too warm',
          params: TransferParams,
          body: CarryBody,
          response: { 200: CarriedSchema },
        },
      },
      async (request) => {
        const { transferId } = request.params;
        return toCarriedBody(await carrying.receive(actorOf(request), transferId, request.body));
      },
    );

    app.post(
      '/transfers/:transferId/call-off',
      {
        ...act,
        schema: {
          tags,
          summary: 'Say that it does not go, and why',
          params: TransferParams,
          body: CallOffBody,
          response: { 200: CarriedSchema },
        },
      },
      async (request) => {
        const { transferId } = request.params;
        const { reason } = request.body;
        return toCarriedBody(await carrying.callOff(actorOf(request), transferId, reason));
      },
    );

    app.post(
      '/transfers/:transferId/take-back',
      {
        ...act,
        schema: {
          tags,
          summary: 'Take back what was written as sent, while it is not received',
          params: TransferParams,
          response: { 200: CarriedSchema },
        },
      },
      async (request) =>
        toCarriedBody(await carrying.takeBack(actorOf(request), request.params.transferId)),
    );
  };
}
