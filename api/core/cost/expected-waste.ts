import type { RecipeGraph } from '../recipe-graph/index.ts';

/** What was thrown away of an item against what the plates sold in the same time took of it. */
export interface RecordedWaste {
  readonly itemId: string;
  /** Base units. */
  readonly wasted: number;
  readonly used: number;
  /** wasted ÷ (wasted + used). */
  readonly fraction: number;
}

/**
 * Base units of every component and ingredient that portions of dishes take, edible amounts as the
 * recipes weigh them with yields put back; by-products as they are used.
 * @param portions by dish id; dishes without a recipe are left out
 */
export function itemsUsed(
  graph: RecipeGraph,
  portions: ReadonlyMap<string, number>,
): ReadonlyMap<string, number> {
  const used = new Map<string, number>(portions);
  for (const id of graph.order) {
    const amount = used.get(id) ?? 0;
    const recipe = graph.recipes.get(id);
    if (amount === 0 || recipe === undefined) continue;
    const output = recipe.outputs.find((o) => o.main)?.quantity ?? NaN;
    for (const line of recipe.lines) {
      const drawn = (amount * line.quantity) / line.yieldFraction / output;
      used.set(line.itemId, (used.get(line.itemId) ?? 0) + drawn);
    }
  }
  return used;
}

/**
 * The part of each item that was made or bought and thrown away, in [0, 1). Items nothing was sold
 * of are left out: nothing can be said of them.
 * Source: waste as a part of what was made or bought (kitchen mathematics; common practice).
 */
export function recordedWaste(
  graph: RecipeGraph,
  portions: ReadonlyMap<string, number>,
  wasted: ReadonlyMap<string, number>,
): ReadonlyMap<string, RecordedWaste> {
  const found = new Map<string, RecordedWaste>();
  for (const [itemId, used] of itemsUsed(graph, portions)) {
    if (!(used > 0) || graph.items.get(itemId)?.kind === 'dish') continue;
    const thrown = wasted.get(itemId) ?? 0;
    found.set(itemId, { itemId, wasted: thrown, used, fraction: thrown / (thrown + used) });
  }
  return found;
}
