import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { codeOfBase, convert } from '../../core/quantity/index.ts';
import { archiveRoutes } from '../../http/archive-routes.ts';
import { actorOf } from '../../http/access.ts';
import { IfMatchHeaders, revisionFrom, setRevision } from '../../http/etag.ts';
import { ExplanationSchema, toExplanationBody } from '../../http/explanation.ts';
import { invalid, orRefuse } from '../platform/index.ts';
import { toPar, toParOverride, toScored } from './par-levels-body.ts';
import type { ParInput, ParRule } from './par-levels.ports.ts';
import {
  ArchivedQuery,
  DatesQuery,
  ParBody,
  ParDateParams,
  ParList,
  ParOverrideBody,
  ParOverrideSchema,
  ParParams,
  ParSchema,
  ScoredOverrides,
  SiteParams,
} from './par-levels.schema.ts';
import type { ParLevelsServices } from './par-levels.services.ts';

/** Par levels of a site's dishes and components, and what people put in their place for a date. */
export function parLevelsRoutes({ pars, overrides }: ParLevelsServices): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['par levels'];
    const cooks = ['lead', 'admin', 'chef'] as const;

    const inputOf = async (body: z.infer<typeof ParBody>): Promise<ParInput> => {
      const { rule, fixed, serviceLevel, ...rest } = body;
      return { ...rest, rule: await ruleOf(rule, fixed, serviceLevel, body.recipeId) };
    };
    const ruleOf = async (
      rule: z.infer<typeof ParBody>['rule'],
      fixed: z.infer<typeof ParBody>['fixed'],
      serviceLevel: number | null,
      recipeId: string,
    ): Promise<ParRule> => {
      if ((rule === 'fixed') !== (fixed !== null)) {
        throw invalid('/fixed', rule === 'fixed' ? 'Say how much.' : 'No quantity with this rule.');
      }
      if ((rule === 'service_level') !== (serviceLevel !== null)) {
        const message =
          rule === 'service_level' ? 'Say how often it must last.' : 'No level with this rule.';
        throw invalid('/serviceLevel', message);
      }
      if (fixed !== null) {
        return { kind: 'fixed', quantity: await inBase(recipeId, fixed, '/fixed/unit') };
      }
      return serviceLevel === null
        ? { kind: 'margin_against_waste' }
        : { kind: 'service_level', level: serviceLevel };
    };
    const inBase = async (
      recipeId: string,
      { value, unit }: { value: number; unit: string },
      pointer: string,
    ): Promise<number> => {
      const baseUnit = await pars.baseUnitOf(recipeId);
      return orRefuse(convert(value, unit, codeOfBase(baseUnit)), pointer);
    };

    app.get(
      '/sites/:siteId/par-levels',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'The pars of a site, each with what it is expected to lead to',
          params: SiteParams,
          querystring: ArchivedQuery,
          response: { 200: ParList },
        },
      },
      async ({ params, query }) => {
        const found = await pars.list(params.siteId, query.archived === 'true');
        return { items: found.map(toPar) };
      },
    );

    app.post(
      '/sites/:siteId/par-levels',
      {
        config: { access: cooks, idempotent: true },
        schema: {
          tags,
          summary: 'Set a par for an item at a site',
          params: SiteParams,
          body: ParBody,
          response: { 201: ParSchema },
        },
      },
      async (request, reply) => {
        const input = await inputOf(request.body);
        const made = await pars.create(actorOf(request), request.params.siteId, input);
        setRevision(reply, made.par.rev);
        return reply
          .code(201)
          .header('location', `/v1/par-levels/${made.par.id}`)
          .send(toPar(made));
      },
    );

    app.get(
      '/par-levels/:parId',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'One par with what it comes to',
          params: ParParams,
          response: { 200: ParSchema },
        },
      },
      async (request, reply) => {
        const found = await pars.one(actorOf(request), request.params.parId);
        setRevision(reply, found.par.rev);
        return toPar(found);
      },
    );

    app.put(
      '/par-levels/:parId',
      {
        config: { access: cooks },
        schema: {
          tags,
          summary: 'Change a par',
          params: ParParams,
          headers: IfMatchHeaders,
          body: ParBody,
          response: { 200: ParSchema },
        },
      },
      async (request, reply) => {
        const { parId } = request.params;
        await pars.one(actorOf(request), parId);
        const input = await inputOf(request.body);
        const saved = await pars.update(actorOf(request), parId, revisionFrom(request), input);
        setRevision(reply, saved.par.rev);
        return toPar(saved);
      },
    );

    archiveRoutes(app, {
      at: '/par-levels/:parId',
      noun: 'a par',
      tags,
      access: cooks,
      params: ParParams,
      schema: ParSchema,
      set: async (actor, { parId }, rev, archived) => {
        const saved = await pars.setArchived(actor, parId, rev, archived);
        return { rev: saved.par.rev, body: toPar(saved) };
      },
    });

    app.get(
      '/par-levels/:parId/explanation',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'Why the par is what it is',
          params: ParParams,
          response: { 200: ExplanationSchema },
        },
      },
      async (request) =>
        toExplanationBody(await pars.explain(actorOf(request), request.params.parId)),
    );

    app.get(
      '/par-levels/:parId/overrides',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'Overrides between two dates, with what was sold on those gone by',
          params: ParParams,
          querystring: DatesQuery,
          response: { 200: ScoredOverrides },
        },
      },
      async (request) => {
        const { from, to } = request.query;
        const found = await overrides.list(actorOf(request), request.params.parId, from, to);
        return { items: found.map(toScored) };
      },
    );

    app.put(
      '/par-levels/:parId/overrides/:serviceDate',
      {
        config: { access: cooks },
        schema: {
          tags,
          summary: 'Put a quantity in place of a par on one date, with the reason',
          description:
            'Of a dish exactly so many portions are planned for that date; of a component at least so much.',
          params: ParDateParams,
          body: ParOverrideBody,
          response: { 200: ParOverrideSchema },
        },
      },
      async (request) => {
        const actor = actorOf(request);
        const { parId, serviceDate } = request.params;
        const { par, baseUnit } = await pars.one(actor, parId);
        const { quantity, reason } = request.body;
        const base = await inBase(par.recipeId, quantity, '/quantity/unit');
        const kept = await overrides.put(actor, parId, { serviceDate, quantity: base, reason });
        return toParOverride(kept, baseUnit);
      },
    );

    app.delete(
      '/par-levels/:parId/overrides/:serviceDate',
      {
        config: { access: cooks },
        schema: {
          tags,
          summary: 'Take an override back; it stays on record',
          params: ParDateParams,
          response: { 204: z.undefined() },
        },
      },
      async (request, reply) => {
        const { parId, serviceDate } = request.params;
        await overrides.remove(actorOf(request), parId, serviceDate);
        return reply.code(204).send();
      },
    );
  };
}
