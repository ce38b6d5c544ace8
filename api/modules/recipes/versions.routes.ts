import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import type { z } from 'zod';
import { formatAmount, type Amount } from '../../core/quantity/index.ts';
import { actorOf } from '../../http/access.ts';
import { IfMatchHeaders, revisionFrom, setRevision } from '../../http/etag.ts';
import type { RecipeVersion } from './recipes.ports.ts';
import { OnQuery, RecipeParams } from './recipes.schema.ts';
import type { RecipesService } from './recipes.service.ts';
import {
  DifferenceQuery,
  DifferenceSchema,
  VersionBody,
  VersionList,
  VersionParams,
  VersionSchema,
} from './versions.schema.ts';
import type { NamedVersion, VersionsService } from './versions.service.ts';

type Body = z.infer<typeof VersionSchema>;

/** The amount in a form that reads back as the same. */
function withText<T extends { readonly amount: Amount }>(weighed: T): T & { amountText: string } {
  return { ...weighed, amountText: formatAmount(weighed.amount) };
}

function toBody({ version, recipe, items }: NamedVersion): Body {
  const named = (id: string | null) => ({
    itemName: items.get(id ?? '')?.name ?? '',
    baseUnit: items.get(id ?? '')?.baseUnit ?? '',
  });
  return {
    ...version,
    output: withText(version.output),
    recipe: { ...recipe },
    cautions: [...version.cautions],
    lines: version.lines.map((line) => ({
      ...withText(line),
      yields: [...line.yields],
      siteMay: [...line.siteMay],
      ...named(line.ingredientId ?? line.componentId),
    })),
    steps: version.steps.map((step) => ({
      ...step,
      yields: [...step.yields],
      siteMay: [...step.siteMay],
    })),
    byProducts: version.byProducts.map((by) => ({ ...withText(by), ...named(by.componentId) })),
    createdAt: version.createdAt.toISOString(),
    submittedAt: version.submittedAt?.toISOString() ?? null,
    publishedAt: version.publishedAt?.toISOString() ?? null,
  };
}

/** /v1/recipe-versions and /v1/recipes/:recipeId/versions, from draft to service. */
export function versionsRoutes(
  service: VersionsService,
  recipes: RecipesService,
): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['recipes'];
    const editors = ['lead', 'admin'] as const;
    const one = async (version: RecipeVersion): Promise<Body> => {
      const [named] = await service.named([version]);
      if (!named) throw new Error(`The recipe of version ${version.id} is not there.`);
      return toBody(named);
    };

    app.get(
      '/recipes/:recipeId/versions',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'The versions of a recipe',
          params: RecipeParams,
          response: { 200: VersionList },
        },
      },
      async ({ params }) => {
        const versions = await recipes.versions(params.recipeId);
        return { items: (await service.named(versions)).map(toBody) };
      },
    );

    app.get(
      '/recipes/:recipeId/version',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'The version in force on a service date',
          params: RecipeParams,
          querystring: OnQuery,
          response: { 200: VersionSchema },
        },
      },
      async ({ params, query }) =>
        one(await recipes.versionOn(params.recipeId, query.on ?? recipes.today())),
    );

    app.post(
      '/recipes/:recipeId/versions',
      {
        config: { access: editors, idempotent: true },
        schema: {
          tags,
          summary: 'Begin a version as a draft',
          params: RecipeParams,
          body: VersionBody,
          response: { 201: VersionSchema },
        },
      },
      async (request, reply) => {
        const made = await service.createDraft(
          actorOf(request),
          request.params.recipeId,
          request.body,
        );
        setRevision(reply, made.rev);
        return reply
          .code(201)
          .header('location', `/v1/recipe-versions/${made.id}`)
          .send(await one(made));
      },
    );

    app.get(
      '/recipe-versions/:versionId',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'One version with lines and steps',
          params: VersionParams,
          response: { 200: VersionSchema },
        },
      },
      async (request, reply) => {
        const found = await service.get(request.params.versionId);
        setRevision(reply, found.rev);
        return one(found);
      },
    );

    app.put(
      '/recipe-versions/:versionId',
      {
        config: { access: editors },
        schema: {
          tags,
          summary: 'Change a draft',
          params: VersionParams,
          headers: IfMatchHeaders,
          body: VersionBody,
          response: { 200: VersionSchema },
        },
      },
      async (request, reply) => {
        const saved = await service.updateDraft(
          actorOf(request),
          request.params.versionId,
          revisionFrom(request),
          request.body,
        );
        setRevision(reply, saved.rev);
        return one(saved);
      },
    );

    app.post(
      '/recipe-versions/:versionId/copy',
      {
        config: { access: editors, idempotent: true },
        schema: {
          tags,
          summary: 'Begin a draft with the contents of this version',
          params: VersionParams,
          response: { 201: VersionSchema },
        },
      },
      async (request, reply) => {
        const made = await service.copyDraft(actorOf(request), request.params.versionId);
        setRevision(reply, made.rev);
        return reply
          .code(201)
          .header('location', `/v1/recipe-versions/${made.id}`)
          .send(await one(made));
      },
    );

    app.get(
      '/recipe-versions/:versionId/difference',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'What changes from an earlier version (the one before, unless named)',
          params: VersionParams,
          querystring: DifferenceQuery,
          response: { 200: DifferenceSchema },
        },
      },
      async ({ params, query }) => {
        const found = await service.difference(params.versionId, query.from);
        return { ...found, changes: [...found.changes] };
      },
    );
  };
}
