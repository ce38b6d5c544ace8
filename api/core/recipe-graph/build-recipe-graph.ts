import { coreError } from '../shared/errors.ts';
import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';
import { findRecipeFault } from './check-recipes.ts';
import { findCycle, longestPathLevels } from './levels.ts';
import type { Item, RecipeDef, RecipeGraphLimits } from './recipe.ts';
import { DEFAULT_GRAPH_LIMITS } from './recipe.ts';

/** A recipe that uses an item, and the line that does. */
export interface ItemUse {
  readonly itemId: string;
  readonly lineId: string;
}

/** A recipe that gives an item as a by-product. */
export interface ByProductSource {
  /** The recipe's main item. */
  readonly mainItemId: string;
  /** Base units of the by-product per base batch. */
  readonly quantityPerBatch: number;
  readonly mayStartBatch: boolean;
}

/** Items and the recipe versions that hold for one date, checked: nothing missing, no cycle. */
export interface RecipeGraph {
  readonly items: ReadonlyMap<string, Item>;
  /** By main item. */
  readonly recipes: ReadonlyMap<string, RecipeDef>;
  /** Every item; whatever uses an item stands before it. */
  readonly order: readonly string[];
  /** Longest path from any item that nothing uses: process in this order and each item is netted once. */
  readonly lowLevelCodes: ReadonlyMap<string, number>;
  readonly uses: ReadonlyMap<string, readonly ItemUse[]>;
  readonly byProductSources: ReadonlyMap<string, readonly ByProductSource[]>;
}

/**
 * Checks items and recipes and orders them.
 *
 * A by-product stands below the recipe that gives it, so that what a batch leaves is known before
 * anything is made for it; where it may start batches of that recipe, the recipe's lines stand
 * below the by-product in turn.
 *
 * @param items    everything recipes name; ids unique
 * @param recipes  at most one version per item: those in force on the date
 * @returns ok: the graph; errors, each with a path into the arguments:
 *          `missing-component` for an item that is unknown or, not being an ingredient, is made by no recipe;
 *          `recipe-cycle` with the names on the cycle; `out-of-range` for amounts, yields and batch
 *          limits outside their bounds; `too-large` past the limits
 *
 * Source: low-level codes, the usual rule of level-by-level requirements planning (longest path).
 */
export function buildRecipeGraph(
  items: readonly Item[],
  recipes: readonly RecipeDef[],
  limits: RecipeGraphLimits = DEFAULT_GRAPH_LIMITS,
): Result<RecipeGraph> {
  const fault = findRecipeFault(items, recipes, limits);
  if (fault !== undefined) return err(fault);

  const position = new Map(items.map((item, index) => [item.id, index]));
  const below = orderingEdges(items, recipes, position);
  const levels = longestPathLevels(below);
  if (levels === undefined) return err(cycleError(items, below));

  const deepest = levels.levelOf.reduce((max, level) => Math.max(max, level), 0);
  if (deepest + 1 > limits.maximumLevels) {
    return err(
      coreError('too-large', `Recipes are nested ${deepest + 1} levels deep.`, {
        detail: { levels: deepest + 1, maximum: limits.maximumLevels },
      }),
    );
  }
  const idAt = (index: number): string => items[index]?.id ?? '';
  return ok({
    items: new Map(items.map((item) => [item.id, item])),
    recipes: new Map(recipes.map((recipe) => [recipe.itemId, recipe])),
    order: levels.order.map(idAt),
    lowLevelCodes: new Map(levels.order.map((i) => [idAt(i), levels.levelOf[i] ?? 0])),
    uses: usesOf(recipes),
    byProductSources: byProductSourcesOf(recipes),
  });
}

/** For each item, the positions of the items that must be worked out after it. */
function orderingEdges(
  items: readonly Item[],
  recipes: readonly RecipeDef[],
  position: ReadonlyMap<string, number>,
): number[][] {
  const below: number[][] = items.map(() => []);
  const place = (from: string, to: string): void => {
    const source = position.get(from);
    const target = position.get(to);
    if (source !== undefined && target !== undefined) below[source]?.push(target);
  };
  for (const recipe of recipes) {
    for (const line of recipe.lines) place(recipe.itemId, line.itemId);
    for (const output of recipe.outputs) {
      if (output.main) continue;
      place(recipe.itemId, output.itemId);
      if (output.mayStartBatch === true) {
        for (const line of recipe.lines) place(output.itemId, line.itemId);
      }
    }
  }
  return below;
}

function cycleError(items: readonly Item[], below: readonly (readonly number[])[]) {
  const cycle = findCycle(below).map((index) => items[index]);
  const names = cycle.map((item) => item?.name ?? '');
  return coreError('recipe-cycle', `A recipe cannot contain itself: ${names.join(' → ')}.`, {
    detail: { names, itemIds: cycle.map((item) => item?.id ?? '') },
  });
}

function usesOf(recipes: readonly RecipeDef[]): Map<string, ItemUse[]> {
  const uses = new Map<string, ItemUse[]>();
  for (const recipe of recipes) {
    for (const line of recipe.lines) {
      const list = uses.get(line.itemId) ?? [];
      if (list.length === 0) uses.set(line.itemId, list);
      list.push({ itemId: recipe.itemId, lineId: line.id });
    }
  }
  return uses;
}

function byProductSourcesOf(recipes: readonly RecipeDef[]): Map<string, ByProductSource[]> {
  const sources = new Map<string, ByProductSource[]>();
  for (const recipe of recipes) {
    for (const output of recipe.outputs) {
      if (output.main) continue;
      const list = sources.get(output.itemId) ?? [];
      if (list.length === 0) sources.set(output.itemId, list);
      list.push({
        mainItemId: recipe.itemId,
        quantityPerBatch: output.quantity,
        mayStartBatch: output.mayStartBatch ?? false,
      });
    }
  }
  return sources;
}
