import { setTimeout as wait } from 'node:timers/promises';
import { afterAll, beforeAll, beforeEach, describe, expect, inject, it } from 'vitest';
import { composeServices } from '../../../api/compose.ts';
import { startNightQueue } from '../../../api/jobs/night-queue.ts';
import { startNightTimer } from '../../../api/jobs/night-timer.ts';
import { NightWorkService, type NightJob } from '../../../api/modules/night-work/index.ts';
import { SteppedClock } from '../../../api/modules/platform/index.ts';
import { openPostgres } from '../../../api/persistence/database.ts';
import { createNewId } from '../../../api/persistence/new-id.ts';
import { createUnitOfWork } from '../../../api/persistence/repositories.ts';
import { onServer, withDatabase } from '../../helpers/database-template.ts';
import { fillKitchen, SITE } from '../../helpers/demo-site.ts';
import { chefOf, LEAD, startTestApp, type TestApp } from '../../helpers/test-app.ts';

// The kitchen of demo-site in Rome (an hour ahead of UTC in March), and a site in Auckland.
let test: TestApp;
beforeAll(async () => {
  test = await startTestApp('2026-03-10T02:30:00Z');
  await fillKitchen(test);
  await test.services.sites.create(LEAD, {
    name: 'Harbour',
    zone: 'Pacific/Auckland',
    currency: 'EUR',
    ruleSet: 'uk',
    hours: [],
  });
});
afterAll(() => test.close());
beforeEach(async () => {
  await test.database.prisma.nightRun.deleteMany();
});

const night = () => test.services.nightWork;
const at = (instant: string) => test.clock.set(new Date(instant));
const said = (jobs: readonly NightJob[]) =>
  jobs.filter((job) => job.kind === 'site').map((job) => `${job.key} ${job.date}`);

/** Night work whose parts only count how often they are asked for. */
function counted(fails: (siteId: string) => boolean = () => false) {
  const plans: string[] = [];
  let forecasts = 0;
  const service = new NightWorkService({
    work: createUnitOfWork(test.database, createNewId()),
    clock: test.clock,
    forecasts: {
      refreshAll: async () => {
        forecasts += 1;
        return { sites: 2, sittings: 28 };
      },
    },
    prep: {
      workOutWithMakers: async (_actor, siteId) => {
        await wait(5);
        if (fails(siteId)) throw new Error('The oven of this site is on record twice.');
        plans.push(siteId);
        return { siteIds: [siteId] };
      },
    },
    orders: { runOrders: async () => undefined },
  });
  return { service, plans, forecasts: () => forecasts };
}

describe('night work', () => {
  it('is due at each site from three to eleven by its own clock, for its own date', async () => {
    at('2026-03-10T01:59:00Z'); // 02:59 in Rome, 14:59 in Auckland
    expect(said(await night().due())).toEqual([]);
    at('2026-03-10T02:00:00Z');
    expect(said(await night().due()).sort()).toEqual([
      'site_other 2026-03-10',
      `${SITE} 2026-03-10`,
    ]);
    at('2026-03-10T14:30:00Z'); // 03:30 of the next day in Auckland, afternoon in Rome
    expect(said(await night().due())).toEqual([expect.stringMatching(/^site_\w+ 2026-03-11$/)]);
    // The night the clocks go forward in Rome has no half past two; three o'clock comes all the same.
    at('2026-03-29T01:00:00Z');
    expect(said(await night().due())).toContain(`${SITE} 2026-03-29`);
  });

  it('makes plan and orders of a site, and says so to a lead', async () => {
    at('2026-03-10T02:30:00Z');
    const job: NightJob = { kind: 'site', key: SITE, date: '2026-03-10' };
    expect(await night().run(job)).toBe('done');
    const plan = await test.services.prep.currentPlan(LEAD, SITE);
    expect(plan.fromDate).toBe('2026-03-10');
    const listed = await test.as(LEAD).get('/v1/night-runs').expect(200);
    expect(listed.body.items).toEqual([
      {
        ...job,
        startedAt: '2026-03-10T02:30:00.000Z',
        endedAt: '2026-03-10T02:30:00.000Z',
        outcome: 'done',
        attempts: 1,
        detail: 'plan and orders',
      },
    ]);
    await test.as(chefOf(SITE)).get('/v1/night-runs').expect(403);
    expect(said(await night().due())).not.toContain(`${SITE} 2026-03-10`);
  });

  it('learns the forecasts of the whole group once a night', async () => {
    at('2026-03-10T02:30:00Z');
    const job: NightJob = { kind: 'forecasts', key: 'group', date: '2026-03-10' };
    expect(await night().due()).toContainEqual(job);
    expect(await night().run(job)).toBe('done');
    expect(await test.database.prisma.coversForecast.count()).toBeGreaterThan(0);
    expect(await night().run(job)).toBe('not ours');
    expect(await night().due()).not.toContainEqual(job);
  });

  it('asked for by many at once is done by one', async () => {
    at('2026-03-10T02:30:00Z');
    const { service, plans } = counted();
    const job: NightJob = { kind: 'site', key: SITE, date: '2026-03-10' };
    const outcomes = await Promise.all(Array.from({ length: 20 }, () => service.run(job)));
    expect(outcomes.filter((one) => one === 'done')).toHaveLength(1);
    expect(outcomes.filter((one) => one === 'not ours')).toHaveLength(19);
    expect(plans).toEqual([SITE]);
  });

  it('that fails is tried three times, with the reason kept, and holds nothing else up', async () => {
    at('2026-03-10T02:30:00Z');
    const { service, plans } = counted((siteId) => siteId === SITE);
    for (let round = 0; round < 5; round += 1) {
      for (const job of await service.due()) await service.run(job);
    }
    expect(plans).toEqual(['site_other']);
    const run = (await service.latest()).find((one) => one.key === SITE);
    expect(run).toMatchObject({
      outcome: 'failed',
      attempts: 3,
      detail: 'The oven of this site is on record twice.',
    });
  });

  it('of a process that is gone is taken over two hours later, not before', async () => {
    at('2026-03-10T02:30:00Z');
    const { service, plans } = counted();
    const job: NightJob = { kind: 'site', key: SITE, date: '2026-03-10' };
    // Taken, and never ended: the process was killed.
    await test.database.prisma.nightRun.create({
      data: {
        kind: 'site',
        key: SITE,
        date: new Date('2026-03-10T00:00:00Z'),
        startedAt: new Date('2026-03-10T02:30:00Z'),
      },
    });
    at('2026-03-10T04:29:00Z');
    expect(await service.due()).not.toContainEqual(job);
    expect(await service.run(job)).toBe('not ours');
    at('2026-03-10T04:31:00Z');
    expect(await service.due()).toContainEqual(job);
    expect(await service.run(job)).toBe('done');
    expect(plans).toEqual([SITE]);
  });

  it('forgets answers kept for repeats after a month', async () => {
    at('2026-03-10T02:30:00Z');
    const answer = (key: string, createdAt: string) => ({
      actorId: 'usr_x',
      key,
      requestHash: 'x',
      createdAt: new Date(createdAt),
    });
    await test.database.prisma.idempotencyRecord.createMany({
      data: [answer('old', '2026-02-07T00:00:00Z'), answer('young', '2026-02-09T00:00:00Z')],
    });
    expect(await night().run({ kind: 'tidy', key: 'group', date: '2026-03-10' })).toBe('done');
    const left = await test.database.prisma.idempotencyRecord.findMany();
    expect(left.map((row) => row.key)).toEqual(['young']);
  });
});

