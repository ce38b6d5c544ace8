import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { actorOf } from '../../http/access.ts';
import { IfMatchHeaders, revisionFrom, setRevision } from '../../http/etag.ts';
import type { RecipeVersion } from './recipes.ports.ts';
import { PublishBody, VersionParams, WithdrawBody } from './versions.schema.ts';
import type { VersionsService } from './versions.service.ts';

/** Where a version stands after a move. */
const StandingSchema = z
  .object({
    id: z.string(),
    recipeId: z.string(),
    number: z.number().int(),
    status: z.enum(['draft', 'in_review', 'published', 'withdrawn']),
    firstServiceDate: z.string().nullable(),
    withdrawnFrom: z.string().nullable(),
    rev: z.number().int(),
  })
  .meta({ id: 'RecipeVersionStanding' });

const toStanding = ({
  id,
  recipeId,
  number,
  status,
  firstServiceDate,
  withdrawnFrom,
  rev,
}: RecipeVersion) => ({ id, recipeId, number, status, firstServiceDate, withdrawnFrom, rev });

/** Submit, send back, publish, withdraw and throw away versions. */
export function versionMovesRoutes(service: VersionsService): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['recipes'];
    const config = { access: ['lead', 'admin'] as const };
    const schema = {
      tags,
      params: VersionParams,
      headers: IfMatchHeaders,
      response: { 200: StandingSchema },
    };

    app.post(
      '/recipe-versions/:versionId/submit',
      { config, schema: { ...schema, summary: 'Send a draft for review' } },
      async (request, reply) => {
        const { versionId } = request.params;
        const saved = await service.submit(actorOf(request), versionId, revisionFrom(request));
        setRevision(reply, saved.rev);
        return toStanding(saved);
      },
    );

    app.post(
      '/recipe-versions/:versionId/send-back',
      { config, schema: { ...schema, summary: 'Back from review to draft' } },
      async (request, reply) => {
        const { versionId } = request.params;
        const saved = await service.sendBack(actorOf(request), versionId, revisionFrom(request));
        setRevision(reply, saved.rev);
        return toStanding(saved);
      },
    );

    app.post(
      '/recipe-versions/:versionId/publish',
      {
        config,
        schema: {
          ...schema,
          summary: 'Publish from a first service date',
          description:
            'A version that adds an allergen to a published dish must be published by somebody other than who submitted it.',
          body: PublishBody,
        },
      },
      async (request, reply) => {
        const saved = await service.publish(
          actorOf(request),
          request.params.versionId,
          revisionFrom(request),
          request.body.firstServiceDate,
        );
        setRevision(reply, saved.rev);
        return toStanding(saved);
      },
    );

    app.post(
      '/recipe-versions/:versionId/withdraw',
      {
        config,
        schema: {
          ...schema,
          summary: 'Take a published version out of force from today on',
          body: WithdrawBody,
        },
      },
      async (request, reply) => {
        const saved = await service.withdraw(
          actorOf(request),
          request.params.versionId,
          revisionFrom(request),
          request.body.reason,
        );
        setRevision(reply, saved.rev);
        return toStanding(saved);
      },
    );

    app.delete(
      '/recipe-versions/:versionId',
      {
        config,
        schema: {
          tags,
          summary: 'Throw a draft away',
          params: VersionParams,
          headers: IfMatchHeaders,
          response: { 204: z.undefined() },
        },
      },
      async (request, reply) => {
        const { versionId } = request.params;
        await service.deleteDraft(actorOf(request), versionId, revisionFrom(request));
        return reply.code(204).send();
      },
    );
  };
}
