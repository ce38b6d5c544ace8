import { createWriteStream, mkdirSync, readdirSync } from 'node:fs';
import path from 'node:path';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { stringify } from 'csv-stringify/sync';
import type { SqlSession } from './sql-session.ts';
import { columnsOf, keptTables, overPicture, rowTexts } from './table-rows.ts';
import type { BackupMade } from './write-backup.ts';

/** Kept to ourselves: what would help somebody to sign in as another. */
const SECRET_COLUMNS: ReadonlySet<string> = new Set(['passwordHash', 'secretHash']);
/** Requests that were answered once: of use to the service alone. */
const OWN_TABLES: ReadonlySet<string> = new Set(['idempotency_records']);

/**
 * Writes everything into an empty folder in open formats: for each table a file of JSON lines (each
 * row as it stands) and a file of comma-separated values (RFC 4180, UTF-8, first row the names; what
 * is no plain value stands as JSON). Hashes of passwords and keys are left out.
 * @throws Error when the folder has something in it
 */
export async function exportTables(session: SqlSession, folder: string): Promise<BackupMade> {
  mkdirSync(folder, { recursive: true });
  if (readdirSync(folder).length > 0) throw new Error(`The folder ${folder} is not empty.`);
  const made = { tables: 0, rows: 0 };
  await overPicture(session, async () => {
    for (const table of await keptTables(session)) {
      if (OWN_TABLES.has(table)) continue;
      const columns = (await columnsOf(session, table)).filter((one) => !SECRET_COLUMNS.has(one));
      for (const [ending, lines] of [
        ['jsonl', jsonLines],
        ['csv', csvLines],
      ] as const) {
        await pipeline(
          Readable.from(lines(session, table, columns)),
          createWriteStream(path.join(folder, `${table}.${ending}`), { mode: 0o600 }),
        );
      }
      const [count] = await session.rows(`SELECT count(*)::int AS rows FROM "${table}"`);
      made.tables += 1;
      made.rows += Number(count?.rows ?? 0);
    }
  });
  return made;
}

type Lines = (
  session: SqlSession,
  table: string,
  columns: readonly string[],
) => AsyncGenerator<string>;

async function* rowsOf(
  session: SqlSession,
  table: string,
): AsyncGenerator<Readonly<Record<string, unknown>>> {
  for await (const text of rowTexts(session, table)) {
    yield JSON.parse(text) as Readonly<Record<string, unknown>>;
  }
}

const jsonLines: Lines = async function* (session, table, columns) {
  for await (const row of rowsOf(session, table)) {
    yield `${JSON.stringify(Object.fromEntries(columns.map((name) => [name, row[name] ?? null])))}\n`;
  }
};

const csvLines: Lines = async function* (session, table, columns) {
  const line = (cells: readonly unknown[]): string =>
    stringify([[...cells]], { record_delimiter: '\r\n', cast: { boolean: String } });
  yield line(columns);
  for await (const row of rowsOf(session, table)) {
    yield line(
      columns.map((name) => {
        const value = row[name] ?? '';
        return typeof value === 'object' ? JSON.stringify(value) : value;
      }),
    );
  }
};
