import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { archiveRoutes } from '../../http/archive-routes.ts';
import { actorOf } from '../../http/access.ts';
import { IfMatchHeaders, revisionFrom, setRevision } from '../../http/etag.ts';
import { pageRequest, toPageBody } from '../../http/paging.ts';
import type { Ingredient } from './ingredients.ports.ts';
import {
  IngredientBody,
  IngredientList,
  IngredientPage,
  IngredientParams,
  IngredientQuery,
  IngredientSchema,
  IngredientUseList,
} from './ingredients.schema.ts';
import type { IngredientsService } from './ingredients.service.ts';

const toBody = (ingredient: Ingredient) => ({
  ...ingredient,
  measures: [...ingredient.measures],
  seasonMonths: [...ingredient.seasonMonths],
  allergens: ingredient.allergens && {
    ...ingredient.allergens,
    contains: [...ingredient.allergens.contains],
    mayContain: [...ingredient.allergens.mayContain],
  },
});

/** /v1/ingredients. */
export function ingredientsRoutes(service: IngredientsService): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['ingredients'];
    const editors = ['lead', 'admin'] as const;

    app.get(
      '/ingredients',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'The ingredients of the group',
          querystring: IngredientQuery,
          response: { 200: IngredientPage },
        },
      },
      async ({ query }) => {
        const page = await service.list(pageRequest(query), {
          archived: query.archived === 'true',
          ...(query.search === undefined ? {} : { search: query.search }),
        });
        return toPageBody(page, toBody);
      },
    );

    app.post(
      '/ingredients',
      {
        config: { access: editors, idempotent: true },
        schema: {
          tags,
          summary: 'Add an ingredient',
          body: IngredientBody,
          response: { 201: IngredientSchema },
        },
      },
      async (request, reply) => {
        const made = await service.create(actorOf(request), request.body);
        setRevision(reply, made.rev);
        return reply.code(201).header('location', `/v1/ingredients/${made.id}`).send(toBody(made));
      },
    );

    app.get(
      '/ingredients/:ingredientId',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'One ingredient',
          params: IngredientParams,
          response: { 200: IngredientSchema },
        },
      },
      async (request, reply) => {
        const found = await service.get(request.params.ingredientId);
        setRevision(reply, found.rev);
        return toBody(found);
      },
    );

    app.put(
      '/ingredients/:ingredientId',
      {
        config: { access: editors },
        schema: {
          tags,
          summary: 'Change an ingredient',
          params: IngredientParams,
          headers: IfMatchHeaders,
          body: IngredientBody,
          response: { 200: IngredientSchema },
        },
      },
      async (request, reply) => {
        const saved = await service.update(
          actorOf(request),
          request.params.ingredientId,
          revisionFrom(request),
          request.body,
        );
        setRevision(reply, saved.rev);
        return toBody(saved);
      },
    );

    archiveRoutes(app, {
      at: '/ingredients/:ingredientId',
      noun: 'an ingredient',
      tags,
      access: editors,
      params: IngredientParams,
      schema: IngredientSchema,
      set: async (actor, { ingredientId }, rev, archived) => {
        const saved = await service.setArchived(actor, ingredientId, rev, archived);
        return { rev: saved.rev, body: toBody(saved) };
      },
    });

    app.get(
      '/ingredients/:ingredientId/parts',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'The parts that a whole piece comes apart into',
          params: IngredientParams,
          response: { 200: IngredientList },
        },
      },
      async ({ params }) => ({ items: (await service.parts(params.ingredientId)).map(toBody) }),
    );

    app.get(
      '/ingredients/:ingredientId/used-in',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'The recipe versions that use an ingredient, newest first',
          params: IngredientParams,
          response: { 200: IngredientUseList },
        },
      },
      async ({ params }) => ({ items: [...(await service.usedIn(params.ingredientId))] }),
    );
  };
}
