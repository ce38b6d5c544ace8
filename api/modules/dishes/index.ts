import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import type { Clock, UnitOfWork } from '../platform/index.ts';
import { dishAllergensRoutes } from './dish-allergens.routes.ts';
import { DishAllergensService } from './dish-allergens.service.ts';
import { dishCostsRoutes } from './dish-costs.routes.ts';
import { DishCostsService } from './dish-costs.service.ts';
import type { DishesRead } from './dishes.ports.ts';
import { impactRoutes } from './impact.routes.ts';
import { ImpactService } from './impact.service.ts';
import { nutritionRoutes } from './nutrition.routes.ts';
import { NutritionService } from './nutrition.service.ts';

export type * from './dishes.ports.ts';
export { kitchenOn, type Kitchen } from './kitchen-on.ts';
export { kitchenAtSite } from './site-kitchen.ts';
export { priceBookOf } from './site-prices.ts';
export { portionCost } from './dish-costs.service.ts';

/** What is worked out of dishes: cost, allergens, nutrition and the impact of a new version. */
export interface DishesServices {
  readonly costs: DishCostsService;
  readonly allergens: DishAllergensService;
  readonly nutrition: NutritionService;
  readonly impact: ImpactService;
  /** The date that stands for today when a request names none. */
  today(): string;
}

/** @returns the services over one set of repositories */
export function createDishesServices(deps: {
  readonly work: Pick<UnitOfWork<DishesRead>, 'read'>;
  readonly clock: Clock;
}): DishesServices {
  return {
    costs: new DishCostsService(deps),
    allergens: new DishAllergensService(deps),
    nutrition: new NutritionService(deps),
    impact: new ImpactService(deps),
    today: () => deps.clock.now().toISOString().slice(0, 10),
  };
}

/** Every route about dishes. */
export function dishesRoutes(services: DishesServices): FastifyPluginAsyncZod {
  return async (app) => {
    await app.register(dishCostsRoutes(services.costs, services.today));
    await app.register(dishAllergensRoutes(services.allergens, services.today));
    await app.register(nutritionRoutes(services.nutrition, services.today));
    await app.register(impactRoutes(services.impact, services.today));
  };
}
