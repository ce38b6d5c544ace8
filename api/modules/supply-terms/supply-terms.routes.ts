import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { actorOf } from '../../http/access.ts';
import { IfMatchHeaders, revisionFrom, setRevision } from '../../http/etag.ts';
import type { ContractsService } from './contracts.service.ts';
import type { GapsService } from './gaps.service.ts';
import type { SubstitutesService } from './substitutes.service.ts';
import type { Contract, Substitute, SupplyGap } from './supply-terms.ports.ts';
import {
  ContractParams,
  GapParams,
  IngredientParams,
  SubstituteBody,
  SubstituteList,
  SubstituteParams,
  SupplierParams,
  SupplyContractBody,
  SupplyContractList,
  SupplyContractQuery,
  SupplyContractSchema,
  SupplyGapBody,
  SupplyGapList,
  SupplyGapQuery,
  SupplyGapSchema,
} from './supply-terms.schema.ts';

/** Names beside the ids of supply terms. */
export interface TermNames {
  name(id: string): string;
}

export interface SupplyTermsServices {
  readonly gaps: GapsService;
  readonly contracts: ContractsService;
  readonly substitutes: SubstitutesService;
  names(): Promise<TermNames>;
  /** Of packs and ingredients. */
  goodsNames(): Promise<TermNames>;
}

const contractBody = (contract: Contract, names: TermNames) => {
  const { siteId, supplierId, ingredientId, ...rest } = contract;
  const named = (id: string) => ({ id, name: names.name(id) });
  return {
    ...rest,
    site: named(siteId),
    supplier: named(supplierId),
    ingredient: ingredientId === null ? null : named(ingredientId),
  };
};

const gapBody = (gap: SupplyGap, names: TermNames) => {
  const goods = gap.packId ?? gap.ingredientId;
  return { ...gap, name: goods === null ? null : names.name(goods) };
};

const substitutesBody = (items: readonly Substitute[], names: TermNames) => ({
  items: items.map(({ substituteId, ratio, note, enteredBy }) => ({
    substitute: { id: substituteId, name: names.name(substituteId) },
    ratio,
    note,
    enteredBy,
  })),
});

