import { coreError } from '../shared/errors.ts';
import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';
import type { ItemUse, RecipeGraph } from './build-recipe-graph.ts';

export interface WhereUsed {
  /** Recipes that name the item on a line. */
  readonly direct: readonly ItemUse[];
  /** Every item it ends up in, directly or not, nearest first. */
  readonly all: readonly string[];
  /** Those of `all` that are dishes. */
  readonly dishes: readonly string[];
}

/**
 * Where an item ends up, upward through recipe lines. What a recipe gives beside its main output
 * holds the same ingredients, so users of a by-product count too.
 * Error `missing-component` for an item the graph does not hold.
 */
export function whereUsed(graph: RecipeGraph, itemId: string): Result<WhereUsed> {
  if (!graph.items.has(itemId)) {
    return err(
      coreError('missing-component', `${itemId} is not among the recipes.`, { detail: { itemId } }),
    );
  }
  const all = new Set<string>();
  const queue = [itemId];
  for (let next = 0; next < queue.length; next += 1) {
    for (const use of graph.uses.get(queue[next] ?? '') ?? []) {
      const owners = [use.itemId, ...byProductsOf(graph, use.itemId)];
      for (const owner of owners) {
        if (all.has(owner)) continue;
        all.add(owner);
        queue.push(owner);
      }
    }
  }
  const found = [...all];
  return ok({
    direct: graph.uses.get(itemId) ?? [],
    all: found,
    dishes: found.filter((id) => graph.items.get(id)?.kind === 'dish'),
  });
}

function byProductsOf(graph: RecipeGraph, mainItemId: string): string[] {
  const outputs = graph.recipes.get(mainItemId)?.outputs ?? [];
  return outputs.filter((output) => !output.main).map((output) => output.itemId);
}
