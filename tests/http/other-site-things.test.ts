import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { DeclaredRoute } from '../../api/http/access.ts';
import { ROLES, type Actor } from '../../api/modules/platform/index.ts';
import { LEAD, startTestApp, type TestApp } from '../helpers/test-app.ts';
import { makeThingsOf } from './things-of-a-site.ts';
import { sampleOf, type JsonSchema } from './sample-of-schema.ts';

/** Ids in paths that name things of the whole group: no site to keep anybody out of. */
const OF_THE_GROUP = [
  'userId',
  'tokenId',
  'ingredientId',
  'supplierId',
  'packId',
  'priceId',
  'recipeId',
  'versionId',
  'dishId',
  'rateId',
  'limitId',
  'gapId',
  'substituteId',
];
/** Parameters that are no ids. */
const PLAIN = ['serviceDate', 'takenAt', 'kind', 'date'];

let test: TestApp;
let ownSiteId: string;
let otherThings: Readonly<Record<string, string>>;

const paramsOf = (url: string) => [...url.matchAll(/:(\w+)/g)].map((match) => match[1] ?? '');
const name = (route: DeclaredRoute) => `${route.method} ${route.url}`;

/** Routes whose path names a thing of a site without naming the site. */
function routesToThings(): DeclaredRoute[] {
  return test.app.declaredRoutes.filter(
    (route) =>
      route.method !== 'HEAD' &&
      route.access !== 'public' &&
      !route.url.includes(':siteId') &&
      paramsOf(route.url).some((param) => param in otherThings),
  );
}

interface Operation {
  readonly requestBody?: { readonly content?: Readonly<Record<string, { schema?: JsonSchema }>> };
  readonly parameters?: readonly {
    readonly name: string;
    readonly in: string;
    readonly required?: boolean;
    readonly schema?: JsonSchema;
  }[];
}

/** The smallest valid body and query of a route, from the OpenAPI document. */
function smallestRequest(route: DeclaredRoute): { body: unknown; query: string } {
  const document = test.app.swagger() as {
    paths?: Record<string, Record<string, Operation>>;
    components?: { schemas?: Record<string, JsonSchema> };
  };
  const named = document.components?.schemas ?? {};
  const path = route.url.replace(/:(\w+)/g, '{$1}');
  const operation = document.paths?.[path]?.[route.method.toLowerCase()];
  const schema = operation?.requestBody?.content?.['application/json']?.schema;
  const query = new URLSearchParams();
  for (const parameter of operation?.parameters ?? []) {
    if (parameter.in !== 'query' || !parameter.required) continue;
    query.set(parameter.name, String(sampleOf(parameter.schema ?? {}, named)));
  }
  return { body: schema && sampleOf(schema, named), query: query.toString() };
}

async function ask(route: DeclaredRoute, who: Actor): Promise<number> {
  const url = route.url.replace(/:(\w+)/g, (_, param: string) => {
    if (param === 'takenAt') return '2026-03-09T05:00:00Z';
    if (/date/i.test(param)) return '2026-03-09';
    return otherThings[param] ?? 'rcp_x';
  });
  const { body, query } = smallestRequest(route);
  const response = await test.app.inject({
    method: route.method as 'GET',
    url: `${url}?${query}`,
    headers: {
      'x-test-actor': Buffer.from(JSON.stringify(who)).toString('base64url'),
      'if-match': '"1"',
    },
    ...(body === undefined ? {} : { payload: body as Record<string, unknown> }),
  });
  return response.statusCode;
}

beforeAll(async () => {
  test = await startTestApp();
  const site = { zone: 'Europe/Rome', currency: 'EUR', ruleSet: 'eu', hours: [] } as const;
  ownSiteId = (await test.services.sites.create(LEAD, { ...site, name: 'Own' })).id;
  const other = await test.services.sites.create(LEAD, { ...site, name: 'Other' });
  otherThings = await makeThingsOf(test, other.id);
});
afterAll(() => test.close());

describe('a thing of another site, named by its own id', () => {
  it('is of a kind this test knows: every id in a path is placed', () => {
    const known = [...OF_THE_GROUP, ...PLAIN, ...Object.keys(otherThings), 'siteId'];
    const withoutSite = test.app.declaredRoutes.filter((route) => !route.url.includes(':siteId'));
    const unplaced = withoutSite.flatMap((route) =>
      paramsOf(route.url).filter((param) => !known.includes(param)),
    );
    expect([...new Set(unplaced)]).toEqual([]);
    for (const thing of Object.keys(otherThings)) {
      expect(routesToThings().some((route) => route.url.includes(`:${thing}`))).toBe(true);
    }
  });

  it.each(ROLES)('is neither shown to nor changed by %s bound to their own site', async (role) => {
    const bound: Actor = {
      kind: 'user',
      id: `usr_${role}`,
      name: role,
      role,
      siteIds: [ownSiteId],
    };
    const before = await fingerprint();
    const wrong: unknown[] = [];
    for (const route of routesToThings()) {
      const status = await ask(route, bound);
      if (status !== 403 && status !== 404) wrong.push([name(route), role, status]);
    }
    expect(wrong).toEqual([]);
    expect(await fingerprint()).toBe(before);
  });
});

async function fingerprint(): Promise<string> {
  const { prisma } = test.database;
  return JSON.stringify([
    await prisma.service.findMany(),
    await prisma.equipment.findMany(),
    await prisma.menu.findMany(),
    await prisma.coversEvent.findMany(),
    await prisma.stockLot.findMany(),
    await prisma.prepTask.findMany(),
    await prisma.temperatureReading.findMany(),
    await prisma.safetyBreach.findMany(),
    await prisma.measuredYield.findMany(),
    await prisma.siteOverride.findMany(),
    await prisma.coversSnapshot.count(),
    await prisma.serviceOutcome.count(),
    await prisma.coversOverride.count(),
    await prisma.parLevel.findMany(),
    await prisma.parOverride.count(),
    await prisma.auditEvent.count(),
  ]);
}
