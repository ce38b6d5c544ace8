import { createHash } from 'node:crypto';
import { setTimeout as wait } from 'node:timers/promises';
import pg from 'pg';
import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import type { Database } from '../../api/persistence/database.ts';
import { migrate, readMigrations, type Migration } from '../../api/persistence/migrate.ts';
import { startReplica, type StartingReplica } from './replica-process.ts';
import {
  makePerson,
  makeSharedDatabase,
  overPostgres,
  PASSWORD,
  servicesOver,
  type SharedDatabase,
} from './shared-database.ts';

// What a newer version does to the tables while this one serves over them.

/** The number of api/persistence/migrate.ts: other versions must use the same. */
const MIGRATION_LOCK = 7_260_481;

const migration = (name: string, sql: string): Migration => ({
  name: `20990101000000_${name}`,
  sql,
  checksum: createHash('sha256').update(sql).digest('hex'),
});

overPostgres('migrations', () => {
  let shared: SharedDatabase;
  let database: Database;
  let started: StartingReplica[];
  let clients: pg.Client[];

  const open = async (empty = false): Promise<void> => {
    shared = await makeSharedDatabase(empty);
    started = [];
    clients = [];
  };
  const start = () => {
    const one = startReplica(shared.url);
    started.push(one);
    return one;
  };
  const connect = async () => {
    const client = new pg.Client({ connectionString: shared.url });
    await client.connect();
    clients.push(client);
    return client;
  };
  /** Applies what a newer version would bring. */
  const newer = async (...migrations: Migration[]) => {
    const client = await connect();
    return migrate(
      {
        exec: async (sql) => void (await client.query(sql)),
        rows: async (sql, values) => (await client.query(sql, values ? [...values] : [])).rows,
      },
      { lock: true, migrations: [...readMigrations(), ...migrations] },
    );
  };
  const waitsFor = async (locktype: string) => {
    const client = await connect();
    await vi.waitFor(
      async () => {
        const { rows } = await client.query(
          `SELECT 1 FROM pg_locks l JOIN pg_database d ON d.oid = l.database
           WHERE d.datname = current_database() AND NOT l.granted AND l.locktype = $1`,
          [locktype],
        );
        expect(rows.length).toBeGreaterThan(0);
      },
      { timeout: 120_000, interval: 50 },
    );
  };
  beforeEach(() => open());
  afterEach(async () => {
    await Promise.all(started.map((one) => one.kill()));
    await Promise.all(clients.map((client) => client.end()));
    await database?.close();
    await shared.drop();
  });

  it('are made by one of several processes that start together over an empty database', async () => {
    await shared.drop();
    await open(true);
    const replicas = await Promise.all([start(), start(), start()].map((one) => one.ready));
    database = await shared.open();
    const rows = await database.prisma.$queryRaw<{ migration_name: string }[]>`
      SELECT migration_name FROM "_prisma_migrations" ORDER BY migration_name`;
    expect(rows.map((row) => row.migration_name)).toEqual(readMigrations().map((one) => one.name));
    // The code that one of them printed sets up at another, once.
    const codes = replicas.map(({ output }) => /with this code: (\S+)/.exec(output())?.[1] ?? '');
    const setUp = (at: number, code: number) =>
      fetch(`${replicas[at]?.url}/v1/setup`, {
        method: 'POST',
        headers: { 'content-type': 'application/json' },
        body: JSON.stringify({
          ...{ setupCode: codes[code], email: `p${at}@lakes.example`, name: 'Ada' },
          ...{ password: PASSWORD, groupName: 'Lakes' },
        }),
      });
    const answers = await Promise.all([setUp(0, 1), setUp(1, 2), setUp(2, 0)]);
    expect(answers.map(({ status }) => status).sort()).toEqual([201, 409, 409]);
  }, 240_000);

  it('are waited for by a process that starts meanwhile, while the older ones serve', async () => {
    database = await shared.open();
    const older = await start().ready;
    const runner = await connect();
    await runner.query('SELECT pg_advisory_lock($1)', [MIGRATION_LOCK]);
    const waiting = start();
    let isReady = false;
    void waiting.ready.then(() => (isReady = true));
    await waitsFor('advisory');
    expect((await fetch(`${older.url}/readyz`)).status).toBe(200);
    expect((await fetch(`${older.url}/v1/setup`)).status).toBe(200);
    expect(isReady).toBe(false);
    await runner.query('SELECT pg_advisory_unlock($1)', [MIGRATION_LOCK]);
    const { url } = await waiting.ready;
    expect((await fetch(`${url}/readyz`)).status).toBe(200);
  }, 240_000);

  it('that add to every table fail no request of the version that serves, and it starts anew over them', async () => {
    database = await shared.open();
    await makePerson(servicesOver(database), 'lena@lakes.example', 'lead');
    const { url, stop } = await start().ready;
    const signedIn = await fetch(`${url}/v1/session`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ email: 'lena@lakes.example', password: PASSWORD }),
    });
    const headers = {
      cookie: signedIn.headers.getSetCookie()[0]?.split(';')[0] ?? '',
      'x-csrf-token': ((await signedIn.json()) as { csrfToken: string }).csrfToken,
      'content-type': 'application/json',
    };
    const failed: string[] = [];
    let asked = 0;
    let goOn = true;
    const reads = ['session', 'sites', 'ingredients', 'recipes', 'suppliers', 'orders', 'users'];
    const call = async (path: string, init: RequestInit = {}) => {
      const answer = await fetch(`${url}/v1/${path}`, { headers, ...init });
      const body = await answer.text();
      if (!answer.ok) failed.push(`${path}: ${answer.status} ${body}`);
      asked += 1;
    };
    const caller = async (name: number) => {
      for (let n = 0; goOn; n += 1) {
        await call(reads[n % reads.length] ?? '');
        await call('ingredients', {
          method: 'POST',
          body: JSON.stringify({ name: `Lemon ${name}-${n}`, baseUnit: 'g' }),
        });
        await wait(20);
      }
    };
    const callers = [0, 1, 2].map(caller);
    await vi.waitFor(() => expect(asked).toBeGreaterThan(30), 60_000);
    const tables = await database.prisma.$queryRaw<{ name: string }[]>`
      SELECT tablename::text AS name FROM pg_tables
      WHERE schemaname = 'public' AND tablename <> '_prisma_migrations'`;
    expect(tables.length).toBeGreaterThan(40);
    // One table a migration, as a real one touches few.
    const additions = tables.map(({ name }, i) => ({
      ...migration(
        `add_to_${name}`,
        `ALTER TABLE "${name}" ADD COLUMN "later" TEXT,
           ADD COLUMN "laterCount" INTEGER NOT NULL DEFAULT 7;`,
      ),
      name: `2099010100${String(i).padStart(4, '0')}_add_to_${name}`,
    }));
    const done = await newer(
      ...additions,
      migration('a_new_table', 'CREATE TABLE "later" ("id" TEXT PRIMARY KEY);'),
    );
    expect(done).toHaveLength(tables.length + 1);
    const after = asked;
    await vi.waitFor(() => expect(asked).toBeGreaterThan(after + 30), 60_000);
    goOn = false;
    await Promise.all(callers);
    expect(failed).toEqual([]);
    // The older version can be started again over them, as when the newer one is taken back.
    expect(await stop()).toBe(0);
    const again = await start().ready;
    expect((await fetch(`${again.url}/readyz`)).status).toBe(200);
  }, 240_000);

  it('that find their table in use let the others go first, and land when it is free', async () => {
    database = await shared.open();
    const long = await connect();
    await long.query('BEGIN');
    await long.query('SELECT count(*) FROM "ingredients"');
    let landed = false;
    const landing = newer(
      migration('add_later', 'ALTER TABLE "ingredients" ADD COLUMN "later" TEXT;'),
    ).then((names) => {
      landed = true;
      return names;
    });
    await waitsFor('relation');
    // Behind the one that waits this would wait as long as the long transaction lasts.
    expect(await database.prisma.ingredient.count()).toBe(0);
    expect(landed).toBe(false);
    await long.query('COMMIT');
    expect(await landing).toEqual(['20990101000000_add_later']);
  }, 120_000);

  it('that fail leave nothing of themselves, and the next process may try', async () => {
    database = await shared.open();
    const bad = migration(
      'bad',
      'CREATE TABLE "half" ("id" TEXT); ALTER TABLE "nowhere" ADD "x" INT;',
    );
    await expect(newer(bad)).rejects.toThrow(/"nowhere" does not exist/);
    const rows = await database.prisma.$queryRaw`
      SELECT 1 FROM pg_tables WHERE tablename = 'half'
      UNION ALL SELECT 1 FROM pg_locks WHERE locktype = 'advisory' AND objid = ${MIGRATION_LOCK}
      AND database = (SELECT oid FROM pg_database WHERE datname = current_database())`;
    expect(rows).toEqual([]);
    const good = { ...bad, sql: 'CREATE TABLE "half" ("id" TEXT);', checksum: 'mended' };
    expect(await newer(good)).toEqual([bad.name]);
  });
});