/** What suppliers cannot give, contracts that bind sites, and what may stand in for what. */
export function supplyTermsRoutes(services: SupplyTermsServices): FastifyPluginAsyncZod {
  const { gaps, contracts, substitutes } = services;
  return async (app) => {
    const tags = ['supply terms'];
    const buyers = ['purchasing', 'lead', 'admin'] as const;
    const leads = ['lead', 'admin'] as const;

    app.get(
      '/supply-gaps',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'What suppliers cannot give, and when',
          querystring: SupplyGapQuery,
          response: { 200: SupplyGapList },
        },
      },
      async ({ query: { supplierId, from } }) => {
        const found = await gaps.list({
          ...(supplierId === undefined ? {} : { supplierId }),
          ...(from === undefined ? {} : { from }),
        });
        const names = await services.goodsNames();
        return { items: found.map((gap) => gapBody(gap, names)) };
      },
    );

    app.post(
      '/suppliers/:supplierId/gaps',
      {
        config: { access: buyers, idempotent: true },
        schema: {
          tags,
          summary: 'Say on which delivery dates a supplier cannot give something',
          params: SupplierParams,
          body: SupplyGapBody,
          response: { 201: SupplyGapSchema },
        },
      },
      async (request, reply) => {
        const { supplierId } = request.params;
        const gap = await gaps.add(actorOf(request), supplierId, request.body);
        setRevision(reply, gap.rev);
        return reply.code(201).send(gapBody(gap, await services.goodsNames()));
      },
    );

    app.put(
      '/supply-gaps/:gapId',
      {
        config: { access: buyers },
        schema: {
          tags,
          summary: 'Change what a supplier cannot give',
          params: GapParams,
          headers: IfMatchHeaders,
          body: SupplyGapBody,
          response: { 200: SupplyGapSchema },
        },
      },
      async (request, reply) => {
        const { gapId } = request.params;
        const gap = await gaps.change(actorOf(request), gapId, revisionFrom(request), request.body);
        setRevision(reply, gap.rev);
        return gapBody(gap, await services.goodsNames());
      },
    );

    app.delete(
      '/supply-gaps/:gapId',
      {
        config: { access: buyers },
        schema: {
          tags,
          summary: 'Take back what a supplier cannot give',
          params: GapParams,
          response: { 204: z.undefined() },
        },
      },
      async (request, reply) => {
        await gaps.remove(actorOf(request), request.params.gapId);
        return reply.code(204).send();
      },
    );

    app.get(
      '/supply-contracts',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'Where sites are bound to buy',
          querystring: SupplyContractQuery,
          response: { 200: SupplyContractList },
        },
      },
      async (request) => {
        const { siteId, supplierId } = request.query;
        const found = await contracts.list(actorOf(request), {
          ...(siteId === undefined ? {} : { siteId }),
          ...(supplierId === undefined ? {} : { supplierId }),
        });
        const names = await services.names();
        return { items: found.map((contract) => contractBody(contract, names)) };
      },
    );

    app.post(
      '/supply-contracts',
      {
        config: { access: buyers, idempotent: true },
        schema: {
          tags,
          summary: 'Bind a site to a supplier, for an ingredient, a category or everything',
          body: SupplyContractBody,
          response: { 201: SupplyContractSchema },
        },
      },
      async (request, reply) => {
        const contract = await contracts.add(actorOf(request), request.body);
        setRevision(reply, contract.rev);
        return reply.code(201).send(contractBody(contract, await services.names()));
      },
    );

    app.put(
      '/supply-contracts/:contractId',
      {
        config: { access: buyers },
        schema: {
          tags,
          summary: 'Change where a site is bound to buy',
          params: ContractParams,
          headers: IfMatchHeaders,
          body: SupplyContractBody,
          response: { 200: SupplyContractSchema },
        },
      },
      async (request, reply) => {
        const { contractId } = request.params;
        const rev = revisionFrom(request);
        const contract = await contracts.change(actorOf(request), contractId, rev, request.body);
        setRevision(reply, contract.rev);
        return contractBody(contract, await services.names());
      },
    );

    app.delete(
      '/supply-contracts/:contractId',
      {
        config: { access: buyers },
        schema: {
          tags,
          summary: 'Take a contract off',
          params: ContractParams,
          response: { 204: z.undefined() },
        },
      },
      async (request, reply) => {
        await contracts.remove(actorOf(request), request.params.contractId);
        return reply.code(204).send();
      },
    );

    app.get(
      '/ingredients/:ingredientId/substitutes',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'What may stand in for an ingredient',
          params: IngredientParams,
          response: { 200: SubstituteList },
        },
      },
      async ({ params }) =>
        substitutesBody(await substitutes.of(params.ingredientId), await services.names()),
    );

    app.put(
      '/ingredients/:ingredientId/substitutes/:substituteId',
      {
        config: { access: leads },
        schema: {
          tags,
          summary: 'Say that one ingredient may stand in for another, and how much of it',
          params: SubstituteParams,
          body: SubstituteBody,
          response: { 200: SubstituteList },
        },
      },
      async (request) => {
        const { ingredientId, substituteId } = request.params;
        const saved = await substitutes.put(
          actorOf(request),
          ingredientId,
          substituteId,
          request.body,
        );
        return substitutesBody(saved, await services.names());
      },
    );

    app.delete(
      '/ingredients/:ingredientId/substitutes/:substituteId',
      {
        config: { access: leads },
        schema: {
          tags,
          summary: 'Say that an ingredient no longer stands in for another',
          params: SubstituteParams,
          response: { 204: z.undefined() },
        },
      },
      async (request, reply) => {
        const { ingredientId, substituteId } = request.params;
        await substitutes.remove(actorOf(request), ingredientId, substituteId);
        return reply.code(204).send();
      },
    );
  };
}
