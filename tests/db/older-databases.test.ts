import { createHash } from 'node:crypto';
import { PGlite } from '@electric-sql/pglite';
import pg from 'pg';
import { afterEach, describe, expect, inject, it } from 'vitest';
import { createOrdersRepository } from '../../api/persistence/orders.repository.ts';
import { openInMemory, openPostgres, type Database } from '../../api/persistence/database.ts';
import { EARLIER_TEXTS } from '../../api/persistence/mended-migrations.ts';
import { migrate, readMigrations, type MigrationTarget } from '../../api/persistence/migrate.ts';
import { onServer, withDatabase } from '../helpers/database-template.ts';
import { openTestDatabase } from '../helpers/test-database.ts';

// Databases made by earlier versions, with rows in them, brought up to this one.

const MENDED = '20261125152039_order_life';
const names = readMigrations().map(({ name }) => name);
const template = inject('databaseTemplate');
const closing: (() => Promise<unknown>)[] = [];
let made = 0;
afterEach(async () => {
  for (const close of closing.splice(0).reverse()) await close();
});

interface OldDatabase extends MigrationTarget {
  /** Opens it as the service does, which brings it up to date. */
  open(): Promise<Database>;
}

/** An empty database of the kind under test, to be filled as an earlier version left it. */
async function emptyDatabase(): Promise<OldDatabase> {
  if (template.kind === 'embedded') {
    const pglite = await PGlite.create();
    return {
      exec: async (sql) => void (await pglite.exec(sql)),
      rows: async (sql, values) =>
        (await pglite.query<Record<string, unknown>>(sql, values ? [...values] : [])).rows,
      open: async () => {
        const dump = await pglite.dumpDataDir('none');
        await pglite.close();
        return keep(await openInMemory(new Blob([await dump.arrayBuffer()])));
      },
    };
  }
  made += 1;
  const name = `${template.template}_old_${process.pid}_${made}`;
  const url = withDatabase(template.adminUrl, name);
  await onServer(template.adminUrl, (client) => client.query(`CREATE DATABASE ${name}`));
  closing.push(() =>
    onServer(template.adminUrl, (client) => client.query(`DROP DATABASE ${name} WITH (FORCE)`)),
  );
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  closing.push(() => client.end());
  return {
    exec: async (sql) => void (await client.query(sql)),
    rows: async (sql, values) => (await client.query(sql, values ? [...values] : [])).rows,
    open: async () => keep(await openPostgres(url, 2)),
  };
}
function keep(database: Database): Database {
  closing.push(() => database.close());
  return database;
}

async function upTo(name: string): Promise<OldDatabase> {
  const old = await emptyDatabase();
  await migrate(old, { lock: false, only: new Set(names.slice(0, names.indexOf(name))) });
  return old;
}

async function addOrder(
  old: OldDatabase,
  order: { id: string; status: string; number: number | null; date?: string },
): Promise<void> {
  const { id, status, number, date = '2026-03-12' } = order;
  await old.rows(
    `INSERT INTO orders (id, number, "supplierId", "siteId", "deliveryDate", "cutoffAt", status, currency, total, notes)
     VALUES ($1, $2, 'sup_1', 'site_1', $3, '2026-03-11T11:00:00Z', $4, 'EUR', 20, ARRAY['as it was'])`,
    [id, number, date, status],
  );
}

