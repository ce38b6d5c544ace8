import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import type { z } from 'zod';
import { codeOfBase } from '../../core/quantity/index.ts';
import { actorOf } from '../../http/access.ts';
import { IfMatchHeaders, revisionFrom, setRevision } from '../../http/etag.ts';
import { ExplanationSchema, toExplanationBody } from '../../http/explanation.ts';
import type { ProductionInput } from './central-production.ports.ts';
import {
  PlaceExplanationQuery,
  ProductionBody,
  ProductionList,
  ProductionParams,
  ProductionSchema,
} from './central-production.schema.ts';
import type { NamedProduction, ProductionsService } from './productions.service.ts';
import { wordsOfDecision } from './standing-place.ts';

export function toProductionBody({
  production,
  item,
  siteNames,
  place,
}: NamedProduction): z.infer<typeof ProductionSchema> {
  const named = (id: string) => ({ id, name: siteNames.get(id) ?? id });
  const { decision } = production;
  return {
    id: production.id,
    component: { id: item.itemId, name: item.name },
    sites: production.siteIds.map(named),
    makers: production.makerSiteIds.map(named),
    mode: production.mode,
    fromDate: production.fromDate,
    endsBefore: production.endsBefore,
    container: {
      name: production.containerName,
      amount: { value: production.containerValue, unit: production.containerUnit },
      holds: { value: production.containerQuantity, unit: codeOfBase(item.measures.baseUnit) },
    },
    keeping: production.keeping === null ? null : { ...production.keeping },
    restMadeHere: production.restMadeHere,
    reason: production.reason,
    place: {
      maker: place.makerSiteId === null ? null : named(place.makerSiteId),
      receivers: place.receiverSiteIds.map(named),
    },
    decision:
      decision === null
        ? null
        : {
            decidedAt: decision.decidedAt,
            decidedBy: decision.decidedBy,
            why: decision.why,
            words: wordsOfDecision(decision, (id) => named(id).name),
            places: decision.places.map((one) => ({
              ...one,
              receiverSiteIds: [...one.receiverSiteIds],
              sites: one.sites.map(({ siteId, ...weight }) => ({ site: named(siteId), ...weight })),
            })),
            leftOut: decision.leftOut.map((one) => ({ ...one })),
          },
    enteredBy: production.enteredBy,
    enteredAt: production.enteredAt.toISOString(),
    rev: production.rev,
  };
}

function toInput({ container, ...body }: z.infer<typeof ProductionBody>): ProductionInput {
  return {
    ...body,
    containerName: container.name,
    containerValue: container.amount.value,
    containerUnit: container.amount.unit,
  };
}

/** /v1/central-productions: who makes a component for whom. */
export function productionsRoutes(service: ProductionsService): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['central production'];
    const access = ['lead', 'admin'] as const;

    app.get(
      '/central-productions',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'Components that a site makes for others, those of one’s own sites',
          response: { 200: ProductionList },
        },
      },
      async (request) => ({ items: (await service.list(actorOf(request))).map(toProductionBody) }),
    );

    app.get(
      '/central-productions/:productionId',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'One component that a site makes for others',
          params: ProductionParams,
          response: { 200: ProductionSchema },
        },
      },
      async (request, reply) => {
        const found = await service.get(actorOf(request), request.params.productionId);
        setRevision(reply, found.production.rev);
        return toProductionBody(found);
      },
    );

    app.get(
      '/central-productions/:productionId/decision/explanation',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'What a place that was worked out costs, from each site’s minutes up',
          params: ProductionParams,
          querystring: PlaceExplanationQuery,
          response: { 200: ExplanationSchema },
        },
      },
      async (request) => {
        const { productionId } = request.params;
        const { place } = request.query;
        return toExplanationBody(await service.explainPlace(actorOf(request), productionId, place));
      },
    );

    app.post(
      '/central-productions',
      {
        config: { access, idempotent: true },
        schema: {
          tags,
          summary: 'Have a component made at one site for others, or have it worked out where',
          body: ProductionBody,
          response: { 201: ProductionSchema },
        },
      },
      async (request, reply) => {
        const added = await service.add(actorOf(request), toInput(request.body));
        setRevision(reply, added.production.rev);
        return reply.code(201).send(toProductionBody(added));
      },
    );

    app.put(
      '/central-productions/:productionId',
      {
        config: { access },
        schema: {
          tags,
          summary: 'Change it from the next plan on; end it by the date before which it ends',
          params: ProductionParams,
          headers: IfMatchHeaders,
          body: ProductionBody,
          response: { 200: ProductionSchema },
        },
      },
      async (request, reply) => {
        const changed = await service.change(
          actorOf(request),
          request.params.productionId,
          revisionFrom(request),
          toInput(request.body),
        );
        setRevision(reply, changed.production.rev);
        return toProductionBody(changed);
      },
    );
  };
}
