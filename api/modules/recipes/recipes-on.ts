import {
  buildRecipeGraph,
  type Item,
  type RecipeDef,
  type RecipeGraph,
} from '../../core/recipe-graph/index.ts';
import type { Result } from '../../core/shared/index.ts';
import type { Ingredient } from '../ingredients/index.ts';
import type { PublishedRecipes, Recipe, RecipeVersion, VersionToSave } from './recipes.ports.ts';

/** A calendar day at which it is not yet tomorrow anywhere: dates before it are past everywhere. */
export function earliestToday(now: Date): string {
  const BEHIND_UTC_MS = 12 * 3_600_000;
  return new Date(now.getTime() - BEHIND_UTC_MS).toISOString().slice(0, 10);
}

/** Whether a version drives a service date, later versions aside. */
function mayDrive(version: RecipeVersion, date: string): boolean {
  if (version.firstServiceDate === null || version.firstServiceDate > date) return false;
  if (version.status === 'published') return true;
  return version.withdrawnFrom !== null && date < version.withdrawnFrom;
}

/** The version of each recipe in force on a service date: the one that began last. */
export function versionsInForce(
  versions: readonly RecipeVersion[],
  date: string,
): ReadonlyMap<string, RecipeVersion> {
  const inForce = new Map<string, RecipeVersion>();
  for (const version of versions) {
    if (!mayDrive(version, date)) continue;
    const other = inForce.get(version.recipeId);
    if (!other || (other.firstServiceDate ?? '') < (version.firstServiceDate ?? '')) {
      inForce.set(version.recipeId, version);
    }
  }
  return inForce;
}

/** Service dates from `from` on at which what is in force changes, `from` first. */
export function changeDates(versions: readonly RecipeVersion[], from: string): readonly string[] {
  const dates = new Set([from]);
  for (const { firstServiceDate, withdrawnFrom } of versions) {
    if (firstServiceDate !== null && firstServiceDate > from) dates.add(firstServiceDate);
    if (withdrawnFrom !== null && withdrawnFrom > from) dates.add(withdrawnFrom);
  }
  return [...dates].sort();
}

/** A version as core/recipe-graph takes it; an ingredient's own trim yield stands in for a line's. */
export function recipeDefOf(
  version: VersionToSave & { readonly id: string; readonly recipeId: string },
  trimOf: ReadonlyMap<string, number>,
): RecipeDef {
  return {
    itemId: version.recipeId,
    versionId: version.id,
    outputs: [
      {
        itemId: version.recipeId,
        quantity: version.output.quantity,
        main: true,
        shelfLifeMin: version.shelfLifeMin,
      },
      ...version.byProducts.map((byProduct) => ({
        itemId: byProduct.componentId,
        quantity: byProduct.quantity,
        main: false,
        mayStartBatch: byProduct.mayStartBatch,
        shelfLifeMin: byProduct.shelfLifeMin,
      })),
    ],
    lines: version.lines.map((line, index) => ({
      id: 'id' in line && typeof line.id === 'string' ? line.id : String(index),
      itemId: line.ingredientId ?? line.componentId ?? '',
      quantity: line.quantity,
      yieldFraction:
        (line.trimYield ?? trimOf.get(line.ingredientId ?? '') ?? 1) * (line.cookingYield ?? 1),
      perBatch: line.perBatch,
    })),
    batchLimits: {
      stepBatches: version.batch.multiple,
      minimumBatches: version.batch.min,
      ...(version.batch.max === null ? {} : { maximumBatches: version.batch.max }),
    },
  };
}

/** Everything recipes name, as the core's items. */
export function itemsOf(
  recipes: readonly Recipe[],
  ingredients: readonly Ingredient[],
): readonly Item[] {
  return [
    ...recipes.map(({ id, kind, name, baseUnit }) => ({ id, kind, name, baseUnit })),
    ...ingredients.map(({ id, name, baseUnit }) => ({
      id,
      kind: 'ingredient' as const,
      name,
      baseUnit,
    })),
  ];
}

/** Each ingredient's own trim yield. */
export function trimYields(ingredients: readonly Ingredient[]): ReadonlyMap<string, number> {
  return new Map(ingredients.map((row) => [row.id, row.trimYield.fraction]));
}

/** The recipes in force on a service date as one checked graph, archived recipes left out. */
export function graphOn(
  published: PublishedRecipes,
  ingredients: readonly Ingredient[],
  date: string,
): Result<RecipeGraph> {
  const trimOf = trimYields(ingredients);
  const living = new Set(published.recipes.filter((r) => !r.archived).map((r) => r.id));
  const inForce = versionsInForce(
    published.versions.filter((version) => living.has(version.recipeId)),
    date,
  );
  return buildRecipeGraph(
    itemsOf(published.recipes, ingredients),
    [...inForce.values()].map((version) => recipeDefOf(version, trimOf)),
  );
}
