import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { actorOf } from '../../http/access.ts';
import { PageQuery, pageRequest, toPageBody } from '../../http/paging.ts';
import { invalid } from '../platform/index.ts';
import { toCount, toCountResult, toWasteLine, toWasteResult } from './stock-body.ts';
import type { StockChangesService, WasteInput } from './stock-changes.service.ts';
import {
  CountPage,
  CountsBody,
  CountsMade,
  LotQuery,
  WasteBody,
  WasteMade,
  WastePage,
  WasteQuery,
  WasteTakenBack,
  WasteUndoBody,
} from './stock.schema.ts';
import type { StockService } from './stock.service.ts';

const SiteParams = z.object({ siteId: z.string() });
const tags = ['stock'];

/** Exactly one of lot and item. */
function wasteOf({ lotId, itemKind, itemId }: z.infer<typeof WasteBody>): WasteInput['of'] {
  if (lotId !== null) {
    if (itemId !== null) throw invalid('/itemId', 'Name the lot or the item, not both.');
    return { lotId };
  }
  if (itemId === null) throw invalid('/lotId', 'Name the lot or the item.');
  if (itemKind === null)
    throw invalid('/itemKind', 'Say whether it is an ingredient or component.');
  return { itemKind, itemId };
}

/** Counts and waste. */
export function stockChangesRoutes(
  changes: StockChangesService,
  stock: StockService,
): FastifyPluginAsyncZod {
  return async (app) => {
    app.post(
      '/sites/:siteId/stock-counts',
      {
        config: { access: ['lead', 'admin', 'chef'], idempotent: true },
        schema: {
          tags,
          summary: 'Say how much of each item there is; the record is set right',
          params: SiteParams,
          body: CountsBody,
          response: { 201: CountsMade },
        },
      },
      async (request, reply) => {
        const results = await changes.count(
          actorOf(request),
          request.params.siteId,
          request.body.counts.map((count) => ({
            ...count,
            useBy: count.useBy === null ? null : new Date(count.useBy),
          })),
        );
        return reply.code(201).send({ items: results.map(toCountResult) });
      },
    );

    app.get(
      '/sites/:siteId/stock-counts',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'What was counted at a site',
          params: SiteParams,
          querystring: PageQuery.extend(LotQuery.omit({ state: true }).shape),
          response: { 200: CountPage },
        },
      },
      async (request) => {
        const { itemKind, itemId } = request.query;
        const page = await stock.counts(
          request.params.siteId,
          {
            ...(itemKind === undefined ? {} : { itemKind }),
            ...(itemId === undefined ? {} : { itemId }),
          },
          pageRequest(request.query),
        );
        return toPageBody(page, toCount);
      },
    );

    app.post(
      '/sites/:siteId/waste',
      {
        config: { access: ['lead', 'admin', 'chef'], idempotent: true },
        schema: {
          tags,
          summary: 'Write off what is thrown away, with the reason',
          params: SiteParams,
          body: WasteBody,
          response: { 201: WasteMade },
        },
      },
      async (request, reply) => {
        const { amount, reason, note } = request.body;
        const wasted = await changes.waste(actorOf(request), request.params.siteId, {
          of: wasteOf(request.body),
          amount,
          reason,
          note,
        });
        return reply.code(201).send(toWasteResult(wasted));
      },
    );

    app.post(
      '/sites/:siteId/waste/undo',
      {
        config: { access: ['lead', 'admin', 'chef'], idempotent: true },
        schema: {
          tags,
          summary: 'Take back what was written off by mistake, within four hours',
          params: SiteParams,
          body: WasteUndoBody,
          response: { 200: WasteTakenBack },
        },
      },
      async (request) => {
        const { siteId } = request.params;
        const lines = await changes.takeBackWaste(actorOf(request), siteId, request.body.lineIds);
        return { items: lines.map(toWasteLine(stock.now())) };
      },
    );

    app.get(
      '/sites/:siteId/waste',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'What was thrown away, newest first',
          params: SiteParams,
          querystring: PageQuery.extend(WasteQuery.shape),
          response: { 200: WastePage },
        },
      },
      async (request) => {
        const { from, before } = request.query;
        const page = await stock.waste(
          request.params.siteId,
          {
            ...(from === undefined ? {} : { from: new Date(from) }),
            ...(before === undefined ? {} : { before: new Date(before) }),
          },
          pageRequest(request.query),
        );
        return toPageBody(page, toWasteLine(stock.now()));
      },
    );
  };
}
