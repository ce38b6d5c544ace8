import type { Database } from '../../api/persistence/database.ts';

/** Counts of requests and tries, which refusals write on purpose, and lists kept as text when read. */
const COUNTED_ON_REFUSAL = [
  ...['idempotency_records', 'sessions', 'sign_in_attempts', 'rate_windows'],
  ...['kept_day_lists', 'list_marks'],
];

/**
 * One line that changes when any row of any table changes, but for what refusals are meant to
 * write: tries, keys of requests, and the audit of a refused sign-in.
 */
export function fingerprintOf(database: Database): () => Promise<string> {
  let sql: string | null = null;
  return async () => {
    if (sql === null) {
      const tables = await database.prisma.$queryRawUnsafe<{ name: string }[]>(
        `SELECT tablename AS name FROM pg_tables WHERE schemaname = 'public' ORDER BY 1`,
      );
      sql = tables
        .filter(({ name }) => !COUNTED_ON_REFUSAL.includes(name))
        .map(({ name }) => {
          const only = name === 'audit_events' ? `WHERE x."action" <> 'sign-in-refused'` : '';
          return `SELECT '${name}' AS name, count(*)::text AS rows, coalesce(sum(hashtextextended(x::text, 0)), 0)::text AS hash FROM "${name}" x ${only}`;
        })
        .join(' UNION ALL ');
    }
    const rows =
      await database.prisma.$queryRawUnsafe<{ name: string; rows: string; hash: string }[]>(sql);
    return rows.map(({ name, rows: count, hash }) => `${name} ${count} ${hash}`).join('\n');
  };
}

/** The tables of which two fingerprints differ. */
export function changedTables(before: string, after: string): string[] {
  const old = new Set(before.split('\n'));
  return after
    .split('\n')
    .filter((line) => !old.has(line))
    .map((line) => line.split(' ')[0] ?? '');
}
