import type { FastifyReply } from 'fastify';
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { actorOf } from '../../http/access.ts';
import { Refusal } from '../platform/index.ts';
import type { WhoIsSignedIn } from './access.ports.ts';
import { PasswordChangeBody, SessionSchema, SignInBody } from './access.schema.ts';
import { SESSION_COOKIE, sessionSecretOf } from './authenticate.ts';
import { SESSION_ABSOLUTE_MS, type BegunSession, type SessionService } from './session.service.ts';

function toSession({ actor, email, csrfToken, expiresAt, sites }: WhoIsSignedIn) {
  return {
    user: { id: actor.id, kind: actor.kind, name: actor.name, email },
    role: actor.role,
    scope: actor.siteIds === 'all' ? ('all-sites' as const) : ('own-sites' as const),
    sites: [...sites],
    csrfToken,
    expiresAt: expiresAt?.toISOString() ?? null,
  };
}

/** Tells a caller that was slowed down when to come again. */
export async function withRetryAfter<T>(reply: FastifyReply, work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    if (error instanceof Refusal && typeof error.detail.retryAfterSeconds === 'number') {
      reply.header('retry-after', String(error.detail.retryAfterSeconds));
    }
    throw error;
  }
}

/** Signing in, who is signed in, signing out, one's own password. */
export function sessionRoutes(sessions: SessionService): FastifyPluginAsyncZod {
  const cookie = () =>
    ({
      path: '/',
      httpOnly: true,
      sameSite: 'strict',
      secure: sessions.secureCookies,
    }) as const;
  const setCookie = (reply: FastifyReply, begun: BegunSession) =>
    reply
      .header('cache-control', 'no-store')
      .setCookie(SESSION_COOKIE, begun.secret, { ...cookie(), maxAge: SESSION_ABSOLUTE_MS / 1000 });

  return async (app) => {
    const tags = ['access'];

    app.post(
      '/session',
      {
        config: { access: 'public' },
        schema: {
          tags,
          summary: 'Sign in',
          body: SignInBody,
          response: { 201: SessionSchema },
        },
      },
      async (request, reply) => {
        const begun = await withRetryAfter(reply, () =>
          sessions.signIn({
            ...request.body,
            address: request.ip,
            earlierSecret: sessionSecretOf(request),
          }),
        );
        setCookie(reply, begun);
        return reply.code(201).send(toSession(begun.who));
      },
    );

    app.get(
      '/session',
      {
        config: { access: 'signed-in' },
        schema: { tags, summary: 'Who is signed in', response: { 200: SessionSchema } },
      },
      async (request, reply) => {
        reply.header('cache-control', 'no-store');
        const byCookie = request.headers.authorization === undefined;
        const secret = byCookie ? sessionSecretOf(request) : null;
        return toSession(await sessions.who(actorOf(request), secret));
      },
    );

    app.delete(
      '/session',
      {
        config: { access: 'signed-in' },
        schema: { tags, summary: 'Sign out', response: { 204: z.undefined() } },
      },
      async (request, reply) => {
        await sessions.signOut(actorOf(request), sessionSecretOf(request));
        return reply.clearCookie(SESSION_COOKIE, cookie()).code(204).send();
      },
    );

    app.put(
      '/session/password',
      {
        config: { access: 'signed-in' },
        schema: {
          tags,
          summary: 'Change your own password; every other session of yours ends',
          body: PasswordChangeBody,
          response: { 200: SessionSchema },
        },
      },
      async (request, reply) => {
        const begun = await withRetryAfter(reply, () =>
          sessions.changePassword(actorOf(request), { ...request.body, address: request.ip }),
        );
        setCookie(reply, begun);
        return toSession(begun.who);
      },
    );
  };
}