describe('a database from before orders had a life of their own', () => {
  it('keeps deliveries on record, dated by the clock of their site', async () => {
    const old = await upTo(MENDED);
    await old.exec(
      `INSERT INTO sites (id, name, zone, currency, "ruleSet", hours)
       VALUES ('site_1', 'House', 'Europe/Rome', 'EUR', 'uk', '[]')`,
    );
    await addOrder(old, { id: 'ord_1', status: 'received', number: 1 });
    await old.exec(
      `INSERT INTO deliveries (id, "orderId", "siteId", "receivedAt", "actorId", lines) VALUES
       ('del_1', 'ord_1', 'site_1', '2026-03-11T22:59:00Z', 'usr_1', '[]'),
       ('del_2', 'ord_1', 'site_1', '2026-03-11T23:01:00Z', 'usr_1', '[]'),
       ('del_3', 'ord_1', 'site_gone', '2026-03-11T23:01:00Z', 'usr_1', '[]')`,
    );
    const { prisma } = await old.open();
    const kept = await createOrdersRepository(prisma).deliveriesOf(['ord_1']);
    // Rome is an hour ahead of UTC in March; a site that is gone has no clock.
    expect(kept.map(({ id, date, final, findings }) => ({ id, date, final, findings }))).toEqual([
      { id: 'del_1', date: '2026-03-11', final: true, findings: [] },
      { id: 'del_2', date: '2026-03-12', final: true, findings: [] },
      { id: 'del_3', date: '2026-03-11', final: true, findings: [] },
    ]);
  });

  it('keeps two orders that the supplier has for one delivery, and says so on the later', async () => {
    const old = await upTo(MENDED);
    await addOrder(old, { id: 'ord_d', status: 'proposed', number: null });
    await addOrder(old, { id: 'ord_c', status: 'sent', number: 8 });
    await addOrder(old, { id: 'ord_b', status: 'approved', number: 6 });
    await addOrder(old, { id: 'ord_a', status: 'sent', number: 7 });
    await addOrder(old, { id: 'ord_e', status: 'sent', number: 9, date: '2026-03-13' });
    const { prisma } = await old.open();
    const orders = createOrdersRepository(prisma);
    const kept = await orders.matching({ siteIds: 'all' });
    const told = 'Stands beside order 7 for the same delivery';
    expect(
      kept
        .map(({ id, status, notes }) => ({ id, status, told: notes.at(-1)?.startsWith(told) }))
        .sort((a, b) => a.id.localeCompare(b.id)),
    ).toEqual([
      { id: 'ord_a', status: 'sent', told: false },
      { id: 'ord_b', status: 'approved', told: true },
      { id: 'ord_c', status: 'sent', told: true },
      { id: 'ord_d', status: 'cancelled', told: false },
      { id: 'ord_e', status: 'sent', told: false },
    ]);
    // From here on there is one open order for a delivery, as everywhere.
    const first = kept.find((order) => order.id === 'ord_a');
    if (!first) throw new Error('The first order is gone.');
    await expect(orders.insert({ ...first, id: 'ord_f', number: 10 })).rejects.toMatchObject({
      kind: 'conflict',
    });
    // Those that stand beside it can still be taken on.
    const beside = kept.find((order) => order.id === 'ord_c');
    if (!beside) throw new Error('The later order is gone.');
    expect(await orders.save({ ...beside, status: 'confirmed', rev: 2 }, beside.rev)).toBe(true);
  });
});

/** The text of the mended migration as it first landed. */
function firstText(): string {
  const now = readMigrations().find(({ name }) => name === MENDED)?.sql ?? '';
  return now
    .replace('ADD COLUMN     "date" DATE,', 'ADD COLUMN     "date" DATE NOT NULL,')
    .replace(/\n-- Deliveries that were taken in[\s\S]*?SET NOT NULL;\n/, '')
    .replace(
      /-- One open order[\s\S]*?next delivery\.\n/,
      `-- One open order for a supplier, site and delivery. Proposals beside an order that is with the
-- supplier already were additions; they are worked out again for the next delivery.\n`,
    )
    .replace(
      '\n\n-- Lines ordered before',
      `\nCREATE UNIQUE INDEX "orders_one_open_a_delivery" ON "orders" ("supplierId", "siteId", "deliveryDate")
    WHERE "status" IN ('proposed', 'approved', 'sent', 'confirmed', 'part-delivered');\n\n-- Lines ordered before`,
    );
}

/** Every column, index and constraint, in words that do not hang on the order they were made in. */
async function tablesOf({ prisma }: Database): Promise<readonly string[]> {
  const rows = await prisma.$queryRaw<{ what: string }[]>`
    SELECT concat_ws(' ', table_name, column_name, data_type, is_nullable, column_default) AS what
      FROM information_schema.columns WHERE table_schema = 'public'
    UNION ALL SELECT indexdef FROM pg_indexes WHERE schemaname = 'public'
    UNION ALL SELECT concat_ws(' ', conrelid::regclass, conname, pg_get_constraintdef(oid))
      FROM pg_constraint WHERE connamespace = 'public'::regnamespace
    ORDER BY what`;
  return rows.map(({ what }) => what);
}

describe('a migration that was put right', () => {
  it('leaves alone a database that passed the earlier text, and both come to the same tables', async () => {
    const sql = firstText();
    const checksum = createHash('sha256').update(sql).digest('hex');
    expect(EARLIER_TEXTS[MENDED]).toContain(checksum);

    const passed = await upTo(MENDED);
    await passed.exec(sql);
    await passed.rows(
      `INSERT INTO "_prisma_migrations" (id, checksum, finished_at, migration_name, applied_steps_count)
       VALUES ('first', $1, now(), $2, 1)`,
      [checksum, MENDED],
    );
    const before = await passed.open();
    const [kept] = await before.prisma.$queryRaw<{ checksum: string }[]>`
      SELECT checksum FROM "_prisma_migrations" WHERE migration_name = ${MENDED}`;
    expect(kept).toEqual({ checksum });
    const fresh = keep(await openTestDatabase());
    expect(await tablesOf(before)).toEqual(await tablesOf(fresh));
  }, 120_000);

  it('is refused with any other text, as every migration is', async () => {
    const old = await upTo(MENDED);
    await old.rows(
      `INSERT INTO "_prisma_migrations" (id, checksum, finished_at, migration_name, applied_steps_count)
       VALUES ('odd', $1, now(), $2, 1)`,
      ['0'.repeat(64), MENDED],
    );
    await expect(old.open()).rejects.toThrow(`${MENDED} was changed after it was applied`);
  });
});
