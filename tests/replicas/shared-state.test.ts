import { setTimeout as wait } from 'node:timers/promises';
import supertest from 'supertest';
import { afterAll, beforeAll, expect, it } from 'vitest';
import type { Services } from '../../api/modules/routes.ts';
import type { Database } from '../../api/persistence/database.ts';
import { SYSTEM } from '../helpers/test-app.ts';
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

// Three processes over one database, as README says how to run them.

overPostgres('three processes over one database', () => {
  let shared: SharedDatabase;
  let database: Database;
  let services: Services;
  let replicas: readonly Replica[];
  let proxy: RoundRobinProxy;

  beforeAll(async () => {
    shared = await makeSharedDatabase();
    database = await shared.open();
    services = servicesOver(database);
    await makePerson(services, 'lena@lakes.example', 'lead');
    const starting = [0, 1, 2].map(() => startReplica(shared.url));
    replicas = await Promise.all(starting.map((one) => one.ready));
    proxy = await startRoundRobinProxy();
    for (const replica of replicas) await proxy.add(replica.url);
  }, 240_000);
  afterAll(async () => {
    await proxy?.close();
    await Promise.all((replicas ?? []).map((replica) => replica.stop()));
    await database?.close();
    await shared?.drop();
  });

  const at = (index: number) => supertest(replicas[index]?.url ?? '');
  /** Signs in at one process. */
  async function signIn(index: number, email = 'lena@lakes.example') {
    const made = await at(index).post('/v1/session').send({ email, password: PASSWORD });
    expect(made.status).toBe(201);
    return {
      cookie: made.headers['set-cookie']?.[0]?.split(';')[0] ?? '',
      'x-csrf-token': made.body.csrfToken as string,
    };
  }
  /** 503 says that nothing was changed, and to come again: on a slow machine connections run out. */
  async function untilServed<T extends { status: number }>(ask: () => PromiseLike<T>): Promise<T> {
    for (;;) {
      const answer = await ask();
      if (answer.status !== 503) return answer;
      await wait(200);
    }
  }
  const everywhere = async (ask: (index: number) => Promise<{ status: number }>) =>
    (await Promise.all([0, 1, 2].map(ask))).map(({ status }) => status);

  it('share sessions: begun at one they hold at all, ended at one they are over at all', async () => {
    const lena = await signIn(0);
    const who = (index: number) => at(index).get('/v1/session').set(lena);
    expect(await everywhere(who)).toEqual([200, 200, 200]);
    expect((await at(1).delete('/v1/session').set(lena)).status).toBe(204);
    expect(await everywhere(who)).toEqual([401, 401, 401]);
  });

  it('take rights away everywhere at once: a password changed, a person archived, a key ended', async () => {
    const id = await makePerson(services, 'mara@lakes.example', 'purchasing');
    const [here, there] = [
      await signIn(1, 'mara@lakes.example'),
      await signIn(2, 'mara@lakes.example'),
    ];
    const changed = await at(0)
      .put('/v1/session/password')
      .set(here)
      .send({ currentPassword: PASSWORD, newPassword: 'walnut shells crackle' });
    expect(changed.status).toBe(200);
    expect(await everywhere((i) => at(i).get('/v1/session').set(there))).toEqual([401, 401, 401]);
    const now = { cookie: changed.headers['set-cookie']?.[0]?.split(';')[0] ?? '' };
    expect(await everywhere((i) => at(i).get('/v1/session').set(now))).toEqual([200, 200, 200]);
    await services.access.users.setArchived(SYSTEM, id, 1, true);
    expect(await everywhere((i) => at(i).get('/v1/session').set(now))).toEqual([401, 401, 401]);

    const lena = await signIn(0);
    const made = await at(0)
      .post('/v1/api-tokens')
      .set(lena)
      .send({ name: 'till', role: 'chef', siteIds: [] });
    expect(made.status, JSON.stringify(made.body)).toBe(201);
    const key = { authorization: `Bearer ${made.body.secret as string}` };
    expect(await everywhere((i) => at(i).get('/v1/session').set(key))).toEqual([200, 200, 200]);
    const ended = await at(2)
      .delete(`/v1/api-tokens/${made.body.id as string}`)
      .set(lena);
    expect(ended.status).toBeLessThan(300);
    expect(await everywhere((i) => at(i).get('/v1/session').set(key))).toEqual([401, 401, 401]);
  });

  it('do a keyed request once, whichever of them it reaches and however often', async () => {
    const lena = await signIn(0);
    const send = (n: number) =>
      supertest(proxy.url)
        .post('/v1/ingredients')
        .set(lena)
        .set('idempotency-key', `the-same-key-no-${n}`)
        .send({ name: `Lemon ${n}`, baseUnit: 'g' });
    const before = new Map(proxy.passedOn);
    const numbers = Array.from({ length: 12 }, (_, n) => n);
    const first = await Promise.all(numbers.flatMap((n) => [send(n), send(n), send(n)]));
    // Who came while the first was at work is told to ask again, and then gets its answer.
    for (const { status, headers } of first) {
      if (status === 409) expect(headers['retry-after']).toBe('1');
      else expect(status).toBe(201);
    }
    const ids = new Map<number, Set<string>>(numbers.map((n) => [n, new Set<string>()]));
    for (const [i, { status, body }] of first.entries()) {
      if (status === 201) ids.get(Math.floor(i / 3))?.add(body.id as string);
    }
    for (const n of numbers) {
      for (let i = 0; i < 3; i += 1) {
        const again = await send(n);
        expect(again.status).toBe(201);
        expect(again.headers['idempotent-replay']).toBe('true');
        ids.get(n)?.add(again.body.id as string);
      }
    }
    expect([...ids.values()].map((one) => one.size)).toEqual(numbers.map(() => 1));
    expect(await database.prisma.ingredient.count()).toBe(numbers.length);
    for (const [url, count] of proxy.passedOn) expect(count).toBeGreaterThan(before.get(url) ?? 0);
    expect(proxy.passedOn.size).toBe(3);
  });

  it('count tries to sign in together: five in all, not five each', async () => {
    const email = 'vera@lakes.example';
    await makePerson(services, email, 'lead');
    const from = (address: string, password: string) =>
      supertest(proxy.url)
        .post('/v1/session')
        .set('x-forwarded-for', address)
        .send({ email, password });
    const tries = await Promise.all(
      Array.from({ length: 12 }, (_, i) => from('192.0.2.7', `wrong guess no ${i}`)),
    );
    expect(tries.map(({ status }) => status).sort()).toEqual([
      ...Array<number>(5).fill(401),
      ...Array<number>(7).fill(429),
    ]);
    const right = await everywhere((i) =>
      at(i)
        .post('/v1/session')
        .set('x-forwarded-for', '192.0.2.7')
        .send({ email, password: PASSWORD }),
    );
    expect(right).toEqual([429, 429, 429]);
    expect((await from('192.0.2.8', PASSWORD)).status).toBe(201);
  });

  it('number the orders of a supplier without a gap or a repeat, approved at all of them at once', async () => {
    const { prisma } = database;
    const day = (n: number) => new Date(Date.UTC(2100, 0, 1 + n));
    const { id: siteId } = await services.sites.create(SYSTEM, {
      name: 'Boathouse',
      zone: 'Europe/Rome',
      currency: 'EUR',
      ruleSet: 'eu',
      hours: [],
    });
    for (const id of ['sup_mill', 'sup_dairy']) {
      await prisma.supplier.create({
        data: {
          ...{ id, name: id, zone: 'Europe/Rome', currency: 'EUR' },
          ...{ deliveryWeekdays: [1, 2, 3, 4, 5, 6, 7], cutoffDaysBefore: 1, cutoffTime: '20:00' },
          ...{ leadDays: 0, minimumOrder: '0', deliveryCharge: '0', holidays: [] },
          sites: { create: { siteId } },
        },
      });
    }
    const orders = Array.from({ length: 24 }, (_, i) => ({
      id: `ord_${i}`,
      supplierId: i % 2 === 0 ? 'sup_mill' : 'sup_dairy',
      siteId,
      deliveryDate: day(i),
      cutoffAt: day(i - 1),
      status: 'proposed',
      currency: 'EUR',
      total: '0',
    }));
    await prisma.order.createMany({ data: orders });
    const lena = await signIn(0);
    // Each is approved twice at the same moment; one of the two comes too late.
    const answers = await Promise.all(
      orders.flatMap(({ id }) =>
        [0, 1].map(() =>
          untilServed(() =>
            supertest(proxy.url)
              .post(`/v1/orders/${id}/approve`)
              .set({ ...lena, 'if-match': '"1"' }),
          ),
        ),
      ),
    );
    const statuses = answers.map(({ status }) => status);
    const odd = answers.filter(({ status }) => ![200, 409, 412].includes(status));
    expect(odd.map(({ text }) => text)).toEqual([]);
    expect(statuses.filter((status) => status === 200)).toHaveLength(orders.length);
    for (const supplierId of ['sup_mill', 'sup_dairy']) {
      const rows = await prisma.order.findMany({ where: { supplierId }, select: { number: true } });
      const numbers = rows.map((row) => row.number ?? 0).sort((a, b) => a - b);
      expect(numbers).toEqual(Array.from({ length: orders.length / 2 }, (_, i) => i + 1));
    }
  });
});
