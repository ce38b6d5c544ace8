import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { archiveRoutes } from '../../http/archive-routes.ts';
import { actorOf } from '../../http/access.ts';
import { IfMatchHeaders, revisionFrom, setRevision } from '../../http/etag.ts';
import { pageRequest, toPageBody } from '../../http/paging.ts';
import type { Recipe } from './recipes.ports.ts';
import {
  OnQuery,
  RecipeBody,
  RecipePage,
  RecipeParams,
  RecipeQuery,
  RecipeSchema,
  UsedInSchema,
} from './recipes.schema.ts';
import type { RecipesService } from './recipes.service.ts';

const toBody = (recipe: Recipe) => ({ ...recipe });
const toName = ({ id, name, kind }: Recipe) => ({ id, name, kind });

/** /v1/recipes. Their versions have routes of their own. */
export function recipesRoutes(service: RecipesService): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['recipes'];
    const editors = ['lead', 'admin'] as const;

    app.get(
      '/recipes',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'The recipes of the group',
          querystring: RecipeQuery,
          response: { 200: RecipePage },
        },
      },
      async ({ query }) => {
        const page = await service.list(pageRequest(query), {
          archived: query.archived === 'true',
          ...(query.kind === undefined ? {} : { kind: query.kind }),
          ...(query.search === undefined ? {} : { search: query.search }),
        });
        return toPageBody(page, toBody);
      },
    );

    app.post(
      '/recipes',
      {
        config: { access: editors, idempotent: true },
        schema: {
          tags,
          summary: 'Add a recipe; its lines are of its versions',
          body: RecipeBody,
          response: { 201: RecipeSchema },
        },
      },
      async (request, reply) => {
        const made = await service.create(actorOf(request), request.body);
        setRevision(reply, made.rev);
        return reply.code(201).header('location', `/v1/recipes/${made.id}`).send(toBody(made));
      },
    );

    app.get(
      '/recipes/:recipeId',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'One recipe',
          params: RecipeParams,
          response: { 200: RecipeSchema },
        },
      },
      async (request, reply) => {
        const found = await service.get(request.params.recipeId);
        setRevision(reply, found.rev);
        return toBody(found);
      },
    );

    app.put(
      '/recipes/:recipeId',
      {
        config: { access: editors },
        schema: {
          tags,
          summary: 'Change what holds for all versions of a recipe',
          params: RecipeParams,
          headers: IfMatchHeaders,
          body: RecipeBody,
          response: { 200: RecipeSchema },
        },
      },
      async (request, reply) => {
        const saved = await service.update(
          actorOf(request),
          request.params.recipeId,
          revisionFrom(request),
          request.body,
        );
        setRevision(reply, saved.rev);
        return toBody(saved);
      },
    );

    archiveRoutes(app, {
      at: '/recipes/:recipeId',
      noun: 'a recipe',
      tags,
      access: editors,
      params: RecipeParams,
      schema: RecipeSchema,
      set: async (actor, { recipeId }, rev, archived) => {
        const saved = await service.setArchived(actor, recipeId, rev, archived);
        return { rev: saved.rev, body: toBody(saved) };
      },
    });

    app.get(
      '/recipes/:recipeId/used-in',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'The recipes that use a recipe on a date, directly and through others',
          params: RecipeParams,
          querystring: OnQuery,
          response: { 200: UsedInSchema },
        },
      },
      async ({ params, query }) => {
        const serviceDate = query.on ?? service.today();
        const used = await service.usedIn(params.recipeId, serviceDate);
        return { serviceDate, direct: used.direct.map(toName), all: used.all.map(toName) };
      },
    );
  };
}
