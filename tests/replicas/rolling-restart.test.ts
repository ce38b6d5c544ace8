import { setTimeout as wait } from 'node:timers/promises';
import { afterAll, beforeAll, expect, it } from 'vitest';
import type { Database } from '../../api/persistence/database.ts';
import { startReplica, type Replica } from './replica-process.ts';
import { startRoundRobinProxy, type RoundRobinProxy } from './round-robin-proxy.ts';
import {
  makePerson,
  makeSharedDatabase,
  overPostgres,
  PASSWORD,
  servicesOver,
  type SharedDatabase,
} from './shared-database.ts';

// Every process is replaced by a new one, one after the other, while callers read and write.

const CALLERS = 6;
/** Longer than the proxy takes to hear of it, also on a machine that is busy with other things. */
const DRAIN = { DRAIN_SECONDS: '3' };

overPostgres('a rolling restart', () => {
  let shared: SharedDatabase;
  let database: Database;
  let proxy: RoundRobinProxy;
  const running: Replica[] = [];

  beforeAll(async () => {
    shared = await makeSharedDatabase();
    database = await shared.open();
    await makePerson(servicesOver(database), 'lena@lakes.example', 'lead');
    const starting = [0, 1, 2].map(() => startReplica(shared.url, DRAIN));
    running.push(...(await Promise.all(starting.map((one) => one.ready))));
    proxy = await startRoundRobinProxy();
    for (const replica of running) await proxy.add(replica.url);
  }, 240_000);
  afterAll(async () => {
    await proxy?.close();
    await Promise.all(running.map((replica) => replica.stop('SIGKILL')));
    await database?.close();
    await shared?.drop();
  });

  it('under load fails no request, and what was answered as made is there once', async () => {
    const signedIn = await fetch(`${proxy.url}/v1/session`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ email: 'lena@lakes.example', password: PASSWORD }),
    });
    const lena = {
      cookie: signedIn.headers.getSetCookie()[0]?.split(';')[0] ?? '',
      'x-csrf-token': ((await signedIn.json()) as { csrfToken: string }).csrfToken,
    };
    const failed: string[] = [];
    const made: string[] = [];
    let reads = 0;
    let goOn = true;
    const call = async (what: string, expected: number, init: RequestInit) => {
      try {
        const answer = await fetch(`${proxy.url}${what}`, init);
        const body = await answer.text();
        if (answer.status !== expected) failed.push(`${what}: ${answer.status} ${body}`);
        return body;
      } catch (error) {
        failed.push(`${what}: ${String(error)}`);
        return '{}';
      }
    };
    const caller = async (name: number) => {
      // An address of its own, as a site's tablets have one behind the proxy.
      const from = { ...lena, 'x-forwarded-for': `192.0.2.${name}` };
      for (let n = 0; goOn; n += 1) {
        await call('/v1/ingredients?limit=5', 200, { headers: from });
        reads += 1;
        const body = await call('/v1/ingredients', 201, {
          method: 'POST',
          headers: { ...from, 'content-type': 'application/json' },
          body: JSON.stringify({ name: `Lemon ${name}-${n}`, baseUnit: 'g' }),
        });
        made.push((JSON.parse(body) as { id: string }).id);
        await wait(40);
      }
    };
    const callers = Array.from({ length: CALLERS }, (_, name) => caller(name));
    const codes: (number | null)[] = [];
    for (const old of running.splice(0, 3)) {
      const fresh = await startReplica(shared.url, DRAIN).ready;
      running.push(fresh);
      await proxy.add(fresh.url);
      codes.push(await old.stop('SIGTERM'));
      proxy.remove(old.url);
    }
    const before = new Map(proxy.passedOn);
    await wait(1000);
    goOn = false;
    await Promise.all(callers);

    expect(failed).toEqual([]);
    expect(codes).toEqual([0, 0, 0]);
    expect(made.length).toBeGreaterThan(20);
    expect(reads).toBeGreaterThanOrEqual(made.length);
    const rows = await database.prisma.ingredient.findMany({ select: { id: true } });
    expect(rows.map(({ id }) => id).sort()).toEqual([...made].sort());
    // Those that serve now are the new ones, all three.
    for (const { url } of running) {
      const origin = new URL(url).origin;
      expect(proxy.passedOn.get(origin)).toBeGreaterThan(before.get(origin) ?? 0);
    }
  }, 300_000);
});
