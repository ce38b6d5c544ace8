import type { RecipeDef } from '../recipe-graph/index.ts';
import type { CompiledGraph } from './compile-graph.ts';

/** Batches within this fraction above a whole number count as that number. */
const WHOLE_TOLERANCE = 1e-9;

/** What one recipe line draws, and why. */
export interface LineFactor {
  readonly lineId: string;
  /** The item drawn. */
  readonly itemId: string;
  /** Base units drawn per base unit of the parent made (pro rata for a per-batch line). */
  readonly factor: number;
  /** Base units drawn per base batch: quantity ÷ yieldFraction. */
  readonly drawnPerBatch: number;
  /** Base units weighed per base batch, as the recipe says. */
  readonly quantityPerBatch: number;
  readonly yieldFraction: number;
  readonly perBatch: boolean;
}

/** So much of an item drawn by one line. */
export interface LineNeed {
  readonly lineId: string;
  readonly itemId: string;
  /** Base units of the item that must be there: the line's loss is put back already. */
  readonly quantity: number;
}

/**
 * Items level by level, level 0 first: everything that uses an item stands in an earlier level.
 * A planner that nets and rounds works through these and calls `childNeeds` for what it makes.
 */
export function levels(compiled: CompiledGraph): string[][] {
  const result: string[][] = [];
  for (const itemId of compiled.itemIds) {
    const level = compiled.graph.lowLevelCodes.get(itemId) ?? 0;
    (result[level] ??= []).push(itemId);
  }
  return result;
}

/** The lines of an item's recipe with the factor each is used with; empty where it has no recipe. */
export function lineFactors(compiled: CompiledGraph, itemId: string): LineFactor[] {
  const recipe = recipeOf(compiled, itemId);
  if (recipe === undefined) return [];
  const output = mainOutputPerBatch(recipe);
  return recipe.lines.map((line) => {
    const drawnPerBatch = line.quantity / line.yieldFraction;
    return {
      lineId: line.id,
      itemId: line.itemId,
      factor: drawnPerBatch / output,
      drawnPerBatch,
      quantityPerBatch: line.quantity,
      yieldFraction: line.yieldFraction,
      perBatch: line.perBatch ?? false,
    };
  });
}

/**
 * What making `quantity` of an item draws from each of its lines.
 *
 * @param quantity  base units of the item made (after rounding to batches)
 * @param batches   base batches that takes; a per-batch line is drawn once for each batch started,
 *                  whole or part. For several makings of part batches, call once for each.
 */
export function childNeeds(
  compiled: CompiledGraph,
  itemId: string,
  quantity: number,
  batches: number,
): LineNeed[] {
  const started = Math.ceil(batches - WHOLE_TOLERANCE * Math.max(1, batches));
  return lineFactors(compiled, itemId).map((line) => ({
    lineId: line.lineId,
    itemId: line.itemId,
    quantity: line.perBatch ? line.drawnPerBatch * started : line.factor * quantity,
  }));
}

/** Base batches that give `quantity` of the item, not rounded; 0 where it has no recipe. */
export function batchesFor(compiled: CompiledGraph, itemId: string, quantity: number): number {
  const recipe = recipeOf(compiled, itemId);
  return recipe === undefined ? 0 : quantity / mainOutputPerBatch(recipe);
}

function recipeOf(compiled: CompiledGraph, itemId: string): RecipeDef | undefined {
  if (!compiled.positions.has(itemId)) throw new Error(`The graph does not hold ${itemId}.`);
  return compiled.graph.recipes.get(itemId);
}

/** Base units of the main output in one base batch. */
export function mainOutputPerBatch(recipe: RecipeDef): number {
  const main = recipe.outputs.find((output) => output.main);
  if (main === undefined) throw new Error(`The recipe for ${recipe.itemId} has no main output.`);
  return main.quantity;
}
