import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { actorOf } from '../../http/access.ts';
import { IfMatchHeaders, revisionFrom, setRevision } from '../../http/etag.ts';
import {
  EndBody,
  OnQuery,
  OverrideBody,
  OverrideList,
  OverrideParams,
  OverrideSchema,
  RecipeParams,
  RefuseBody,
  SiteParams,
} from './site-overrides.schema.ts';
import type { SiteOverridesService, TellingOverride } from './site-overrides.service.ts';

function toBody({ override, recipe, words, holds, notHolding }: TellingOverride) {
  return {
    ...override,
    recipeName: recipe.name,
    text: words,
    allergens: [...override.allergens],
    addsAllergens: [...override.allergens],
    holds,
    notHolding,
    enteredAt: override.enteredAt.toISOString(),
    confirmedAt: override.confirmedAt?.toISOString() ?? null,
  };
}

/** What sites do otherwise: /v1/sites/:siteId/recipe-overrides and /v1/recipe-overrides. */
export function siteOverridesRoutes(service: SiteOverridesService): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['site overrides'];
    const cooks = ['chef', 'lead', 'admin'] as const;

    app.get(
      '/sites/:siteId/recipe-overrides',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'What a site does otherwise than the group’s recipes, newest first',
          params: SiteParams,
          querystring: OnQuery,
          response: { 200: OverrideList },
        },
      },
      async (request) => {
        const date = request.query.on ?? service.today();
        const found = await service.ofSite(actorOf(request), request.params.siteId, date);
        return { items: found.map(toBody) };
      },
    );

    app.post(
      '/sites/:siteId/recipe-overrides',
      {
        config: { access: cooks, idempotent: true },
        schema: {
          tags,
          summary: 'Do something otherwise, where the recipe lets a site',
          description: 'One that adds an allergen waits until somebody else has confirmed it.',
          params: SiteParams,
          body: OverrideBody,
          response: { 201: OverrideSchema },
        },
      },
      async (request, reply) => {
        const made = await service.enter(actorOf(request), request.params.siteId, request.body);
        setRevision(reply, made.override.rev);
        return reply
          .code(201)
          .header('location', `/v1/recipe-overrides/${made.override.id}`)
          .send(toBody(made));
      },
    );

    app.get(
      '/recipes/:recipeId/site-overrides',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'What sites do otherwise than this recipe',
          params: RecipeParams,
          querystring: OnQuery,
          response: { 200: OverrideList },
        },
      },
      async (request) => {
        const date = request.query.on ?? service.today();
        const found = await service.ofRecipe(actorOf(request), request.params.recipeId, date);
        return { items: found.map(toBody) };
      },
    );

    app.get(
      '/recipe-overrides/:overrideId',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'What one site does otherwise',
          params: OverrideParams,
          querystring: OnQuery,
          response: { 200: OverrideSchema },
        },
      },
      async (request, reply) => {
        const date = request.query.on ?? service.today();
        const found = await service.get(actorOf(request), request.params.overrideId, date);
        setRevision(reply, found.override.rev);
        return toBody(found);
      },
    );

    const move = {
      tags,
      params: OverrideParams,
      headers: IfMatchHeaders,
      response: { 200: OverrideSchema },
    };
    app.post(
      '/recipe-overrides/:overrideId/confirm',
      {
        config: { access: cooks },
        schema: { ...move, summary: 'Confirm the allergens somebody else’s override adds' },
      },
      async (request, reply) => {
        const { overrideId } = request.params;
        const saved = await service.confirm(actorOf(request), overrideId, revisionFrom(request));
        setRevision(reply, saved.override.rev);
        return toBody(saved);
      },
    );

    app.post(
      '/recipe-overrides/:overrideId/refuse',
      {
        config: { access: cooks },
        schema: { ...move, summary: 'Turn a waiting override down', body: RefuseBody },
      },
      async (request, reply) => {
        const saved = await service.refuse(
          actorOf(request),
          request.params.overrideId,
          revisionFrom(request),
          request.body.reason,
        );
        setRevision(reply, saved.override.rev);
        return toBody(saved);
      },
    );

    app.post(
      '/recipe-overrides/:overrideId/end',
      {
        config: { access: cooks },
        schema: { ...move, summary: 'Go back to the group’s recipe from a date on', body: EndBody },
      },
      async (request, reply) => {
        const saved = await service.end(
          actorOf(request),
          request.params.overrideId,
          revisionFrom(request),
          request.body,
        );
        setRevision(reply, saved.override.rev);
        return toBody(saved);
      },
    );
  };
}
