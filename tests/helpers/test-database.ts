import { readFileSync } from 'node:fs';
import { inject } from 'vitest';
import { openInMemory, openPostgres, type Database } from '../../api/persistence/database.ts';
import { onServer, withDatabase } from './database-template.ts';

let counter = 0;

/** A fresh migrated database for one test file: embedded, or on the PostgreSQL server under test. */
export async function openTestDatabase(): Promise<Database> {
  const template = inject('databaseTemplate');
  if (template.kind === 'embedded') {
    return openInMemory(new Blob([readFileSync(template.dumpFile)]));
  }
  counter += 1;
  const name = `${template.template}_${process.pid}_${counter}_${Math.floor(performance.now())}`;
  await onServer(template.adminUrl, (client) =>
    client.query(`CREATE DATABASE ${name} TEMPLATE ${template.template}`),
  );
  const database = await openPostgres(withDatabase(template.adminUrl, name), 4);
  return {
    ...database,
    close: async () => {
      await database.close();
      await onServer(template.adminUrl, (client) =>
        client.query(`DROP DATABASE IF EXISTS ${name} WITH (FORCE)`),
      );
    },
  };
}
