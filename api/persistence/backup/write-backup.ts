import { createWriteStream, renameSync, rmSync } from 'node:fs';
import { open } from 'node:fs/promises';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { createGzip } from 'node:zlib';
import { FORMAT, FORMAT_VERSION, LineSum, type BackupHead } from './backup-file.ts';
import type { SqlSession } from './sql-session.ts';
import { columnsOf, keptTables, migrationsOf, overPicture, rowTexts } from './table-rows.ts';

/** What was copied. */
export interface BackupMade {
  readonly tables: number;
  readonly rows: number;
}

/**
 * Copies a whole database into one file, as it is at one instant. The file appears under its name
 * only when it is whole and on the disk; only its owner may read it, because it holds the hashes of
 * passwords and keys.
 * @throws Error when the database has no tables of ours, or the file cannot be written
 */
export async function writeBackup(
  session: SqlSession,
  file: string,
  now: Date,
): Promise<BackupMade> {
  const migrations = await migrationsOf(session);
  if (migrations.length === 0) throw new Error('This database has never been used by tamis.');
  const head: BackupHead = {
    format: FORMAT,
    version: FORMAT_VERSION,
    madeAt: now.toISOString(),
    migrations: [...migrations],
  };
  const part = `${file}.part`;
  const made = { tables: 0, rows: 0 };
  try {
    await overPicture(session, () =>
      pipeline(
        Readable.from(linesOf(session, head, made)),
        createGzip(),
        createWriteStream(part, { mode: 0o600 }),
      ),
    );
    const handle = await open(part, 'r+');
    await handle.sync();
    await handle.close();
    renameSync(part, file);
  } catch (error) {
    rmSync(part, { force: true });
    throw error;
  }
  return made;
}

async function* linesOf(
  session: SqlSession,
  head: BackupHead,
  made: { tables: number; rows: number },
): AsyncGenerator<string> {
  const sum = new LineSum();
  yield sum.add(JSON.stringify(head));
  for (const table of await keptTables(session)) {
    yield sum.add(JSON.stringify({ table, columns: await columnsOf(session, table) }));
    made.tables += 1;
    for await (const row of rowTexts(session, table)) {
      sum.rows += 1;
      yield sum.add(row);
    }
  }
  made.rows = sum.rows;
  yield sum.end();
}
