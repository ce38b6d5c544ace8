import type { RecipeGraph } from '../recipe-graph/index.ts';
import type { CoreError } from '../shared/errors.ts';
import { coreError } from '../shared/errors.ts';
import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';
import type { CompiledGraph } from './compile-graph.ts';
import { compileGraph } from './compile-graph.ts';

/** So much of an item wanted, in its base unit. Repeats of an item add up. */
export interface ItemDemand {
  readonly itemId: string;
  readonly quantity: number;
}

/** Many demands on one graph, row after row: quantities[row × vectorCount + vector]. */
export interface DemandVectors {
  /** The item of each row. */
  readonly itemIds: readonly string[];
  /** How many demands stand side by side, say sites × services. */
  readonly vectorCount: number;
  readonly quantities: Float64Array;
}

/** Vectors are worked through in strips this wide, so that a strip of every item stays in the cache. */
const STRIP = 256;

/**
 * Gross, unrounded need of every item for a demand: the demand itself plus what everything that
 * uses the item draws. Nothing is netted and no batch is rounded.
 *
 * @returns ok: need by item, base units, only items with a need; errors `missing-component` for an
 *          item that is not in the graph, `out-of-range` for a quantity below zero or not finite
 *
 * Source: equals (I − A)⁻¹ d, Vazsonyi 1954, Management Science 1(1): 70–85; worked level by level.
 */
export function explode(
  graph: RecipeGraph,
  demand: readonly ItemDemand[],
): Result<Map<string, number>> {
  return explodeCompiled(compileGraph(graph), demand);
}

/** As `explode`, on a graph compiled before. */
export function explodeCompiled(
  compiled: CompiledGraph,
  demand: readonly ItemDemand[],
): Result<Map<string, number>> {
  const { itemIds, positions, edgeStart, edgeChild, edgeFactor } = compiled;
  const need = new Float64Array(itemIds.length);
  for (const [index, { itemId, quantity }] of demand.entries()) {
    const at = positions.get(itemId);
    if (at === undefined) return err(unknownItem(itemId, ['demand', index, 'itemId']));
    if (!(quantity >= 0 && quantity < Infinity)) {
      return err(badQuantity(itemId, quantity, ['demand', index, 'quantity']));
    }
    need[at] = (need[at] ?? 0) + quantity;
  }
  const result = new Map<string, number>();
  for (let parent = 0; parent < need.length; parent += 1) {
    const wanted = need[parent] ?? 0;
    if (wanted === 0) continue;
    result.set(itemIds[parent] ?? '', wanted);
    const end = edgeStart[parent + 1] ?? 0;
    for (let edge = edgeStart[parent] ?? 0; edge < end; edge += 1) {
      const child = edgeChild[edge] ?? 0;
      need[child] = (need[child] ?? 0) + (edgeFactor[edge] ?? 0) * wanted;
    }
  }
  return ok(result);
}

/**
 * As `explodeCompiled` for many demands at once.
 *
 * @returns ok: one row for every item of the graph in its order; errors as `explode`, and
 *          `out-of-range` where the array does not hold itemIds.length × vectorCount numbers
 */
export function explodeMany(compiled: CompiledGraph, demand: DemandVectors): Result<DemandVectors> {
  const { itemIds, vectorCount } = demand;
  if (
    !Number.isInteger(vectorCount) ||
    vectorCount < 0 ||
    demand.quantities.length !== itemIds.length * vectorCount
  ) {
    return err(
      coreError('out-of-range', 'The demands do not fill their rows.', {
        path: ['quantities'],
        detail: { numbers: demand.quantities.length, rows: itemIds.length, vectorCount },
      }),
    );
  }
  const need = new Float64Array(compiled.itemIds.length * vectorCount);
  for (const [row, itemId] of itemIds.entries()) {
    const at = compiled.positions.get(itemId);
    if (at === undefined) return err(unknownItem(itemId, ['itemIds', row]));
    const fault = addRow(need, at * vectorCount, demand.quantities, row * vectorCount, vectorCount);
    if (fault !== undefined) {
      return err(badQuantity(itemId, demand.quantities[fault], ['quantities', fault]));
    }
  }
  spread(compiled, need, vectorCount);
  return ok({ itemIds: compiled.itemIds, vectorCount, quantities: need });
}

/** Adds one row of demands; the index of the first that is no quantity, if any. */
function addRow(
  need: Float64Array,
  to: number,
  demands: Float64Array,
  from: number,
  count: number,
): number | undefined {
  for (let v = 0; v < count; v += 1) {
    const quantity = demands[from + v] ?? NaN;
    if (!(quantity >= 0 && quantity < Infinity)) return from + v;
    need[to + v] = (need[to + v] ?? 0) + quantity;
  }
  return undefined;
}

/** Passes every item's need on to what it uses, in order, strip by strip. */
function spread(compiled: CompiledGraph, need: Float64Array, vectorCount: number): void {
  const { itemIds, edgeStart, edgeChild, edgeFactor } = compiled;
  for (let strip = 0; strip < vectorCount; strip += STRIP) {
    const width = Math.min(STRIP, vectorCount - strip);
    for (let parent = 0; parent < itemIds.length; parent += 1) {
      const from = parent * vectorCount + strip;
      const end = edgeStart[parent + 1] ?? 0;
      for (let edge = edgeStart[parent] ?? 0; edge < end; edge += 1) {
        const to = (edgeChild[edge] ?? 0) * vectorCount + strip;
        const factor = edgeFactor[edge] ?? 0;
        for (let v = 0; v < width; v += 1) {
          need[to + v] = (need[to + v] as number) + factor * (need[from + v] as number);
        }
      }
    }
  }
}

function unknownItem(itemId: string, path: readonly (string | number)[]): CoreError {
  return coreError('missing-component', `${itemId} is not among the recipes.`, {
    path,
    detail: { itemId },
  });
}

function badQuantity(
  itemId: string,
  quantity: number | undefined,
  path: readonly (string | number)[],
): CoreError {
  return coreError('out-of-range', `The quantity wanted of ${itemId} must be zero or more.`, {
    path,
    detail: { itemId, quantity },
  });
}
