import type { FastifyInstance } from 'fastify';
import supertest from 'supertest';
import { buildApp } from '../../../api/app.ts';
import { composeServices } from '../../../api/compose.ts';
import { createAuthenticate } from '../../../api/modules/access/index.ts';
import { SteppedClock, type Role } from '../../../api/modules/platform/index.ts';
import type { Services } from '../../../api/modules/routes.ts';
import type { Database } from '../../../api/persistence/database.ts';
import { createIdempotencyStore } from '../../../api/persistence/idempotency.repository.ts';
import { createNewId } from '../../../api/persistence/new-id.ts';
import { openTestDatabase } from '../../helpers/test-database.ts';
import { SYSTEM } from '../../helpers/test-app.ts';

export const PASSWORD = 'three ovens at dawn';

/** The whole application with the real way in: cookies, CSRF tokens, keys. */
export interface SignedInApp {
  readonly app: FastifyInstance;
  readonly database: Database;
  readonly services: Services;
  readonly clock: SteppedClock;
  agent(): ReturnType<typeof supertest.agent>;
  /** Makes a person with PASSWORD. */
  person(email: string, role: Role, siteIds?: 'all' | string[]): Promise<string>;
  /** Signs in, and sends the CSRF token with everything after. */
  signIn(email: string, password?: string): Promise<ReturnType<typeof supertest.agent>>;
  close(): Promise<void>;
}

export async function startSignedInApp(
  options: { secureCookies?: boolean; at?: string } = {},
): Promise<SignedInApp> {
  const database = await openTestDatabase();
  const clock = new SteppedClock(options.at ?? '2026-03-10T05:30:00Z');
  const services = composeServices(database, clock, createNewId(), {
    secureCookies: options.secureCookies ?? false,
  });
  const app = await buildApp({
    services,
    clock,
    authenticate: createAuthenticate(services.access),
    idempotency: createIdempotencyStore(database),
    ping: database.ping,
    requestsPerMinute: 0,
    trustProxy: '127.0.0.1,::1',
  });
  await app.ready();
  return {
    app,
    database,
    services,
    clock,
    agent: () => supertest.agent(app.server),
    person: async (email, role, siteIds = 'all') =>
      (
        await services.access.users.create(SYSTEM, {
          email,
          name: `${role} of the lakes`,
          role,
          siteIds,
          password: PASSWORD,
        })
      ).id,
    signIn: async (email, password = PASSWORD) => {
      const agent = supertest.agent(app.server);
      const signedIn = await agent.post('/v1/session').send({ email, password }).expect(201);
      return agent.set('x-csrf-token', signedIn.body.csrfToken as string);
    },
    close: async () => {
      await app.close();
      await database.close();
    },
  };
}
