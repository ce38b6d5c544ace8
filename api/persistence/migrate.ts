import { createHash, randomUUID } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { EARLIER_TEXTS } from './mended-migrations.ts';

/** The few calls the runner needs; both drivers offer them. */
export interface MigrationTarget {
  /** Runs several statements at once. */
  exec(sql: string): Promise<void>;
  rows(sql: string, values?: readonly unknown[]): Promise<readonly Record<string, unknown>[]>;
}

const MIGRATIONS_DIR = path.join(
  path.dirname(fileURLToPath(import.meta.url)),
  '..',
  '..',
  'prisma',
  'migrations',
);

/** One number shared by all replicas, so that only one applies migrations at a time. */
const ADVISORY_LOCK = 7_260_481;

// The same table Prisma's own migrate keeps, so that either can read the other's record.
const HISTORY_TABLE = `
CREATE TABLE IF NOT EXISTS "_prisma_migrations" (
  "id" VARCHAR(36) PRIMARY KEY NOT NULL,
  "checksum" VARCHAR(64) NOT NULL,
  "finished_at" TIMESTAMPTZ,
  "migration_name" VARCHAR(255) NOT NULL,
  "logs" TEXT,
  "rolled_back_at" TIMESTAMPTZ,
  "started_at" TIMESTAMPTZ NOT NULL DEFAULT now(),
  "applied_steps_count" INTEGER NOT NULL DEFAULT 0
);`;

/** One migration: its name, its SQL, and the sum by which a later change is found out. */
export interface Migration {
  readonly name: string;
  readonly sql: string;
  readonly checksum: string;
}

/** Reads the committed migrations in order of their time stamps. */
export function readMigrations(dir: string = MIGRATIONS_DIR): readonly Migration[] {
  return readdirSync(dir)
    .filter((name) => /^\d{14}_/.test(name))
    .sort()
    .map((name) => {
      const sql = readFileSync(path.join(dir, name, 'migration.sql'), 'utf8');
      return { name, sql, checksum: createHash('sha256').update(sql).digest('hex') };
    });
}

/**
 * A migration that waits for a table holds up everybody who comes after it, so it waits this long
 * at most and then lets the others go first.
 */
const WAIT_FOR_TABLE_MS = 2_000;
const WAIT_BETWEEN_MS = 500;
/** Transactions end after a minute (database.ts); whoever holds a table longer needs a person. */
const WAITS = 60;
const LOCK_NOT_AVAILABLE = '55P03';

async function apply(target: MigrationTarget, { name, sql, checksum }: Migration): Promise<void> {
  await target.exec(
    [
      'BEGIN;',
      `SET LOCAL lock_timeout = ${WAIT_FOR_TABLE_MS};`,
      sql,
      `INSERT INTO "_prisma_migrations" (id, checksum, finished_at, migration_name, applied_steps_count)
           VALUES ('${randomUUID()}', '${checksum}', now(), '${name}', 1);`,
      'COMMIT;',
    ].join('\n'),
  );
}

/** Applies one, again and again while its tables are in use. */
async function applyOnceFree(target: MigrationTarget, migration: Migration): Promise<void> {
  for (let waits = 1; ; waits += 1) {
    try {
      return await apply(target, migration);
    } catch (error) {
      if ((error as { code?: string }).code !== LOCK_NOT_AVAILABLE || waits === WAITS) throw error;
      await target.exec('ROLLBACK');
      await wait(WAIT_BETWEEN_MS);
    }
  }
}

/**
 * Applies the migrations that are not there yet, each in a transaction of its own. Migrations of a
 * newer version that are there already are left as they are.
 * @returns the names applied now
 * @throws Error when a migration that was applied has since been changed (but see EARLIER_TEXTS)
 */
export async function migrate(
  target: MigrationTarget,
  options: {
    readonly lock: boolean;
    /** Names of the migrations to apply; left out: all. */
    readonly only?: ReadonlySet<string>;
    /** Left out: the committed ones. */
    readonly migrations?: readonly Migration[];
  },
): Promise<readonly string[]> {
  if (options.lock) await target.rows('SELECT pg_advisory_lock($1)', [ADVISORY_LOCK]);
  try {
    await target.exec(HISTORY_TABLE);
    const rows = await target.rows(
      'SELECT migration_name, checksum FROM "_prisma_migrations" WHERE finished_at IS NOT NULL AND rolled_back_at IS NULL',
    );
    const applied = new Map(rows.map((r) => [String(r.migration_name), String(r.checksum)]));
    const now: string[] = [];
    for (const migration of options.migrations ?? readMigrations()) {
      if (options.only && !options.only.has(migration.name)) continue;
      const known = applied.get(migration.name);
      if (known !== undefined) {
        const passed = [migration.checksum, ...(EARLIER_TEXTS[migration.name] ?? [])];
        if (!passed.includes(known)) {
          throw new Error(`Migration ${migration.name} was changed after it was applied.`);
        }
        continue;
      }
      await applyOnceFree(target, migration);
      now.push(migration.name);
    }
    return now;
  } catch (error) {
    await target.exec('ROLLBACK').catch(() => undefined);
    throw error;
  } finally {
    if (options.lock) await target.rows('SELECT pg_advisory_unlock($1)', [ADVISORY_LOCK]);
  }
}
