import { Decimal } from '../money/index.ts';
import type { PartsSpec } from '../parts/index.ts';
import type { RecipeGraph } from '../recipe-graph/index.ts';

/** What one item's cost draws, exact: ingredients as purchased, base units. */
export interface Draw {
  readonly ingredients: ReadonlyMap<string, Decimal>;
  /** By-products used: their cost is carried by the recipe that gives them. */
  readonly byProducts: readonly string[];
}

const NOTHING = new Decimal(0);

/**
 * As-purchased ingredients for `quantity` of an item, in decimals: yields of every line and the
 * part of each item that is thrown away are put back; per-batch lines count pro rata. Parts of a
 * piece are turned into pieces, the largest need over the piece's groups.
 */
export function drawFor(
  graph: RecipeGraph,
  itemId: string,
  quantity: number,
  options: {
    readonly pieces: readonly PartsSpec[];
    readonly wasteFractions: ReadonlyMap<string, number>;
  },
): Draw {
  const amounts = new Map<string, Decimal>([[itemId, new Decimal(quantity)]]);
  const ingredients = new Map<string, Decimal>();
  const byProducts: string[] = [];
  for (const id of graph.order) {
    const used = amounts.get(id);
    if (used === undefined || used.isZero()) continue;
    const made = used.div(new Decimal(1).minus(options.wasteFractions.get(id) ?? 0));
    const recipe = graph.recipes.get(id);
    if (recipe === undefined) {
      if (graph.items.get(id)?.kind === 'ingredient') ingredients.set(id, made);
      else byProducts.push(id);
      continue;
    }
    const output = recipe.outputs.find((o) => o.main)?.quantity ?? NaN;
    for (const line of recipe.lines) {
      const drawn = made.times(line.quantity).div(line.yieldFraction).div(output);
      amounts.set(line.itemId, (amounts.get(line.itemId) ?? NOTHING).plus(drawn));
    }
  }
  for (const spec of options.pieces) {
    const kept = new Decimal(1).minus(options.wasteFractions.get(spec.pieceItemId) ?? 0);
    takeFromPieces(graph, spec, kept, ingredients);
  }
  return { ingredients, byProducts };
}

/** Replaces the parts of a piece by the pieces they need. */
function takeFromPieces(
  graph: RecipeGraph,
  spec: PartsSpec,
  keptFraction: Decimal,
  ingredients: Map<string, Decimal>,
): void {
  let pieces = NOTHING;
  for (const group of spec.groups) {
    let own = NOTHING;
    for (const part of group.parts) {
      const wanted = ingredients.get(part.itemId);
      if (wanted === undefined) continue;
      own = own.plus(wanted.div(part.yieldPerPiece));
      ingredients.delete(part.itemId);
    }
    pieces = Decimal.max(pieces, own);
  }
  if (pieces.isZero()) return;
  pieces = pieces.div(keptFraction);
  const inGrams = graph.items.get(spec.pieceItemId)?.baseUnit === 'g';
  const amount = inGrams ? pieces.times(spec.pieceMassG) : pieces;
  ingredients.set(spec.pieceItemId, (ingredients.get(spec.pieceItemId) ?? NOTHING).plus(amount));
}
