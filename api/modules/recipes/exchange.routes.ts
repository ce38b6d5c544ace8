import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { actorOf } from '../../http/access.ts';
import { DryRun } from '../../http/wire.ts';
import { invalid } from '../platform/index.ts';
import {
  ExchangeReportSchema,
  readableRecipe,
  RecipesFile,
  RecipesFileBody,
  SchemaOrgBody,
  SchemaOrgQuery,
} from './exchange.schema.ts';
import type { ExchangeReport } from './exchange.ports.ts';
import type { RecipesExchangeService } from './recipes-exchange.service.ts';
import { OnQuery } from './recipes.schema.ts';
import type { RecipesService } from './recipes.service.ts';
import { toSchemaOrg } from './schema-org.ts';
import { VersionParams } from './versions.schema.ts';
import type { VersionsService } from './versions.service.ts';

const MOST_BYTES = 16 * 1_048_576;

const toBody = (report: ExchangeReport) => ({
  ...report,
  recipes: [...report.recipes],
  problems: [...report.problems],
});

/** Recipes out of and into files: our own JSON, and schema.org Recipe as the open format. */
export function recipesExchangeRoutes(
  exchange: RecipesExchangeService,
  recipes: RecipesService,
  versions: VersionsService,
): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['recipes'];
    app.addContentTypeParser(
      'application/ld+json',
      { parseAs: 'string', bodyLimit: MOST_BYTES },
      app.getDefaultJsonParser('error', 'error'),
    );

    app.get(
      '/recipes/export',
      {
        config: { access: ['lead', 'admin'] },
        schema: {
          tags,
          summary: 'The recipes in force on a date as a file, items by name',
          querystring: OnQuery,
          response: { 200: RecipesFile },
        },
      },
      async ({ query }) => {
        const serviceDate = query.on ?? recipes.today();
        return {
          serviceDate,
          recipes: (await exchange.export(serviceDate)).map((recipe) => ({ ...recipe })),
        };
      },
    );

    app.post(
      '/recipes/import',
      {
        config: { access: ['lead', 'admin'], idempotent: true },
        bodyLimit: MOST_BYTES,
        schema: {
          tags,
          summary: 'Import recipes from a file as drafts, all or none',
          description:
            'Items are found by name. A recipe that is known gets a new draft where something differs. With dryRun=true nothing is changed and every problem is reported.',
          querystring: z.object({ dryRun: DryRun }),
          body: RecipesFileBody,
          response: { 200: ExchangeReportSchema },
        },
      },
      async (request) =>
        toBody(
          await exchange.import(
            actorOf(request),
            request.body.recipes,
            request.query.dryRun === 'true',
          ),
        ),
    );

    app.post(
      '/recipes/import/schema-org',
      {
        config: { access: ['lead', 'admin'], idempotent: true },
        bodyLimit: MOST_BYTES,
        schema: {
          tags,
          summary: 'Import a schema.org Recipe (JSON-LD) as a draft',
          consumes: ['application/ld+json', 'application/json'],
          querystring: SchemaOrgQuery,
          body: SchemaOrgBody,
          response: { 200: ExchangeReportSchema },
        },
      },
      async (request) => {
        const source = readableRecipe(request.body);
        if (!source) throw invalid('', 'There is no schema.org Recipe that can be read.');
        const { dryRun, ...settings } = request.query;
        return toBody(
          await exchange.importSchemaOrg(actorOf(request), source, settings, dryRun === 'true'),
        );
      },
    );

    app.get(
      '/recipe-versions/:versionId/schema-org',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'The version as a schema.org Recipe (JSON-LD)',
          params: VersionParams,
          produces: ['application/ld+json'],
          response: { 200: z.looseObject({ '@type': z.literal('Recipe') }) },
        },
      },
      async (request, reply) => {
        const [named] = await versions.named([await versions.get(request.params.versionId)]);
        if (!named) throw new Error(`The recipe of a version is not there.`);
        return reply.type('application/ld+json').send({ ...toSchemaOrg(named) });
      },
    );
  };
}
