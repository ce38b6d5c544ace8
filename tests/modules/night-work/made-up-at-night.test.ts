import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import { countCommits, type CountedDatabase } from '../../helpers/counted-commits.ts';
import { SERVICE, SITE } from '../../helpers/demo-site.ts';
import { openTestDatabase } from '../../helpers/test-database.ts';
import { LEAD, PURCHASING, startTestApp, type TestApp } from '../../helpers/test-app.ts';
import { fillWorkingKitchen } from '../../helpers/working-kitchen.ts';
import { addTwelveWeeks } from '../forecasts/history-fixture.ts';

// Some requests commit twice: what was told, and then what follows from it (a forecast, a plan, orders).
// Where the process dies between the two, what was told stands, and the night makes up for the rest.

const THURSDAY = '2026-03-12';
const NEW_SERVICE = 'svc_supper';
let test: TestApp;
let counted: CountedDatabase;

beforeEach(async () => {
  await test?.close();
  counted = countCommits(await openTestDatabase());
  test = await startTestApp(undefined, counted.database);
  await fillWorkingKitchen(test);
  await addTwelveWeeks(test);
  await test.database.prisma.service.create({
    data: {
      ...{ id: NEW_SERVICE, siteId: SITE, name: 'Supper', startsAt: '22:40', endsAt: '23:50' },
      ...{ weekdays: [1, 2, 3, 4, 5, 6, 7], seats: 40 },
    },
  });
  await test.services.forecasts.refresh.refreshAll(LEAD);
}, 120_000);
afterAll(() => test.close());

const db = () => test.database.prisma;
const newest = (serviceId: string) =>
  db().coversForecast.findFirst({
    where: { serviceId, serviceDate: new Date(`${THURSDAY}T00:00:00Z`) },
    orderBy: [{ madeAt: 'desc' }, { id: 'desc' }],
  });
const currentPlan = () =>
  db().prepPlan.findFirst({
    where: { siteId: SITE, status: 'current' },
    select: { summary: true },
  });
const put = (path: string, body: object) => test.as(LEAD).put(path).send(body);
const post = (path: string, body: object) => test.as(LEAD).post(path).send(body);

interface Case {
  readonly what: string;
  /** As many commits land before the process dies. */
  readonly commits: number;
  readonly send: () => PromiseLike<{ status: number }>;
  /** Whether what was told stands. */
  readonly told: () => Promise<boolean>;
  /** Whether what follows from it stands. */
  readonly followed: () => Promise<boolean>;
}

const CASES: readonly Case[] = [
  {
    what: 'a booking figure from a booking system: the forecast of its sitting',
    commits: 1,
    send: () =>
      put(`/v1/services/${SERVICE}/covers/${THURSDAY}/snapshots/2026-03-10T05:15:00Z`, {
        booked: 58,
      }),
    told: async () => (await db().coversSnapshot.count({ where: { booked: 58 } })) === 1,
    followed: async () => {
      const [snapshot] = await db().coversSnapshot.findMany({ where: { booked: 58 } });
      return (await newest(SERVICE))?.snapshotId === snapshot?.id;
    },
  },
  {
    what: 'the usual covers of a new service: its forecasts',
    commits: 1,
    send: () =>
      put(`/v1/services/${NEW_SERVICE}/stated-covers`, {
        weekdays: [1, 2, 3, 4, 5, 6, 7].map((weekday) => ({ weekday, covers: 21 })),
      }),
    told: async () => (await db().statedCovers.count({ where: { serviceId: NEW_SERVICE } })) === 7,
    followed: async () => Math.abs(((await newest(NEW_SERVICE))?.mean ?? 0) - 21) < 1,
  },
  {
    what: 'covers that a person put in place of the forecast: the forecast with them, and the plan',
    commits: 2,
    send: () =>
      put(`/v1/services/${SERVICE}/covers/${THURSDAY}/override`, {
        ...{ covers: 57, reason: 'The choir festival' },
      }),
    told: async () => (await db().coversOverride.count({ where: { covers: 57 } })) === 1,
    followed: async () => {
      const [override] = await db().coversOverride.findMany({ where: { covers: 57 } });
      const inPlan = JSON.stringify((await currentPlan())?.summary).includes(override?.id ?? '-');
      return (await newest(SERVICE))?.overrideId === override?.id && inPlan;
    },
  },
  {
    what: 'a plan asked for: the plan',
    commits: 1,
    send: () => post(`/v1/sites/${SITE}/prep-plans`, { days: 3 }),
    told: async () => true,
    followed: async () =>
      (await db().prepPlan.count({
        where: { siteId: SITE, workedOutAt: { gte: new Date('2026-03-10T06:00:00Z') } },
      })) > 0,
  },
  {
    what: 'forecasts asked for: the forecasts of every site',
    commits: 1,
    send: () => post('/v1/forecast-runs', {}),
    told: async () => true,
    followed: async () =>
      (
        await db().coversForecast.groupBy({
          by: ['siteId'],
          where: { madeAt: { gte: new Date('2026-03-10T06:00:00Z') } },
        })
      ).length === 2,
  },
];

describe('a request that commits more than once, cut off in between', () => {
  it.each(CASES)('is made up for at night: $what', async ({ commits, send, told, followed }) => {
    test.clock.set('2026-03-10T06:00:00Z');
    expect(await followed()).toBe(false);
    counted.dieAfter(commits);
    expect((await send()).status).toBe(500);
    counted.dieAfter(null);
    expect(await told()).toBe(true);
    expect(await followed()).toBe(false);

    test.clock.set('2026-03-11T02:30:00Z');
    for (const job of await test.services.nightWork.due()) {
      expect(await test.services.nightWork.run(job)).toBe('done');
    }
    expect(await followed()).toBe(true);
  });

  it('is made up for at night: orders asked for, each site of which commits by itself', async () => {
    const ordersOf = () =>
      db().order.count({ where: { siteId: SITE, status: 'proposed', lines: { some: {} } } });
    await db().order.deleteMany();
    test.clock.set('2026-03-10T06:00:00Z');
    counted.dieAfter(0);
    const answer = await test
      .as(PURCHASING)
      .post('/v1/order-runs')
      .send({ siteIds: [SITE], days: 7 });
    expect(answer.status).toBe(500);
    counted.dieAfter(null);
    expect(await ordersOf()).toBe(0);
    test.clock.set('2026-03-11T02:30:00Z');
    for (const job of await test.services.nightWork.due()) await test.services.nightWork.run(job);
    expect(await ordersOf()).toBeGreaterThan(0);
  });
});
