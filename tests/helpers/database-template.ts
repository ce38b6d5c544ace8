import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { PGlite } from '@electric-sql/pglite';
import pg from 'pg';
import type { TestProject } from 'vitest/node';
import { migrate } from '../../api/persistence/migrate.ts';

declare module 'vitest' {
  export interface ProvidedContext {
    databaseTemplate:
      | { kind: 'embedded'; dumpFile: string }
      | { kind: 'postgresql'; adminUrl: string; template: string };
  }
}

// Makes one migrated database before the suites; each test file gets its own copy of it.
export default async function setup(project: TestProject): Promise<() => Promise<void>> {
  const adminUrl = process.env.TAMIS_TEST_DATABASE_URL;
  if (adminUrl) {
    const template = `tamis_template_${process.pid}_${Date.now()}`;
    await onServer(adminUrl, (client) => client.query(`CREATE DATABASE ${template}`));
    await onServer(withDatabase(adminUrl, template), async (client) => {
      await migrate(
        {
          exec: async (sql) => void (await client.query(sql)),
          rows: async (sql, values) => (await client.query(sql, values ? [...values] : [])).rows,
        },
        { lock: true },
      );
    });
    project.provide('databaseTemplate', { kind: 'postgresql', adminUrl, template });
    return () =>
      onServer(adminUrl, (client) => client.query(`DROP DATABASE IF EXISTS ${template}`)).then(
        () => undefined,
      );
  }
  const dir = mkdtempSync(path.join(os.tmpdir(), 'tamis-template-'));
  const dumpFile = path.join(dir, 'template.tar');
  const pglite = await PGlite.create();
  await migrate(
    {
      exec: async (sql) => void (await pglite.exec(sql)),
      rows: async (sql, values) =>
        (await pglite.query<Record<string, unknown>>(sql, values ? [...values] : [])).rows,
    },
    { lock: false },
  );
  const dump = await pglite.dumpDataDir('none');
  writeFileSync(dumpFile, Buffer.from(await dump.arrayBuffer()));
  await pglite.close();
  project.provide('databaseTemplate', { kind: 'embedded', dumpFile });
  return async () => rmSync(dir, { recursive: true, force: true });
}

/** @returns the URL of another database on the same server */
export function withDatabase(url: string, database: string): string {
  const next = new URL(url);
  next.pathname = `/${database}`;
  return next.toString();
}

/** Runs something over one connection and closes it. */
export async function onServer<T>(url: string, run: (client: pg.Client) => Promise<T>): Promise<T> {
  const client = new pg.Client({ connectionString: url });
  await client.connect();
  try {
    return await run(client);
  } finally {
    await client.end();
  }
}
