import type { RecipeGraph } from '../recipe-graph/index.ts';
import type { UnitMasses } from './weighed-amounts.ts';

/**
 * Mass of a base unit of every item, g, where it can be told: grams are themselves; millilitres and
 * pieces as stated; a dish is the sum of what is put on the plate.
 */
export function unitMasses(
  graph: RecipeGraph,
  stated: (itemId: string) => number | undefined,
): UnitMasses {
  const masses = new Map<string, number>();
  for (let at = graph.order.length - 1; at >= 0; at -= 1) {
    const id = graph.order[at] ?? '';
    const item = graph.items.get(id);
    const massG = item?.baseUnit === 'g' ? 1 : (stated(id) ?? plateMass(graph, id, masses));
    if (massG !== undefined && massG > 0) masses.set(id, massG);
  }
  return masses;
}

function plateMass(graph: RecipeGraph, id: string, masses: UnitMasses): number | undefined {
  const recipe = graph.recipes.get(id);
  if (graph.items.get(id)?.kind !== 'dish' || recipe === undefined) return undefined;
  let massG = 0;
  for (const line of recipe.lines) {
    const unitMassG = masses.get(line.itemId);
    if (unitMassG === undefined) return undefined;
    massG += line.quantity * unitMassG;
  }
  return massG / (recipe.outputs.find((output) => output.main)?.quantity ?? NaN);
}
