import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { accessRoutes, type AccessServices } from './access/index.ts';
import { ingredientsRoutes, type IngredientsService } from './ingredients/index.ts';
import { prepRoutes, type PrepService, type TaskWorkService } from './prep/index.ts';
import { sitesRoutes, type SitesService } from './sites/index.ts';
import { packsRoutes, suppliersRoutes, type SuppliersService } from './suppliers/index.ts';

/** The use cases behind /v1. Add a new module's service here and its routes below. */
export interface Services {
  readonly access: AccessServices;
  readonly ingredients: IngredientsService;
  readonly prep: PrepService;
  readonly sites: SitesService;
  readonly taskWork: TaskWorkService;
  readonly suppliers: SuppliersService;
}

/** The routes of every module, in the order they appear in the OpenAPI document. */
export function moduleRoutes(services: Services): readonly FastifyPluginAsyncZod[] {
  return [
    accessRoutes(services.access),
    prepRoutes(services.prep, services.taskWork),
    sitesRoutes(services.sites),
    ingredientsRoutes(services.ingredients),
    suppliersRoutes(services.suppliers),
    packsRoutes(services.suppliers),
  ];
}
