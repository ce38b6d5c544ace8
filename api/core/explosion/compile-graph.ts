import type { RecipeGraph } from '../recipe-graph/index.ts';

/**
 * A recipe graph as flat arrays, to explode many demands with. Items are numbered in the graph's
 * order, users before what they use. The edges of item p are edgeStart[p] up to edgeStart[p + 1].
 */
export interface CompiledGraph {
  readonly graph: RecipeGraph;
  readonly itemIds: readonly string[];
  readonly positions: ReadonlyMap<string, number>;
  readonly edgeStart: Int32Array;
  readonly edgeChild: Int32Array;
  /** Base units of the child drawn per base unit of the parent; lines to one child added up. */
  readonly edgeFactor: Float64Array;
}

/**
 * Flattens a graph. Lines that stand per batch count pro rata here: an unrounded explosion has
 * parts of batches everywhere. By-products are left out: gross needs are before netting.
 *
 * Source: the coefficients are the matrix A of x = (I − A)⁻¹ d (Vazsonyi 1954, Management Science
 * 1(1): 70–85): a = quantity per batch ÷ yield fraction ÷ main output per batch.
 */
export function compileGraph(graph: RecipeGraph): CompiledGraph {
  const itemIds = graph.order;
  const positions = new Map(itemIds.map((id, index) => [id, index]));
  const edgeStart = new Int32Array(itemIds.length + 1);
  const children: number[] = [];
  const factors: number[] = [];
  for (const [parent, itemId] of itemIds.entries()) {
    const merged = new Map<number, number>();
    const recipe = graph.recipes.get(itemId);
    const output = recipe?.outputs.find((o) => o.main)?.quantity ?? 1;
    for (const line of recipe?.lines ?? []) {
      const child = positions.get(line.itemId);
      if (child === undefined) throw new Error(`The graph does not hold ${line.itemId}.`);
      const factor = line.quantity / line.yieldFraction / output;
      merged.set(child, (merged.get(child) ?? 0) + factor);
    }
    for (const [child, factor] of merged) {
      children.push(child);
      factors.push(factor);
    }
    edgeStart[parent + 1] = children.length;
  }
  return {
    graph,
    itemIds,
    positions,
    edgeStart,
    edgeChild: Int32Array.from(children),
    edgeFactor: Float64Array.from(factors),
  };
}
