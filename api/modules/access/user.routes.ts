import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { archiveRoutes } from '../../http/archive-routes.ts';
import { actorOf } from '../../http/access.ts';
import { IfMatchHeaders, revisionFrom, setRevision } from '../../http/etag.ts';
import { PageQuery, pageRequest, toPageBody } from '../../http/paging.ts';
import { WithArchived } from '../../http/wire.ts';
import type { User } from './access.ports.ts';
import { NewPasswordBody, NewUserBody, UserBody, UserPage, UserSchema } from './access.schema.ts';
import type { Actor } from '../platform/index.ts';
import { rolesInCareOf, type UserService } from './user.service.ts';

const UserParams = z.object({ userId: z.string() });
const toUser = (user: User, actor: Actor) => ({
  id: user.id,
  email: user.email,
  name: user.name,
  role: user.role,
  siteIds: user.siteIds === 'all' ? ('all' as const) : [...user.siteIds],
  archived: user.archived,
  inYourCare: rolesInCareOf(actor).includes(user.role),
  rev: user.rev,
});

/** /v1/users: admins look after everybody, a lead after chefs. */
export function userRoutes(users: UserService): FastifyPluginAsyncZod {
  return async (app) => {
    const tags = ['access'];
    const config = { access: ['lead', 'admin'] } as const;

    app.get(
      '/users',
      {
        config,
        schema: {
          tags,
          summary: 'The people who may sign in',
          querystring: PageQuery.extend({
            archived: WithArchived,
          }),
          response: { 200: UserPage },
        },
      },
      async (request) => ({
        ...toPageBody(
          await users.list(pageRequest(request.query), request.query.archived === 'true'),
          (user) => toUser(user, actorOf(request)),
        ),
        rolesToGive: [...rolesInCareOf(actorOf(request))],
      }),
    );

    // Not replayed by Idempotency-Key: the kept hash of the request would help to guess the
    // password. A repeat is refused by the email, which is unique.
    app.post(
      '/users',
      {
        config,
        schema: {
          tags,
          summary: 'Add a person with a role and sites',
          body: NewUserBody,
          response: { 201: UserSchema },
        },
      },
      async (request, reply) => {
        const user = await users.create(actorOf(request), request.body);
        setRevision(reply, user.rev);
        return reply
          .code(201)
          .header('location', `/v1/users/${user.id}`)
          .send(toUser(user, actorOf(request)));
      },
    );

    app.get(
      '/users/:userId',
      {
        config,
        schema: { tags, summary: 'One person', params: UserParams, response: { 200: UserSchema } },
      },
      async (request, reply) => {
        const user = await users.get(request.params.userId);
        setRevision(reply, user.rev);
        return toUser(user, actorOf(request));
      },
    );

    app.put(
      '/users/:userId',
      {
        config,
        schema: {
          tags,
          summary: 'Change a person’s name, role or sites',
          params: UserParams,
          headers: IfMatchHeaders,
          body: UserBody,
          response: { 200: UserSchema },
        },
      },
      async (request, reply) => {
        const saved = await users.update(
          actorOf(request),
          request.params.userId,
          revisionFrom(request),
          request.body,
        );
        setRevision(reply, saved.rev);
        return toUser(saved, actorOf(request));
      },
    );

    app.put(
      '/users/:userId/password',
      {
        config,
        schema: {
          tags,
          summary: 'Give somebody a new password; their sessions end',
          params: UserParams,
          body: NewPasswordBody,
          response: { 204: z.undefined() },
        },
      },
      async (request, reply) => {
        await users.resetPassword(actorOf(request), request.params.userId, request.body.password);
        return reply.code(204).send();
      },
    );

    archiveRoutes(app, {
      at: '/users/:userId',
      noun: 'a person',
      tags,
      access: config.access,
      params: UserParams,
      schema: UserSchema,
      set: async (actor, { userId }, rev, archived) => {
        const saved = await users.setArchived(actor, userId, rev, archived);
        return { rev: saved.rev, body: toUser(saved, actor) };
      },
    });
  };
}
