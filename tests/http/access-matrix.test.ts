import type { FastifyInstance } from 'fastify';
import Fastify from 'fastify';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { registerAccess, type AccessRule, type DeclaredRoute } from '../../api/http/access.ts';
import { ROLES, type Actor, type Role } from '../../api/modules/platform/index.ts';
import { LEAD, startTestApp, type TestApp } from '../helpers/test-app.ts';

/** What may be called without signing in, on purpose. Anything else public fails here. */
const PUBLIC = [
  'GET /healthz',
  // Guarded by a token of its own, or by asking from the machine itself.
  'GET /metrics',
  'GET /readyz',
  'GET /v1/openapi.json',
  'POST /v1/session',
  'GET /v1/setup',
  'POST /v1/setup',
];

let test: TestApp;
let routes: DeclaredRoute[];
let ownSiteId: string;
let otherSiteId: string;

/** The routes as the router itself prints them, so that none can be forgotten. */
function printedRoutes(app: FastifyInstance): string[] {
  const found: string[] = [];
  const stack: string[] = [];
  for (const line of app.printRoutes({ commonPrefix: false, includeHooks: false }).split('\n')) {
    const match = /^([│ ]*)[├└]── (\S*)(?: \(([A-Z, ]+)\))?$/.exec(line);
    if (!match) continue;
    stack.length = (match[1] ?? '').length / 4;
    stack.push(match[2] ?? '');
    const url = stack.join('').replace(/\/+/g, '/');
    for (const method of (match[3] ?? '').split(', ')) {
      if (method !== '' && method !== 'HEAD') found.push(`${method} ${url}`);
    }
  }
  return found;
}

function actor(role: Role, siteIds: Actor['siteIds']): Actor {
  return { kind: 'user', id: `usr_${role}`, name: role, role, siteIds };
}

/** A path with every parameter filled; ids that name nothing, so that nothing is changed. */
function pathFor(url: string, siteId: string): string {
  return url.replace(/:(\w+)/g, (_, name: string) => {
    if (name === 'siteId') return siteId;
    if (/date/i.test(name)) return '2026-03-09';
    if (name === 'takenAt') return '2026-03-09T05:00:00Z';
    return `${name.toLowerCase().replace(/id$/, '').slice(0, 8)}_none`;
  });
}

async function ask(route: DeclaredRoute, siteId: string, who: Actor | null): Promise<number> {
  const response = await test.app.inject({
    method: route.method as 'GET',
    url: pathFor(route.url, siteId),
    headers:
      who === null
        ? {}
        : { 'x-test-actor': Buffer.from(JSON.stringify(who)).toString('base64url') },
    // Not valid for any route: what gets past the rule is stopped before it changes anything.
    ...(['POST', 'PUT', 'PATCH'].includes(route.method)
      ? { payload: { 'no such field': true } }
      : {}),
  });
  return response.statusCode;
}

const name = (route: DeclaredRoute) => `${route.method} ${route.url}`;
const guarded = () => routes.filter((route) => route.access !== 'public');
const mayCall = (rule: AccessRule, role: Role) =>
  rule === 'signed-in' || (rule !== 'public' && rule.includes(role));

beforeAll(async () => {
  test = await startTestApp();
  const site = { zone: 'Europe/Rome', currency: 'EUR', ruleSet: 'eu', hours: [] } as const;
  ownSiteId = (await test.services.sites.create(LEAD, { ...site, name: 'Own' })).id;
  otherSiteId = (await test.services.sites.create(LEAD, { ...site, name: 'Other' })).id;
  routes = test.app.declaredRoutes.filter((route) => route.method !== 'HEAD');
});
afterAll(() => test.close());

describe('the matrix of routes and roles', () => {
  it('holds every route the router knows, and every one the OpenAPI document names', () => {
    const documented = Object.entries(test.app.swagger().paths ?? {}).flatMap(([path, item]) =>
      Object.keys(item ?? {}).map((m) => `${m.toUpperCase()} ${path.replace(/\{(\w+)\}/g, ':$1')}`),
    );
    expect(documented.length).toBeGreaterThan(40);
    expect(routes.map(name).sort()).toEqual(printedRoutes(test.app).sort());
    expect(routes.map(name).sort()).toEqual([...documented, 'GET /v1/openapi.json'].sort());
  });

  it('names only known roles, each once, and at least one', () => {
    for (const { access } of guarded()) {
      if (access === 'signed-in' || access === 'public') continue;
      expect(access.length).toBeGreaterThan(0);
      expect(new Set(access).size).toBe(access.length);
      expect(access.every((role) => ROLES.includes(role))).toBe(true);
    }
  });

  it('is public only where it must be', () => {
    const open = routes.filter((route) => route.access === 'public').map(name);
    expect(open.sort()).toEqual([...PUBLIC].sort());
  });

  it('lets nobody in without signing in', async () => {
    const statuses = await Promise.all(
      guarded().map(async (route) => [name(route), await ask(route, ownSiteId, null)]),
    );
    expect(statuses.filter(([, status]) => status !== 401)).toEqual([]);
  });

  it.each(ROLES)('refuses %s every route not meant for them, and only those', async (role) => {
    const wrong: unknown[] = [];
    for (const route of guarded()) {
      const allowed = mayCall(route.access, role);
      const status = await ask(route, ownSiteId, actor(role, 'all'));
      // What is refused further in (a bad body, an id that names nothing) got past the rule.
      const past = status !== 401 && status !== 403;
      if (past !== allowed) wrong.push([name(route), role, status]);
      if (status >= 500) wrong.push([name(route), role, status]);
    }
    expect(wrong).toEqual([]);
  });

  it.each(ROLES)('keeps %s bound to a site out of every other site', async (role) => {
    const bound = actor(role, [ownSiteId]);
    const ofSites = guarded().filter((route) => route.url.includes(':siteId'));
    expect(ofSites.length).toBeGreaterThan(10);
    const wrong: unknown[] = [];
    for (const route of ofSites) {
      const other = await ask(route, otherSiteId, bound);
      if (other !== 403) wrong.push([name(route), 'other site', other]);
      const own = await ask(route, ownSiteId, bound);
      if (mayCall(route.access, role) && own === 403) wrong.push([name(route), 'own site', own]);
    }
    expect(wrong).toEqual([]);
  });
});

describe('a route without a rule', () => {
  it('stops the application from being built', async () => {
    const app = Fastify();
    registerAccess(app, async () => null);
    expect(() => app.get('/open-by-mistake', async () => 'oops')).toThrow(/no access rule/);
    await app.close();
  });
});
