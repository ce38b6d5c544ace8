import fc from 'fast-check';
import supertest from 'supertest';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { composeServices } from '../../../api/compose.ts';
import { readConfig } from '../../../api/config.ts';
import { createNewId } from '../../../api/persistence/new-id.ts';
import { toPrepListBody } from '../../../api/modules/prep/prep-body.ts';
import { startServer, type RunningServer } from '../../../api/start-server.ts';
import { fillWorkingKitchen } from '../../helpers/working-kitchen.ts';
import { SERVICE, SITE } from '../../helpers/demo-site.ts';
import { chefOf, LEAD, startTestApp, type TestApp } from '../../helpers/test-app.ts';

const TODAY = '2026-03-10';
let test: TestApp;
/** The service as it runs, with its own sign-in, over the same database: another replica. */
let other: RunningServer;
const chef = chefOf(SITE);
const here = (etag?: string) => {
  const asked = test.as(chef).get(`/v1/sites/${SITE}/prep-list`);
  return etag === undefined ? asked : asked.set('if-none-match', etag);
};

beforeAll(async () => {
  test = await startTestApp();
  await fillWorkingKitchen(test);
  other = await startServer(readConfig({ PORT: '0', LOG_LEVEL: 'silent' }), {
    database: { ...test.database, close: async () => undefined },
    clock: test.clock,
    pageDir: null,
    requestsPerMinute: 0,
  });
});
afterAll(async () => {
  await other.close();
  await test.close();
});

/** The list worked out from the tables, by services that keep nothing. */
async function afresh(date = TODAY): Promise<unknown> {
  const services = composeServices(test.database, test.clock, createNewId());
  return JSON.parse(JSON.stringify(toPrepListBody(await services.prep.list(LEAD, SITE, date))));
}

async function signedIn(email: string, siteIds: string[]): Promise<string> {
  const password = 'three ovens at dawn';
  await test.services.access.users.create(LEAD, {
    ...{ email, name: 'Cook', role: 'chef', siteIds, password },
  });
  const answer = await supertest(other.url).post('/v1/session').send({ email, password });
  return String(answer.headers['set-cookie']).split(';')[0] ?? '';
}

