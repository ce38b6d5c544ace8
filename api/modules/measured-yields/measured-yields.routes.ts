import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { actorOf } from '../../http/access.ts';
import { IfMatchHeaders, revisionFrom, setRevision } from '../../http/etag.ts';
import { PageQuery, pageRequest, toPageBody } from '../../http/paging.ts';
import {
  AcceptBody,
  AcceptedSchema,
  MeasuredYieldPage,
  MeasuredYieldSchema,
  ReasonBody,
  RecipeParams,
  RecipeYieldsSchema,
  SampleParams,
  SiteParams,
  WeighingBody,
} from './measured-yields.schema.ts';
import type { MeasuredYieldRow } from './measured-yields.ports.ts';
import type { MeasuredYieldsService, RecipeYields } from './measured-yields.service.ts';

function toBody({ recordedBy: _, before, after, unit, ...row }: MeasuredYieldRow) {
  return {
    ...row,
    before: { value: before, unit },
    after: { value: after, unit },
    fraction: after / before,
    recordedAt: row.recordedAt.toISOString(),
    decidedAt: row.decidedAt?.toISOString() ?? null,
  };
}

function toYieldsBody({ recipe, working, summaries }: RecipeYields) {
  const spread = <T extends { readonly interval95: readonly [number, number] | null }>(of: T) => ({
    ...of,
    interval95: of.interval95 && [...of.interval95],
  });
  return {
    recipeId: recipe.id,
    recipeName: recipe.name,
    workingVersion: working && { id: working.id, number: working.number, status: working.status },
    weighed: summaries.map((summary) => ({
      ...summary,
      spread: summary.spread && spread(summary.spread),
      sites: summary.sites.map(spread),
      proposal: summary.proposal && {
        ...summary.proposal,
        change: summary.proposal.change ?? null,
        clearlyDifferent: summary.proposal.clearlyDifferent ?? null,
      },
      samples: summary.samples.map(({ row, outlier }) => ({ ...toBody(row), outlier })),
    })),
  };
}

/** Weighings of test days: /v1/sites/:siteId/measured-yields, /v1/recipes/:recipeId/measured-yields. */
export function measuredYieldsRoutes(service: MeasuredYieldsService): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['measured yields'];
    const cooks = ['chef', 'lead', 'admin'] as const;
    const leads = ['lead', 'admin'] as const;

    app.get(
      '/sites/:siteId/measured-yields',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'What a site has weighed, newest first',
          params: SiteParams,
          querystring: PageQuery,
          response: { 200: MeasuredYieldPage },
        },
      },
      async (request) =>
        toPageBody(
          await service.ofSite(actorOf(request), request.params.siteId, pageRequest(request.query)),
          toBody,
        ),
    );

    app.post(
      '/sites/:siteId/measured-yields',
      {
        config: { access: cooks, idempotent: true },
        schema: {
          tags,
          summary: 'Record a weighing of a test day',
          params: SiteParams,
          body: WeighingBody,
          response: { 201: MeasuredYieldSchema },
        },
      },
      async (request, reply) => {
        const made = await service.record(actorOf(request), request.params.siteId, request.body);
        setRevision(reply, made.rev);
        return reply
          .code(201)
          .header('location', `/v1/measured-yields/${made.id}`)
          .send(toBody(made));
      },
    );

    app.get(
      '/measured-yields/:sampleId',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'One weighing of a test day',
          params: SampleParams,
          response: { 200: MeasuredYieldSchema },
        },
      },
      async (request, reply) => {
        const found = await service.get(actorOf(request), request.params.sampleId);
        setRevision(reply, found.rev);
        return toBody(found);
      },
    );

    for (const [action, access, summary] of [
      ['withdraw', cooks, 'Take back a weighing of one’s own; it is kept with the reason'],
      ['reject', leads, 'Leave a weighing out; it is kept with the reason'],
    ] as const) {
      app.post(
        `/measured-yields/:sampleId/${action}`,
        {
          config: { access },
          schema: {
            tags,
            summary,
            params: SampleParams,
            headers: IfMatchHeaders,
            body: ReasonBody,
            response: { 200: MeasuredYieldSchema },
          },
        },
        async (request, reply) => {
          const saved = await service[action](
            actorOf(request),
            request.params.sampleId,
            revisionFrom(request),
            request.body.reason,
          );
          setRevision(reply, saved.rev);
          return toBody(saved);
        },
      );
    }

    app.get(
      '/recipes/:recipeId/measured-yields',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'What has been weighed of a recipe, with mean, spread and what it proposes',
          params: RecipeParams,
          response: { 200: RecipeYieldsSchema },
        },
      },
      async (request) =>
        toYieldsBody(await service.ofRecipe(actorOf(request), request.params.recipeId)),
    );

    app.post(
      '/recipes/:recipeId/measured-yields/accept',
      {
        config: { access: leads, idempotent: true },
        schema: {
          tags,
          summary: 'Take a measured yield up as the standard, in the open draft or a new one',
          params: RecipeParams,
          body: AcceptBody,
          response: { 201: AcceptedSchema },
        },
      },
      async (request, reply) => {
        const { recipeId } = request.params;
        const { targetKey, kind, proposedFraction } = request.body;
        const { version, summary, fraction, outputBefore } = await service.accept(
          actorOf(request),
          recipeId,
          { targetKey, kind },
          proposedFraction,
        );
        return reply.code(201).header('location', `/v1/recipe-versions/${version.id}`).send({
          recipeId,
          versionId: version.id,
          versionNumber: version.number,
          versionStatus: version.status,
          label: summary.label,
          kind: summary.kind,
          from: summary.currentFraction,
          to: fraction,
          outputBefore,
          outputAfter: version.output.quantity,
        });
      },
    );
  };
}
