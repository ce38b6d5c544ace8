import type { Services } from './modules/routes.ts';
import { createAccessServices } from './modules/access/index.ts';
import { IngredientsService } from './modules/ingredients/index.ts';
import { PrepService, TaskWorkService } from './modules/prep/index.ts';
import { SitesService } from './modules/sites/index.ts';
import { SuppliersService } from './modules/suppliers/index.ts';
import type { Clock, NewId } from './modules/platform/index.ts';
import type { Database } from './persistence/database.ts';
import { createUnitOfWork } from './persistence/repositories.ts';
import { createArgon2Hasher } from './security/argon2-hasher.ts';
import { createSecrets } from './security/secrets.ts';

/** Makes every service over one database. Add a new module's service here. */
export function composeServices(
  database: Database,
  clock: Clock,
  newId: NewId,
  settings: { readonly secureCookies: boolean } = { secureCookies: false },
): Services {
  const work = createUnitOfWork(database, newId);
  const base = { work, clock, newId };
  const security = { hasher: createArgon2Hasher(), secrets: createSecrets(), ...settings };
  return {
    access: createAccessServices({ ...base, ...security }),
    ingredients: new IngredientsService(base),
    prep: new PrepService(base),
    sites: new SitesService(base),
    taskWork: new TaskWorkService(base),
    suppliers: new SuppliersService(base),
  };
}
