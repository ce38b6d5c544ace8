import { afterAll, beforeAll, expect, it, vi } from 'vitest';
import { wallClockOf } from '../../api/core/calendar/index.ts';
import type { Database } from '../../api/persistence/database.ts';
import { SYSTEM } from '../helpers/test-app.ts';
import { startReplica, type Replica } from './replica-process.ts';
import {
  makeSharedDatabase,
  overPostgres,
  servicesOver,
  type SharedDatabase,
} from './shared-database.ts';

// Night work by the clock on the wall, so the sites lie where it is early morning just now.

const SITES = 9;

/** A zone whose clock shows five or six at this moment, so that its night work is due. */
function zoneOfEarlyMorning(): string {
  const minute = Math.floor(Date.now() / 60_000);
  const zones = Array.from({ length: 26 }, (_, i) => i - 12).map((hours) =>
    // In the names of the zone data base the sign is the other way round.
    hours === 0 ? 'Etc/GMT' : `Etc/GMT${hours > 0 ? '+' : '-'}${Math.abs(hours)}`,
  );
  for (const zone of zones) {
    const shown = wallClockOf(minute, zone);
    if (shown.ok && ['05', '06'].includes(shown.value.time.slice(0, 2))) return zone;
  }
  throw new Error('It is early morning nowhere.');
}

overPostgres('the night work of three processes', () => {
  let shared: SharedDatabase;
  let database: Database;
  let replicas: readonly Replica[] = [];
  const siteIds: string[] = [];

  beforeAll(async () => {
    shared = await makeSharedDatabase();
    database = await shared.open();
    const services = servicesOver(database);
    const zone = zoneOfEarlyMorning();
    for (let i = 0; i < SITES; i += 1) {
      const site = await services.sites.create(SYSTEM, {
        ...{ name: `Site ${i}`, zone, currency: 'EUR', ruleSet: 'eu', hours: [] },
      });
      siteIds.push(site.id);
    }
    const starting = [0, 1, 2].map(() => startReplica(shared.url));
    replicas = await Promise.all(starting.map((one) => one.ready));
  }, 240_000);
  afterAll(async () => {
    await Promise.all(replicas.map((replica) => replica.stop()));
    await database?.close();
    await shared?.drop();
  });

  it('is done once for each site and date, by one of them', async () => {
    const { prisma } = database;
    await vi.waitFor(
      async () =>
        expect(await prisma.nightRun.count({ where: { kind: 'site', outcome: 'done' } })).toBe(
          SITES,
        ),
      { timeout: 180_000, interval: 500 },
    );
    const runs = await prisma.nightRun.findMany();
    for (const run of runs) expect(run).toMatchObject({ attempts: 1 });
    const sites = runs.filter((run) => run.kind === 'site');
    expect(sites.map((run) => run.key).sort()).toEqual([...siteIds].sort());
    // Each piece stands in the log of one process only.
    const said = (replica: Replica) =>
      replica
        .log()
        .filter((line) => line.msg === 'night work done' && line.kind === 'site')
        .map((line) => String(line.key));
    // Log lines are written together a tenth of a second after what they tell.
    await vi.waitFor(() => expect(replicas.flatMap(said).sort()).toEqual([...siteIds].sort()), {
      timeout: 10_000,
      interval: 100,
    });
    // Each has one plan in place, and one that it never took over from another run.
    const plans = await prisma.prepPlan.groupBy({ by: ['siteId'], _count: true });
    expect(plans.map((plan) => plan._count)).toEqual(siteIds.map(() => 1));
    const outside = replicas
      .flatMap((replica) => replica.log())
      .filter((l) => Number(l.level) > 40);
    expect(outside).toEqual([]);
  }, 240_000);
});
