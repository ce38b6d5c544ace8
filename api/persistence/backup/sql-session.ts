import { existsSync } from 'node:fs';
import pg from 'pg';
import { EmbeddedFolder } from '../embedded-engine.ts';
import { lockFolder } from '../folder-lock.ts';
import type { MigrationTarget } from '../migrate.ts';

/** One connection that speaks plain SQL, for work on a whole database. */
export interface SqlSession extends MigrationTarget {
  readonly kind: 'embedded' | 'postgresql';
  close(): Promise<void>;
}

/** Which database to open: `databaseUrl` wins over `dataDir`. */
export interface DatabasePlace {
  readonly databaseUrl: string | null;
  readonly dataDir: string;
}

/**
 * Opens one connection to a database as it stands; nothing is migrated.
 * @param mustBeThere refuse to make a new embedded folder
 * @throws Error in plain words when the embedded folder is in use or is not there
 */
export async function openSqlSession(
  place: DatabasePlace,
  mustBeThere = false,
): Promise<SqlSession> {
  if (place.databaseUrl !== null) return overPostgres(place.databaseUrl);
  if (mustBeThere && !existsSync(`${place.dataDir}/db`)) {
    throw new Error(`There is no embedded database in ${place.dataDir}. Set DATA_DIR.`);
  }
  return overFolder(place.dataDir);
}

async function overPostgres(url: string): Promise<SqlSession> {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  return {
    kind: 'postgresql',
    exec: async (sql) => void (await client.query(sql)),
    rows: async (sql, values) =>
      (await client.query<Record<string, unknown>>(sql, values ? [...values] : [])).rows,
    close: () => client.end(),
  };
}

async function overFolder(dataDir: string): Promise<SqlSession> {
  const lock = await lockFolder(dataDir);
  try {
    const embedded = await EmbeddedFolder.open(dataDir);
    return {
      kind: 'embedded',
      exec: async (sql) => void (await embedded.exec(sql)),
      rows: async (sql, values) =>
        (await embedded.query<Record<string, unknown>>(sql, values ? [...values] : [])).rows,
      close: async () => {
        await embedded.close();
        lock.release();
      },
    };
  } catch (error) {
    lock.release();
    throw error;
  }
}
