import type { RecipeDef, RecipeGraph, RecipeOutput } from '../recipe-graph/index.ts';

/** Mass of a base unit, g, of the items where it is known. */
export type UnitMasses = ReadonlyMap<string, number>;

/** What one base unit of an item holds, as weighed into bowls. */
export interface WeighedAmounts {
  /** Base units by ingredient. */
  readonly ingredients: ReadonlyMap<string, number>;
  /** Base units by item, the item itself and every component too. */
  readonly items: ReadonlyMap<string, number>;
  /** Items whose own content could not be told: circular, or a split between outputs of unknown mass. */
  readonly untold: readonly string[];
  /** Items out of a batch with several outputs: a share of the batch by mass. */
  readonly sharedByMass: readonly string[];
}

/** How an item comes about: its own recipe, or the batch that leaves it over. */
interface Making {
  readonly recipe: RecipeDef;
  readonly output: RecipeOutput;
}

/**
 * Weighed (edible) quantities of every ingredient in one base unit of an item. Users are worked
 * through before what they use; a by-product leads through the batch that gives it, so the order
 * is found here and not taken from the graph.
 */
export function weighedAmounts(
  graph: RecipeGraph,
  itemId: string,
  masses: UnitMasses,
): WeighedAmounts {
  const { order, circular } = usersFirst(graph, itemId);
  const amounts = new Map<string, number>([[itemId, 1]]);
  const ingredients = new Map<string, number>();
  const untold = [...circular];
  const sharedByMass: string[] = [];
  for (const id of order) {
    const amount = amounts.get(id) ?? 0;
    const making = makingOf(graph, id);
    if (making === undefined) {
      ingredients.set(id, amount);
      continue;
    }
    const share = shareOf(making, masses);
    if (making.recipe.outputs.length > 1) sharedByMass.push(id);
    if (share === undefined) {
      untold.push(id);
      continue;
    }
    const batches = (amount / making.output.quantity) * share;
    for (const line of making.recipe.lines) {
      amounts.set(line.itemId, (amounts.get(line.itemId) ?? 0) + batches * line.quantity);
    }
  }
  return { ingredients, items: amounts, untold, sharedByMass };
}

/** Every item an item rests on, itself first, users before what they use; and what runs in a circle. */
export function usersFirst(
  graph: RecipeGraph,
  itemId: string,
): { readonly order: readonly string[]; readonly circular: readonly string[] } {
  const waiting = new Map<string, number>([[itemId, 0]]);
  for (const id of waiting.keys()) {
    for (const below of belowOf(graph, id)) waiting.set(below, (waiting.get(below) ?? 0) + 1);
  }
  const order: string[] = waiting.get(itemId) === 0 ? [itemId] : [];
  for (const id of order) {
    for (const below of belowOf(graph, id)) {
      const left = (waiting.get(below) ?? 0) - 1;
      waiting.set(below, left);
      if (left === 0) order.push(below);
    }
  }
  const placed = new Set(order);
  return { order, circular: [...waiting.keys()].filter((id) => !placed.has(id)) };
}

/** The recipe an item is made by; a by-product without one, the first batch that gives it. */
export function makingOf(graph: RecipeGraph, itemId: string): Making | undefined {
  const giver = graph.byProductSources.get(itemId)?.[0]?.mainItemId;
  const bought = graph.items.get(itemId)?.kind === 'ingredient';
  const recipe =
    graph.recipes.get(itemId) ??
    (giver === undefined || bought ? undefined : graph.recipes.get(giver));
  const output = recipe?.outputs.find((o) => o.itemId === itemId);
  return recipe === undefined || output === undefined ? undefined : { recipe, output };
}

function belowOf(graph: RecipeGraph, itemId: string): string[] {
  return (makingOf(graph, itemId)?.recipe.lines ?? []).map((line) => line.itemId);
}

/** The item's part of the batch by mass: 1 for a single output; undefined where a mass is not known. */
function shareOf({ recipe, output }: Making, masses: UnitMasses): number | undefined {
  if (recipe.outputs.length === 1) return 1;
  let total = 0;
  for (const one of recipe.outputs) {
    const unitMassG = masses.get(one.itemId);
    if (unitMassG === undefined) return undefined;
    total += one.quantity * unitMassG;
  }
  return (output.quantity * (masses.get(output.itemId) ?? NaN)) / total;
}
