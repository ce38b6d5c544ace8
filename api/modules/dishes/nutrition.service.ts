import { allergenStatement } from '../../core/allergens/index.ts';
import {
  ingredientList,
  nutritionOf,
  nutritionTable,
  type IngredientList,
  type NutritionTable,
} from '../../core/nutrition/index.ts';
import { notFound, orRefuse, type UnitOfWork } from '../platform/index.ts';
import { recipesAtSite, type RecipeVersion } from '../recipes/index.ts';
import type { DishesRead } from './dishes.ports.ts';
import { kitchenOn } from './kitchen-on.ts';

/** The declaration of what one version makes, with the components in force on a date. */
export interface VersionNutrition {
  readonly version: RecipeVersion;
  readonly name: string;
  readonly date: string;
  readonly table: NutritionTable;
  /** Recipes with several outputs on the way: their nutrients are shared out by mass, an estimate. */
  readonly sharedByMass: readonly string[];
  readonly list: IngredientList | null;
  /** Why there is no list of ingredients. */
  readonly listMissing: string | null;
  nameOf(itemId: string): string;
}

/** Nutrition declarations and ingredient lists of recipe versions. */
export class NutritionService {
  readonly #work: Pick<UnitOfWork<DishesRead>, 'read'>;

  constructor({ work }: { readonly work: Pick<UnitOfWork<DishesRead>, 'read'> }) {
    this.#work = work;
  }

  /**
   * @param on   the date whose components are taken; the version itself counts as in force then
   * @param siteId with what this site does otherwise; the group's recipes where left out
   * @throws Refusal `missing-component` where a component has no version by then
   */
  async ofVersion(versionId: string, on: string, siteId?: string): Promise<VersionNutrition> {
    const { recipes, ingredients, siteOverrides, sites } = this.#work.read;
    if (siteId !== undefined && !(await sites.find(siteId))) throw notFound('site', siteId);
    const overrides = siteId === undefined ? [] : await siteOverrides.standing(siteId);
    const version = await recipes.findVersion(versionId);
    if (!version) throw notFound('recipe version', versionId);
    const published = await recipes.publishedGraphRows(on);
    const rows = await ingredients.all();
    const asIf = {
      recipes: published.recipes,
      versions: [
        ...published.versions.filter((other) => other.recipeId !== version.recipeId),
        { ...version, status: 'published' as const, firstServiceDate: on, withdrawnFrom: null },
      ],
    };
    const kitchen = kitchenOn(recipesAtSite(asIf, overrides, on), rows, on);
    const { recipeId } = version;
    const { graph, nutrients, massPerBaseUnit, fromTheTap, declarations } = kitchen;
    const figures = orRefuse(nutritionOf(graph, { nutrients, massPerBaseUnit }, recipeId));
    const statement = orRefuse(allergenStatement(graph, declarations, recipeId, 'eu'));
    const list = ingredientList(graph, recipeId, statement, {
      massPerBaseUnit,
      waterItemIds: fromTheTap,
    });
    return {
      version,
      name: graph.items.get(recipeId)?.name ?? recipeId,
      date: on,
      table: nutritionTable(figures, ['fibre']),
      sharedByMass: figures.sharedByMassItemIds,
      list: list.ok ? list.value : null,
      listMissing: list.ok ? null : list.error.message,
      nameOf: (itemId) => graph.items.get(itemId)?.name ?? itemId,
    };
  }
}