describe('the list of the day, kept as text', () => {
  it('is fetched with who asks, and the same as one worked out afresh', async () => {
    const cookie = await signedIn('own@lakes.example', [SITE]);
    const ask = () => supertest(other.url).get(`/v1/sites/${SITE}/prep-list`).set('cookie', cookie);
    const first = await ask().expect(200);
    expect(await test.database.prisma.keptDayList.count({ where: { date: TODAY } })).toBe(1);
    const second = await ask().expect(200);
    expect(second.text).toBe(first.text);
    expect(second.body).toEqual(await afresh());
    expect(second.headers['cache-control']).toBe('private, no-cache');
    const etag = String(second.headers.etag);
    const nothing = await ask().set('if-none-match', `"else", W/${etag}`).expect(304);
    expect(nothing.text).toBe('');
  });

  it('is given to nobody of another site, nor without signing in, though it is kept', async () => {
    await here().expect(200);
    const cookie = await signedIn('other@lakes.example', ['site_other']);
    const ask = () => supertest(other.url).get(`/v1/sites/${SITE}/prep-list`);
    const refused = await ask().set('cookie', cookie).expect(403);
    expect(refused.text).not.toContain('tasks');
    expect(refused.headers.etag).toBeUndefined();
    await ask().expect(401);
    const { headers } = await here();
    await ask().set('cookie', cookie).set('if-none-match', String(headers.etag)).expect(403);
  });

  it('of a site that is not there, has no plan, or of no date is refused as ever', async () => {
    await test.as(LEAD).get('/v1/sites/site_nowhere/prep-list').expect(404);
    await test.as(LEAD).get('/v1/sites/site_other/prep-list').expect(404);
    await test.as(LEAD).get(`/v1/sites/${SITE}/prep-list?date=2026-02-31`).expect(400);
    await test.as(LEAD).get(`/v1/sites/${SITE}/prep-list?date=soon&date=later`).expect(400);
  });

  it('of an older version of the service is written anew', async () => {
    await here().expect(200);
    await test.database.prisma.keptDayList.updateMany({ data: { form: 'older', body: '{}' } });
    expect((await here().expect(200)).body).toEqual(await afresh());
  });

  it('is of another day after midnight at the site, though the caller has that of the day before', async () => {
    const before = await here().expect(200);
    test.clock.set('2026-03-10T23:30:00Z');
    try {
      const after = await here(String(before.headers.etag)).expect(200);
      expect(after.body.date).toBe('2026-03-11');
      expect(after.body).toEqual(await afresh('2026-03-11'));
    } finally {
      test.clock.set('2026-03-10T05:30:00Z');
    }
  });

  it('equals one worked out afresh after any sequence of changes, wherever they are made', async () => {
    const { prisma: db } = test.database;
    const tasks = (await db.prepTask.findMany({ where: { siteId: SITE } })).map(({ id }) => id);
    const at = <T>(of: readonly T[], n: number): T => {
      const one = of[n % of.length];
      if (one === undefined) throw new RangeError('Nothing to choose from');
      return one;
    };
    const tick = (id: string, what: string, body?: object) =>
      test.as(chef).post(`/v1/prep-tasks/${id}/${what}`).send(body);
    const lead = (send: 'put' | 'post', path: string, rev: number, body: object) =>
      test.as(LEAD)[send](path).set('if-match', `"${rev}"`).send(body);
    const rename = async (n: number) => {
      const path = `/v1/recipes/${at(['rcp_curd', 'rcp_shell'], n)}`;
      const { kind, station, baseUnit, rev } = (await test.as(LEAD).get(path)).body;
      return lead('put', path, rev, { kind, station, baseUnit, name: `Written anew ${n}` });
    };
    const publish = async (n: number) => {
      const from = `/v1/recipe-versions/${at(['ver_curd', 'ver_shell'], n)}`;
      const path = `/v1/recipe-versions/${(await test.as(LEAD).post(`${from}/copy`)).body.id}`;
      await lead('post', `${path}/submit`, 1, {});
      const day = String(11 + (n % 15));
      return lead('post', `${path}/publish`, 2, { firstServiceDate: `2026-03-${day}` });
    };
    /** What was done at least once, so that the test is known to have tried it. */
    const done = new Set<string>();
    const noted = async (what: string, answer: PromiseLike<{ status: number }>) => {
      if ((await answer).status === 200) done.add(what);
    };
    // Refused ones count as well: they change nothing, and the list must not either.
    const changes: readonly ((n: number) => Promise<unknown>)[] = [
      (n) => noted('rename', rename(n)),
      (n) => noted('publish', publish(n)),
      (n) =>
        noted(
          'override',
          test
            .as(chef)
            .put(`/v1/services/${SERVICE}/covers/2026-03-1${1 + (n % 2)}/override`)
            .send({ covers: 20 + n, reason: `a choir of ${n}` }),
        ),
      (n) => tick(at(tasks, n), 'start', {}),
      (n) => tick(at(tasks, n), 'finish', { made: { value: 1 + n, unit: n % 2 ? 'g' : '{each}' } }),
      (n) => tick(at(tasks, n), 'abandon', { reason: `no time ${n}` }),
      (n) => tick(at(tasks, n), 'undo'),
      (n) =>
        test
          .as(chef)
          .post(`/v1/prep-tasks/${at(tasks, n)}/cooling`)
          .send({ celsius: 60 + n, offHeatMinutesAgo: n }),
      (n) =>
        test
          .as(chef)
          .post(`/v1/sites/${SITE}/stock-counts`)
          .send({
            counts: [
              { itemKind: 'component', itemId: 'rcp_shell', amount: { value: n, unit: '{each}' } },
            ],
          }),
      (n) =>
        test
          .as(LEAD)
          .put(`/v1/services/${SERVICE}/covers/2026-03-11/snapshots/2026-03-10T05:1${n % 10}:00Z`)
          .send({ booked: 20 + n }),
      (n) => test.services.prep.workOut(LEAD, SITE, 2 + (n % 2)),
      (n) =>
        db.recipe.update({
          where: { id: at(['rcp_curd', 'rcp_shell', 'rcp_tart'], n) },
          data: { name: `Renamed ${n}` },
        }),
      (n) => db.ingredient.updateMany({ data: { trimYield: 0.5 + n / 100 } }),
      (n) => db.ingredient.update({ where: { id: 'ing_butter' }, data: { name: `Butter ${n}` } }),
      (n) =>
        db.recipe.update({ where: { id: 'rcp_curd' }, data: { baseUnit: at(['g', 'ml'], n) } }),
      (n) =>
        db.site.update({
          where: { id: SITE },
          data: { zone: at(['Europe/Rome', 'Europe/London', 'Pacific/Auckland'], n) },
        }),
      (n) => db.site.update({ where: { id: SITE }, data: { name: `House ${n}` } }),
      (n) => db.stockLot.updateMany({ where: { siteId: SITE }, data: { heldReason: `held ${n}` } }),
      (n) => db.prepTask.updateMany({ where: { id: at(tasks, n) }, data: { station: `st ${n}` } }),
    ];
    const one = fc.record({ which: fc.nat(changes.length - 1), n: fc.nat(30) });
    let etag: string | undefined;
    let had: unknown = null;
    await fc.assert(
      fc.asyncProperty(fc.array(one, { minLength: 1, maxLength: 12 }), async (sequence) => {
        for (const { which, n } of sequence) {
          await changes[which]?.(n);
          const list = await here(etag);
          const found = list.status === 304 ? had : list.body;
          expect([200, 304]).toContain(list.status);
          expect(found).toEqual(await afresh((found as { date: string }).date));
          etag = String(list.headers.etag);
          had = found;
        }
      }),
      {
        numRuns: Number(process.env.TAMIS_LIST_RUNS ?? 12),
        endOnFailure: true,
        // Each change once, and then a plan that takes in what was published and put in place.
        examples: [[[...changes.keys(), 10].map((which) => ({ which, n: 3 }))]],
      },
    );
    expect([...done].sort()).toEqual(['override', 'publish', 'rename']);
  }, 300_000);
});
