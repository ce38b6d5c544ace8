import type { Ingredient } from '../ingredients/index.ts';
import type { Recipe, RecipesWork, RecipeVersion } from './recipes.ports.ts';

/** What lines may name: ingredients, recipes, and what is known of each recipe's measures. */
export interface Larder {
  readonly ingredients: ReadonlyMap<string, Ingredient>;
  readonly recipes: ReadonlyMap<string, Recipe>;
  /** The newest version of each recipe: what a piece of it weighs. */
  readonly newest: ReadonlyMap<string, RecipeVersion>;
}

/** Everything lines may name. */
export async function loadLarder(
  work: Pick<RecipesWork, 'recipes' | 'ingredients'>,
): Promise<Larder> {
  const byId = <T extends { readonly id: string }>(rows: readonly T[]) =>
    new Map(rows.map((row) => [row.id, row]));
  const newest = await work.recipes.newestVersions();
  return {
    ingredients: byId(await work.ingredients.all()),
    recipes: byId(await work.recipes.all()),
    newest: new Map(newest.map((version) => [version.recipeId, version])),
  };
}
