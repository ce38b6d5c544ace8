import type { SqlSession } from './sql-session.ts';

const AT_ONCE = 500;

/** Written by Prisma's own migrate and by our runner; a restore makes it anew. */
const HISTORY = '_prisma_migrations';
/**
 * What a copy of a database leaves out: who is signed in and what was tried (after a restore everybody
 * signs in again), and lists that are only kept as text, with their marks.
 */
const PASSING: ReadonlySet<string> = new Set([
  ...['sessions', 'sign_in_attempts', 'rate_windows'],
  ...['kept_day_lists', 'list_marks'],
]);

/** A name as SQL writes it. */
export const quoted = (name: string): string => `"${name.replaceAll('"', '""')}"`;

/** The tables that hold something worth keeping, by name. */
export async function keptTables(session: SqlSession): Promise<readonly string[]> {
  const found = await session.rows(
    `SELECT tablename AS name FROM pg_tables WHERE schemaname = current_schema() ORDER BY 1`,
  );
  return found
    .map((row) => String(row.name))
    .filter((name) => name !== HISTORY && !PASSING.has(name));
}

/** The columns of a table in their order. */
export async function columnsOf(session: SqlSession, table: string): Promise<readonly string[]> {
  const found = await session.rows(
    `SELECT column_name AS name FROM information_schema.columns
     WHERE table_schema = current_schema() AND table_name = $1 ORDER BY ordinal_position`,
    [table],
  );
  return found.map((row) => String(row.name));
}

/** Names of the migrations that a database has, in their order. */
export async function migrationsOf(session: SqlSession): Promise<readonly string[]> {
  const [there] = await session.rows(`SELECT to_regclass($1)::text AS name`, [HISTORY]);
  if (there?.name === null || there === undefined) return [];
  const found = await session.rows(
    `SELECT migration_name AS name FROM ${quoted(HISTORY)}
     WHERE finished_at IS NOT NULL AND rolled_back_at IS NULL ORDER BY 1`,
  );
  return found.map((row) => String(row.name));
}

/**
 * Runs something over one unchanging picture of the whole database; others may go on writing.
 * Nothing it does is kept.
 */
export async function overPicture<T>(session: SqlSession, run: () => Promise<T>): Promise<T> {
  await session.exec('BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY');
  try {
    // What a number or an instant looks like must not hang on the settings of a server.
    await session.exec(`SET LOCAL TIME ZONE 'UTC'; SET LOCAL extra_float_digits = 1`);
    return await run();
  } finally {
    await session.exec('ROLLBACK');
  }
}

/** Each row of a table as the text of a JSON object, some hundreds in memory at a time. */
export async function* rowTexts(session: SqlSession, table: string): AsyncGenerator<string> {
  await session.exec(
    `DECLARE every_row CURSOR FOR SELECT row_to_json(x)::text AS row FROM ${quoted(table)} x ORDER BY x::text COLLATE "C"`,
  );
  for (;;) {
    const some = await session.rows(`FETCH ${AT_ONCE} FROM every_row`);
    for (const { row } of some) yield String(row);
    if (some.length < AT_ONCE) break;
  }
  await session.exec('CLOSE every_row');
}
