import type { Services } from './modules/routes.ts';
import { IngredientsService } from './modules/ingredients/index.ts';
import { SitesService } from './modules/sites/index.ts';
import { SuppliersService } from './modules/suppliers/index.ts';
import type { Clock, NewId } from './modules/platform/index.ts';
import type { Database } from './persistence/database.ts';
import { createUnitOfWork } from './persistence/repositories.ts';

/** Makes every service over one database. Add a new module's service here. */
export function composeServices(database: Database, clock: Clock, newId: NewId): Services {
  const work = createUnitOfWork(database, newId);
  const base = { work, clock, newId };
  return {
    ingredients: new IngredientsService(base),
    sites: new SitesService(base),
    suppliers: new SuppliersService(base),
  };
}