describe('the timer of a service alone with its database', () => {
  it('does what is due, one after the other, and stops when asked', async () => {
    at('2026-03-10T02:30:00Z');
    const { service, plans, forecasts } = counted();
    const ended: string[] = [];
    const faults: unknown[] = [];
    const running = startNightTimer(
      service,
      (job, outcome) => ended.push(`${job.kind} ${outcome}`),
      (error) => faults.push(error),
      20,
    );
    await expect.poll(() => ended.length, { timeout: 20_000 }).toBe(4);
    await wait(80);
    await running.stop();
    expect(ended.sort()).toEqual(['forecasts done', 'site done', 'site done', 'tidy done']);
    expect([plans.toSorted(), forecasts()]).toEqual([['site_other', SITE], 1]);
    expect(faults).toEqual([]);
    at('2026-03-11T02:30:00Z');
    await wait(80);
    expect(plans).toHaveLength(2);
  });
});

const template = inject('databaseTemplate');
describe.runIf(template.kind === 'postgresql')('the queue over a shared database', () => {
  it('shares the work of a night among three processes, each piece done once', async () => {
    if (template.kind !== 'postgresql') return;
    const name = `tamis_night_${process.pid}`;
    await onServer(template.adminUrl, (client) =>
      client.query(`CREATE DATABASE ${name} TEMPLATE ${template.template}`),
    );
    const url = withDatabase(template.adminUrl, name);
    const replicas = await Promise.all(
      Array.from({ length: 3 }, async () => {
        const database = await openPostgres(url, 3);
        const clock = new SteppedClock('2026-03-10T02:30:00Z');
        return { database, services: composeServices(database, clock, createNewId()) };
      }),
    );
    const [first] = replicas;
    if (!first) throw new Error('No replica.');
    for (let i = 0; i < 9; i += 1) {
      await first.services.sites.create(LEAD, {
        name: `House ${i}`,
        zone: 'Europe/Rome',
        currency: 'EUR',
        ruleSet: 'eu',
        hours: [],
      });
    }
    const done: string[] = [];
    const faults: unknown[] = [];
    const running = await Promise.all(
      replicas.map(({ services }) =>
        startNightQueue(
          url,
          services.nightWork,
          (job, outcome) => done.push(`${job.kind} ${job.key} ${outcome}`),
          (error) => faults.push(error),
        ),
      ),
    );
    await expect.poll(() => done.length, { timeout: 50_000, interval: 200 }).toBe(11);
    await wait(500);
    await Promise.all(running.map((one) => one.stop()));
    const plans = await first.database.prisma.prepPlan.groupBy({ by: ['siteId'], _count: true });
    expect(plans).toHaveLength(9);
    expect(plans.every((row) => row._count === 1)).toBe(true);
    expect(new Set(done).size).toBe(11);
    expect(done.every((line) => line.endsWith('done'))).toBe(true);
    expect(faults).toEqual([]);
    for (const { database } of replicas) await database.close();
    await onServer(template.adminUrl, (client) =>
      client.query(`DROP DATABASE IF EXISTS ${name} WITH (FORCE)`),
    );
  }, 90_000);
});
