import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { actorOf } from '../../http/access.ts';
import { PageQuery, pageRequest, toPageBody } from '../../http/paging.ts';
import type { ApiToken } from './access.ports.ts';
import {
  ApiTokenBody,
  ApiTokenPage,
  ApiTokenSchema,
  AuditPage,
  AuditQuery,
  NewApiToken,
  SetupBody,
  SetupState,
} from './access.schema.ts';
import type { AccessServices } from './access.services.ts';
import { sessionRoutes, withRetryAfter } from './session.routes.ts';
import { userRoutes } from './user.routes.ts';

const scopeBody = (siteIds: 'all' | readonly string[]) =>
  siteIds === 'all' ? siteIds : [...siteIds];

function toToken(token: ApiToken) {
  return {
    id: token.id,
    name: token.name,
    role: token.role,
    siteIds: scopeBody(token.siteIds),
    createdBy: token.createdBy,
    createdAt: token.createdAt.toISOString(),
    expiresAt: token.expiresAt.toISOString(),
    revokedAt: token.revokedAt?.toISOString() ?? null,
    lastUsedAt: token.lastUsedAt?.toISOString() ?? null,
  };
}

/** /v1/session, /v1/setup, /v1/users, /v1/api-tokens, /v1/audit. */
export function accessRoutes(access: AccessServices): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['access'];
    await app.register(sessionRoutes(access.sessions));
    await app.register(userRoutes(access.users));

    app.get(
      '/setup',
      {
        config: { access: 'public' },
        schema: {
          tags,
          summary: 'Whether the first person is still to be made',
          response: { 200: SetupState },
        },
      },
      async () => ({
        needed: await access.setup.needed(),
        groupName: await access.setup.groupName(),
      }),
    );

    app.post(
      '/setup',
      {
        config: { access: 'public' },
        schema: {
          tags,
          summary: 'Make the first person, with the code the service printed when it started',
          body: SetupBody,
          response: { 201: SetupState },
        },
      },
      async (request, reply) => {
        await withRetryAfter(reply, () => access.setup.setUp(request.body, request.ip));
        return reply.code(201).send({ needed: false, groupName: request.body.groupName });
      },
    );

    app.get(
      '/api-tokens',
      {
        config: { access: ['lead', 'admin'] },
        schema: {
          tags,
          summary: 'The tokens of programs, without what they are',
          querystring: PageQuery,
          response: { 200: ApiTokenPage },
        },
      },
      async (request) => toPageBody(await access.tokens.list(pageRequest(request.query)), toToken),
    );

    // Not replayed by Idempotency-Key: the kept answer would hold the secret.
    app.post(
      '/api-tokens',
      {
        config: { access: ['lead', 'admin'] },
        schema: {
          tags,
          summary: 'Make a key for a machine; its secret is shown once',
          body: ApiTokenBody,
          response: { 201: NewApiToken },
        },
      },
      async (request, reply) => {
        const { expiresAt, ...rest } = request.body;
        const { token, secret } = await access.tokens.create(actorOf(request), {
          ...rest,
          expiresAt: expiresAt === null ? null : new Date(expiresAt),
        });
        return reply
          .code(201)
          .header('cache-control', 'no-store')
          .send({ ...toToken(token), secret });
      },
    );

    app.delete(
      '/api-tokens/:tokenId',
      {
        config: { access: ['lead', 'admin'] },
        schema: {
          tags,
          summary: 'End a key at once',
          params: z.object({ tokenId: z.string() }),
          response: { 200: ApiTokenSchema },
        },
      },
      async (request) =>
        toToken(await access.tokens.revoke(actorOf(request), request.params.tokenId)),
    );

    app.get(
      '/audit',
      {
        config: { access: ['lead', 'admin'] },
        schema: {
          tags,
          summary: 'Who did what, newest first',
          querystring: PageQuery.extend(AuditQuery.shape),
          response: { 200: AuditPage },
        },
      },
      async (request) => {
        const { subjectKind, subjectId, actorId, site } = request.query;
        const page = await access.audit.list(pageRequest(request.query), {
          ...(subjectKind === undefined ? {} : { subjectKind }),
          ...(subjectId === undefined ? {} : { subjectId }),
          ...(actorId === undefined ? {} : { actorId }),
          ...(site === undefined ? {} : { siteId: site }),
        });
        return toPageBody(page, ({ at, detail, ...line }) => ({
          ...line,
          at: at.toISOString(),
          detail: detail === null ? null : { ...detail },
        }));
      },
    );
  };
}
