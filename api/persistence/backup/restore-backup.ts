import { migrate, readMigrations } from '../migrate.ts';
import { BackupDatabaseError, readBackup, type BackupHead } from './backup-file.ts';
import type { SqlSession } from './sql-session.ts';
import { keptTables, migrationsOf, quoted } from './table-rows.ts';
import type { BackupMade } from './write-backup.ts';

const ROWS_AT_ONCE = 500;
const BYTES_AT_ONCE = 4_000_000;

/**
 * Loads a backup into an empty database of either kind, all or nothing, and brings it up to date.
 * The file is read to its end first, so that a damaged one changes nothing.
 * @throws Error in plain words when the file is no whole backup, was made by a newer version, or the
 * database has something in it
 */
export async function restoreBackup(session: SqlSession, file: string): Promise<BackupMade> {
  const head = await checkWhole(file);
  await requireEmpty(session);
  const known = readMigrations().map(({ name }) => name);
  const unknown = head.migrations.find((name) => !known.includes(name));
  if (unknown !== undefined) {
    throw new Error(
      `The backup was made by a newer version, which knows ${unknown}. Use that one.`,
    );
  }
  const lock = session.kind === 'postgresql';
  await migrate(session, { lock, only: new Set(head.migrations) });
  const surplus = (await migrationsOf(session)).filter((name) => !head.migrations.includes(name));
  if (surplus.length > 0) {
    throw new Error(
      'The backup was made by an earlier version, and this database has newer tables. Restore into a database that was never used.',
    );
  }
  const made = await inOneGo(session, () => load(session, file));
  await migrate(session, { lock });
  return made;
}

async function checkWhole(file: string): Promise<BackupHead> {
  let head: BackupHead | undefined;
  for await (const line of readBackup(file)) if (line.kind === 'head') head = line.head;
  if (!head) throw new Error(`${file} is no whole backup.`);
  return head;
}

async function requireEmpty(session: SqlSession): Promise<void> {
  for (const table of await keptTables(session)) {
    const [row] = await session.rows(`SELECT EXISTS (SELECT FROM ${quoted(table)}) AS filled`);
    if (row?.filled === true) {
      throw new Error(
        `The database has something in it (${table}). Restore into an empty one: another DATA_DIR or DATABASE_URL.`,
      );
    }
  }
}

/** References between tables are taken off while rows come in, and checked when they are put back. */
async function inOneGo(session: SqlSession, run: () => Promise<BackupMade>): Promise<BackupMade> {
  await session.exec('BEGIN');
  try {
    const references = await session.rows(
      `SELECT conrelid::regclass::text AS "table", conname AS name, pg_get_constraintdef(oid) AS definition
       FROM pg_constraint WHERE contype = 'f' AND connamespace = current_schema()::regnamespace`,
    );
    for (const { table, name } of references) {
      await session.exec(`ALTER TABLE ${String(table)} DROP CONSTRAINT ${quoted(String(name))}`);
    }
    const made = await run();
    for (const { table, name, definition } of references) {
      await session.exec(
        `ALTER TABLE ${String(table)} ADD CONSTRAINT ${quoted(String(name))} ${String(definition)}`,
      );
    }
    await session.exec('COMMIT');
    return made;
  } catch (error) {
    await session.exec('ROLLBACK');
    throw error;
  }
}

async function load(session: SqlSession, file: string): Promise<BackupMade> {
  const made = { tables: 0, rows: 0 };
  let into: { table: string; columns: readonly string[] } | null = null;
  let waiting: string[] = [];
  let bytes = 0;
  const put = async (): Promise<void> => {
    if (into === null || waiting.length === 0) return;
    const names = into.columns.map(quoted).join(', ');
    const table = quoted(into.table);
    try {
      await session.rows(
        `INSERT INTO ${table} (${names}) SELECT ${names} FROM json_populate_recordset(NULL::${table}, $1::json)`,
        [`[${waiting.join(',')}]`],
      );
    } catch (error) {
      throw new BackupDatabaseError(
        `The rows of ${into.table} could not be loaded: ${(error as Error).message}`,
        { cause: error },
      );
    }
    made.rows += waiting.length;
    waiting = [];
    bytes = 0;
  };
  for await (const line of readBackup(file)) {
    if (line.kind === 'table') {
      await put();
      into = line;
      made.tables += 1;
    } else if (line.kind === 'row') {
      waiting.push(line.text);
      bytes += line.text.length;
      if (waiting.length >= ROWS_AT_ONCE || bytes >= BYTES_AT_ONCE) await put();
    }
  }
  await put();
  return made;
}
