import type { FastifyInstance } from 'fastify';
import supertest from 'supertest';
import { buildApp } from '../../api/app.ts';
import { composeServices } from '../../api/compose.ts';
import { SteppedClock, type Actor } from '../../api/modules/platform/index.ts';
import type { Services } from '../../api/modules/routes.ts';
import type { Database } from '../../api/persistence/database.ts';
import { faultOf } from '../../api/persistence/database-errors.ts';
import { createIdempotencyStore } from '../../api/persistence/idempotency.repository.ts';
import { createNewId } from '../../api/persistence/new-id.ts';
import { openTestDatabase } from './test-database.ts';

/** A whole application over a fresh database, with a clock the test moves. */
export interface TestApp {
  readonly app: FastifyInstance;
  readonly database: Database;
  readonly services: Services;
  readonly clock: SteppedClock;
  /** A supertest agent that acts as `actor` (the sign-in routes have tests of their own). */
  as(actor: Actor): ReturnType<typeof supertest.agent>;
  readonly anonymous: ReturnType<typeof supertest.agent>;
  close(): Promise<void>;
}

export const LEAD: Actor = {
  kind: 'user',
  id: 'usr_lead',
  name: 'Lena Lead',
  role: 'lead',
  siteIds: 'all',
};
export const ADMIN: Actor = {
  kind: 'user',
  id: 'usr_admin',
  name: 'Ada Admin',
  role: 'admin',
  siteIds: 'all',
};
export const PURCHASING: Actor = {
  kind: 'user',
  id: 'usr_purchasing',
  name: 'Pia Purchasing',
  role: 'purchasing',
  siteIds: 'all',
};

/** A chef of the given sites. */
export function chefOf(...siteIds: string[]): Actor {
  return {
    kind: 'user',
    id: `usr_chef_${siteIds.join('_')}`,
    name: 'Cleo Chef',
    role: 'chef',
    siteIds,
  };
}

/** The system's own actor, for setting up through services. */
export const SYSTEM: Actor = {
  kind: 'system',
  id: 'system',
  name: 'tamis',
  role: 'admin',
  siteIds: 'all',
};

/**
 * Starts a test application; close it in afterAll.
 * @param over a database that is open already, instead of a fresh one
 */
export async function startTestApp(at = '2026-03-10T05:30:00Z', over?: Database): Promise<TestApp> {
  const database = over ?? (await openTestDatabase());
  const clock = new SteppedClock(at);
  const services = composeServices(database, clock, createNewId());
  const app = await buildApp({
    services,
    clock,
    idempotency: createIdempotencyStore(database),
    ping: database.ping,
    faultOf,
    requestsPerMinute: 0,
    authenticate: async (request) => {
      const header = request.headers['x-test-actor'];
      return typeof header === 'string'
        ? (JSON.parse(Buffer.from(header, 'base64url').toString('utf8')) as Actor)
        : null;
    },
  });
  await app.ready();
  return {
    app,
    database,
    services,
    clock,
    as: (actor) =>
      supertest
        .agent(app.server)
        .set('x-test-actor', Buffer.from(JSON.stringify(actor)).toString('base64url')),
    anonymous: supertest.agent(app.server),
    close: async () => {
      await app.close();
      await database.close();
    },
  };
}
