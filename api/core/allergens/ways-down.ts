import type { RecipeGraph } from '../recipe-graph/index.ts';

/**
 * Every ingredient an item rests on, with the shortest way down to it as item ids, the item first
 * and the ingredient last. A by-product leads through the recipe that gives it; an item that is
 * both made and left over by another leads through both.
 */
export function waysDown(graph: RecipeGraph, itemId: string): Map<string, readonly string[]> {
  const cameFrom = new Map<string, string | null>([[itemId, null]]);
  const queue = [itemId];
  const found = new Map<string, readonly string[]>();
  for (let next = 0; next < queue.length; next += 1) {
    const id = queue[next] ?? '';
    if (graph.items.get(id)?.kind === 'ingredient') found.set(id, wayTo(id, cameFrom));
    for (const below of belowOf(graph, id)) {
      if (cameFrom.has(below)) continue;
      cameFrom.set(below, id);
      queue.push(below);
    }
  }
  return found;
}

function belowOf(graph: RecipeGraph, id: string): string[] {
  const lines = graph.recipes.get(id)?.lines ?? [];
  const givers = graph.byProductSources.get(id) ?? [];
  return [...lines.map((line) => line.itemId), ...givers.map((giver) => giver.mainItemId)];
}

function wayTo(id: string, cameFrom: ReadonlyMap<string, string | null>): string[] {
  const way: string[] = [];
  let at: string | null = id;
  while (at !== null) {
    way.push(at);
    at = cameFrom.get(at) ?? null;
  }
  return way.reverse();
}
