import { recipesAtSite } from '../recipes/index.ts';
import type { DishesRead } from './dishes.ports.ts';
import { kitchenOn, type Kitchen } from './kitchen-on.ts';

/** The recipes in force on a date as one site makes them, its own changes in. */
export async function kitchenAtSite(
  read: Pick<DishesRead, 'recipes' | 'ingredients' | 'siteOverrides'>,
  siteId: string,
  date: string,
): Promise<Kitchen> {
  const published = await read.recipes.publishedGraphRows(date);
  const overrides = await read.siteOverrides.standing(siteId);
  return kitchenOn(recipesAtSite(published, overrides, date), await read.ingredients.all(), date);
}
