import type { RecipeGraph } from '../recipe-graph/index.ts';
import type { AllergenDeclarations } from './declaration.ts';
import { sulphitesOf } from './declaration.ts';
import { waysDown } from './ways-down.ts';

/** Sulphites are listed above this, as total SO₂ in the product as consumed. */
export const SULPHITE_THRESHOLD_MG_PER_KG = 10;

/** Mass of a base unit, g; undefined where it is not known. Asked only for 'ml' and 'each'. */
export type MassPerBaseUnit = (itemId: string) => number | undefined;

/** What is known of an item's sulphites. */
export type SulphiteContent =
  | { readonly kind: 'none-declared' }
  /** mg of SO₂ per kg, an upper figure: nothing is taken off for cooking or trimming. */
  | { readonly kind: 'calculated'; readonly mgPerKg: number; readonly aboveThreshold: boolean }
  /** There are sulphites, and a mass, an amount or a split is not known: they are listed. */
  | { readonly kind: 'not-calculated' };

/**
 * Sulphites of an item from the amounts declared for its ingredients, spread over the mass of what
 * is made. Exactly 10 mg/kg is not above the threshold.
 *
 * Source: Annex II, point 12, of Regulation (EU) 1169/2011: concentrations of more than 10 mg/kg
 * or 10 mg/l in terms of the total SO₂.
 */
export function sulphiteContent(
  graph: RecipeGraph,
  declarations: AllergenDeclarations,
  itemId: string,
  massPerBaseUnit: MassPerBaseUnit,
): SulphiteContent {
  const ways = waysDown(graph, itemId);
  const bearing = new Map<string, number | 'unknown'>();
  for (const id of ways.keys()) {
    const declared = declarations.get(id);
    const content = declared ? sulphitesOf(declared) : 'none';
    if (content !== 'none') bearing.set(id, content);
  }
  if (bearing.size === 0) return { kind: 'none-declared' };
  const massG = massOf(graph, itemId, massPerBaseUnit);
  if (massG === undefined || splitsSulphites(graph, itemId, bearing)) {
    return { kind: 'not-calculated' };
  }
  let mg = 0;
  const used = weighedAmounts(graph, itemId);
  for (const [id, mgPerKg] of bearing) {
    const unitMassG = massOf(graph, id, massPerBaseUnit);
    if (mgPerKg === 'unknown' || unitMassG === undefined) return { kind: 'not-calculated' };
    mg += ((used.get(id) ?? 0) * unitMassG * mgPerKg) / 1000;
  }
  const mgPerKg = (mg / massG) * 1000;
  // A share of 1e-9 above the threshold is arithmetic noise.
  const aboveThreshold = mgPerKg > SULPHITE_THRESHOLD_MG_PER_KG * (1 + 1e-9);
  return { kind: 'calculated', mgPerKg, aboveThreshold };
}

/** How a batch's sulphites split between its outputs is not known: true where that matters. */
function splitsSulphites(
  graph: RecipeGraph,
  itemId: string,
  bearing: ReadonlyMap<string, unknown>,
): boolean {
  const below = graph.order.filter(
    (id) => graph.byProductSources.has(id) || (graph.recipes.get(id)?.outputs.length ?? 1) > 1,
  );
  if (below.length === 0) return false;
  const reached = reachedFrom(graph, itemId);
  return below.some(
    (id) => reached.has(id) && [...waysDown(graph, id).keys()].some((leaf) => bearing.has(leaf)),
  );
}

function reachedFrom(graph: RecipeGraph, itemId: string): ReadonlySet<string> {
  const reached = new Set([itemId]);
  for (const id of reached) {
    for (const line of graph.recipes.get(id)?.lines ?? []) reached.add(line.itemId);
  }
  return reached;
}

/** Base units of everything in one base unit of the item; the larger of drawn and weighed. */
function weighedAmounts(graph: RecipeGraph, itemId: string): ReadonlyMap<string, number> {
  const amounts = new Map<string, number>([[itemId, 1]]);
  for (const id of graph.order) {
    const amount = amounts.get(id);
    const recipe = graph.recipes.get(id);
    if (amount === undefined || recipe === undefined) continue;
    const output = recipe.outputs.find((o) => o.main)?.quantity ?? NaN;
    for (const line of recipe.lines) {
      const taken = (amount * line.quantity * Math.max(1, 1 / line.yieldFraction)) / output;
      amounts.set(line.itemId, (amounts.get(line.itemId) ?? 0) + taken);
    }
  }
  return amounts;
}

/** Mass of a base unit: grams are themselves, a plate is the sum of what is on it. */
function massOf(
  graph: RecipeGraph,
  itemId: string,
  massPerBaseUnit: MassPerBaseUnit,
): number | undefined {
  const item = graph.items.get(itemId);
  if (item === undefined) return undefined;
  if (item.baseUnit === 'g') return 1;
  const stated = massPerBaseUnit(itemId);
  const recipe = graph.recipes.get(itemId);
  if (stated !== undefined || item.kind !== 'dish' || recipe === undefined) return stated;
  let massG = 0;
  for (const line of recipe.lines) {
    const unitMassG = massOf(graph, line.itemId, massPerBaseUnit);
    if (unitMassG === undefined) return undefined;
    massG += line.quantity * unitMassG;
  }
  return massG / (recipe.outputs.find((o) => o.main)?.quantity ?? NaN);
}
