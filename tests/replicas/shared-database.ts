import { describe, inject } from 'vitest';
import { composeServices } from '../../api/compose.ts';
import type { Services } from '../../api/modules/routes.ts';
import type { Role } from '../../api/modules/platform/index.ts';
import { openPostgres, type Database } from '../../api/persistence/database.ts';
import { createNewId } from '../../api/persistence/new-id.ts';
import { systemClock } from '../../api/start-server.ts';
import { onServer, withDatabase } from '../helpers/database-template.ts';
import { SYSTEM } from '../helpers/test-app.ts';

// Many processes share a server only; an embedded database belongs to one.

export const PASSWORD = 'three ovens at dawn';

/** Suites of many processes: run over PostgreSQL, left out over the embedded database. */
export const overPostgres =
  inject('databaseTemplate').kind === 'postgresql' ? describe : describe.skip;

/** A database of its own on the server under test. */
export interface SharedDatabase {
  readonly url: string;
  /** Opens it here as well, to put things there and to look. */
  open(): Promise<Database>;
  drop(): Promise<void>;
}

let made = 0;

/** @param empty without any table; otherwise with all migrations applied */
export async function makeSharedDatabase(empty = false): Promise<SharedDatabase> {
  const template = inject('databaseTemplate');
  if (template.kind !== 'postgresql') throw new Error('This needs a PostgreSQL server.');
  const { adminUrl } = template;
  made += 1;
  const name = `tamis_replicas_${process.pid}_${made}_${Date.now()}`;
  await onServer(adminUrl, (client) =>
    client.query(`CREATE DATABASE ${name}${empty ? '' : ` TEMPLATE ${template.template}`}`),
  );
  const url = withDatabase(adminUrl, name);
  return {
    url,
    open: () => openPostgres(url, 3),
    drop: async () => {
      await onServer(adminUrl, (client) =>
        client.query(`DROP DATABASE IF EXISTS ${name} WITH (FORCE)`),
      );
    },
  };
}

/** The services over it, by the clock on the wall, as the processes have them. */
export const servicesOver = (database: Database): Services =>
  composeServices(database, systemClock, createNewId());

/** Makes a person with PASSWORD. */
export async function makePerson(
  services: Services,
  email: string,
  role: Role,
  siteIds: 'all' | string[] = 'all',
): Promise<string> {
  const made = await services.access.users.create(SYSTEM, {
    email,
    name: `${role} of the lakes`,
    role,
    siteIds,
    password: PASSWORD,
  });
  return made.id;
}
