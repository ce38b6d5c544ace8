import { buildRecipeGraph, type RecipeDef } from '../../core/recipe-graph/index.ts';
import type { CoreError } from '../../core/shared/index.ts';
import type { Ingredient } from '../ingredients/index.ts';
import { Refusal } from '../platform/index.ts';
import { changeDates, itemsOf, recipeDefOf, trimYields, versionsInForce } from './recipes-on.ts';
import type { Larder } from './larder.ts';
import type { Recipe, RecipeVersion, VersionToSave } from './recipes.ports.ts';

/**
 * Refuses a draft that would contain itself, taking the newest version of every other recipe. A
 * component without any version yet is let through: it is asked for when publishing.
 * @throws Refusal `recipe-cycle` with the path by names, pointing at the line that closes it
 */
export function refuseCycle(recipe: Recipe, version: VersionToSave, larder: Larder): void {
  const ingredients = [...larder.ingredients.values()];
  const trimOf = trimYields(ingredients);
  const draft = recipeDefOf({ ...version, id: 'draft', recipeId: recipe.id }, trimOf);
  const others = [...larder.recipes.values()]
    .filter((other) => other.id !== recipe.id)
    .map((other): RecipeDef => {
      const newest = larder.newest.get(other.id);
      return newest ? recipeDefOf(newest, trimOf) : unwritten(other.id);
    });
  const graph = buildRecipeGraph(itemsOf([...larder.recipes.values()], ingredients), [
    draft,
    ...others,
  ]);
  if (!graph.ok) throw refusalAt(graph.error, version);
}

/** Stands in for a component that nobody has written yet. */
function unwritten(itemId: string): RecipeDef {
  return { itemId, versionId: '', outputs: [{ itemId, quantity: 1, main: true }], lines: [] };
}

/**
 * Refuses a set of versions that does not hold together on some date from `from` on: a component
 * without a version in force, a cycle, amounts out of bounds.
 * @param changed  the version whose publication (or withdrawal) is being checked
 * @throws Refusal naming the date, pointing into `changed` where the fault is there
 */
export function refuseGaps(
  recipes: readonly Recipe[],
  ingredients: readonly Ingredient[],
  versions: readonly RecipeVersion[],
  from: string,
  changed: RecipeVersion,
): void {
  const current = new Set(recipes.filter((r) => !r.archived).map((r) => r.id));
  const living = versions.filter((version) => current.has(version.recipeId));
  const trimOf = trimYields(ingredients);
  const items = itemsOf(recipes, ingredients);
  for (const date of changeDates(living, from)) {
    const inForce = versionsInForce(living, date);
    const first = inForce.get(changed.recipeId);
    const rest = [...inForce.values()].filter((version) => version !== first);
    const ordered = first ? [first, ...rest] : rest;
    const graph = buildRecipeGraph(
      items,
      ordered.map((version) => recipeDefOf(version, trimOf)),
    );
    if (graph.ok) continue;
    throw refusalAt(graph.error, first?.id === changed.id ? changed : null, date);
  }
}

/** Turns a fault of the graph into a Refusal; the recipe at hand stands first in the graph. */
function refusalAt(error: CoreError, version: VersionToSave | null, date?: string): Refusal {
  const message = date === undefined ? error.message : `${error.message} (for service on ${date})`;
  return new Refusal(error.kind, message, {
    issues: [{ pointer: version ? pointerInto(error, version) : '', message }],
    detail: { ...error.detail, ...(date === undefined ? {} : { date }) },
  });
}

function pointerInto(error: CoreError, version: VersionToSave): string {
  if (error.kind === 'recipe-cycle') {
    const itemIds: readonly unknown[] = Array.isArray(error.detail?.itemIds)
      ? (error.detail.itemIds as unknown[])
      : [];
    const line = version.lines.findIndex(
      (l) => l.componentId !== null && itemIds.includes(l.componentId),
    );
    return line < 0 ? '' : `/lines/${line}/componentId`;
  }
  const [where, recipeIndex, part, index, field] = error.path ?? [];
  if (where !== 'recipes' || recipeIndex !== 0) return '';
  if (part === 'lines') {
    const line = version.lines[Number(index)];
    const item = line && line.ingredientId === null ? 'componentId' : 'ingredientId';
    const names: Readonly<Record<string, string>> = {
      itemId: item,
      quantity: 'amount',
      yieldFraction: 'cookingYield',
    };
    return `/lines/${index}/${names[String(field)] ?? ''}`;
  }
  if (part === 'outputs') return index === 0 ? '/output' : `/byProducts/${Number(index) - 1}`;
  if (part === 'batchLimits') return '/batch';
  return '';
}
