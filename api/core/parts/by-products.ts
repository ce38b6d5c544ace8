import type { ExplanationBuilder } from '../explanation/index.ts';
import type { RecipeGraph } from '../recipe-graph/index.ts';
import { coreError } from '../shared/errors.ts';
import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';

export interface ByProductQuestion {
  readonly itemId: string;
  /** Base units wanted of the item over the time its supply stays in date. */
  readonly need: number;
  /** Base units on hand and in date; 0 when absent. */
  readonly onHand?: number;
  /** Base batches planned of recipes that may give the item, by their main item. */
  readonly plannedBatches: ReadonlyMap<string, number>;
}

/** What one recipe's planned batches give of the item beside their main output. */
export interface ByProductSupply {
  readonly mainItemId: string;
  readonly batches: number;
  readonly quantity: number;
}

/** What may be done about a need that stock and by-products do not cover. */
export type ShortfallRemedy =
  | { readonly kind: 'none-needed' }
  /** The item has a recipe of its own. */
  | { readonly kind: 'make'; readonly quantity: number }
  /** It is bought. */
  | { readonly kind: 'buy'; readonly quantity: number }
  /** The lead allows batches for its sake: so many more, not rounded. */
  | { readonly kind: 'start-batches'; readonly mainItemId: string; readonly batches: number }
  /** Nothing may be made for it: the need stays short. */
  | { readonly kind: 'short'; readonly quantity: number };

export interface ByProductNetting {
  readonly supplies: readonly ByProductSupply[];
  /** Stock and by-products together. */
  readonly supply: number;
  /** What of the need is still open. */
  readonly shortfall: number;
  /** What of the supply nobody needs. */
  readonly left: number;
  readonly remedy: ShortfallRemedy;
}

/**
 * Counts by-products of batches planned anyway as supply before anything more is made, and says
 * what may be done about the rest. A by-product starts a batch of its recipe only where the lead
 * has said it may, and only where the item has no recipe of its own and is not bought.
 *
 * Errors: `missing-component` for an item the graph does not hold, `out-of-range` for a need,
 * stock or batch number below zero.
 */
export function netByProducts(
  graph: RecipeGraph,
  question: ByProductQuestion,
): Result<ByProductNetting> {
  const { itemId, need, onHand = 0, plannedBatches } = question;
  const item = graph.items.get(itemId);
  if (item === undefined) {
    return err(
      coreError('missing-component', `${itemId} is not among the recipes.`, {
        path: ['itemId'],
        detail: { itemId },
      }),
    );
  }
  const amounts = [['need', need], ['onHand', onHand], ...plannedBatches] as const;
  for (const [name, value] of amounts) {
    if (value >= 0 && Number.isFinite(value)) continue;
    return err(
      coreError('out-of-range', `Needs, stock and batches of ${item.name} must be zero or more.`, {
        path: [name],
        detail: { value },
      }),
    );
  }
  const sources = graph.byProductSources.get(itemId) ?? [];
  const supplies = sources.flatMap(({ mainItemId, quantityPerBatch }) => {
    const batches = plannedBatches.get(mainItemId) ?? 0;
    return batches > 0 ? [{ mainItemId, batches, quantity: batches * quantityPerBatch }] : [];
  });
  const supply = supplies.reduce((sum, one) => sum + one.quantity, onHand);
  const shortfall = Math.max(0, need - supply);
  return ok({
    supplies,
    supply,
    shortfall,
    left: Math.max(0, supply - need),
    remedy: remedyFor(graph, itemId, item.kind === 'ingredient', shortfall),
  });
}

function remedyFor(
  graph: RecipeGraph,
  itemId: string,
  bought: boolean,
  quantity: number,
): ShortfallRemedy {
  if (quantity === 0) return { kind: 'none-needed' };
  if (bought) return { kind: 'buy', quantity };
  if (graph.recipes.has(itemId)) return { kind: 'make', quantity };
  const starter = graph.byProductSources.get(itemId)?.find((source) => source.mayStartBatch);
  if (starter === undefined) return { kind: 'short', quantity };
  return {
    kind: 'start-batches',
    mainItemId: starter.mainItemId,
    batches: quantity / starter.quantityPerBatch,
  };
}

export interface ExplainedByProducts {
  readonly supplyNodeId: string;
  readonly shortfallNodeId: string;
  readonly leftNodeId: string;
}

export interface ExplainByProductsInputs {
  readonly itemId: string;
  readonly needNodeId: string;
  readonly onHandNodeId?: string;
  /** Explained base batches of each recipe, by main item. */
  readonly batchNodeIds: ReadonlyMap<string, string>;
  /** Ids are this followed by 'supply', 'shortfall', 'left'. */
  readonly idPrefix: string;
}

/** `netByProducts` as explanation nodes. @throws Error where the graph does not hold the item */
export function explainByProducts(
  graph: RecipeGraph,
  inputs: ExplainByProductsInputs,
  builder: ExplanationBuilder,
): ExplainedByProducts {
  const { itemId, needNodeId, onHandNodeId, batchNodeIds, idPrefix } = inputs;
  const item = graph.items.get(itemId);
  if (item === undefined) throw new Error(`The graph does not hold ${itemId}.`);
  const given = (graph.byProductSources.get(itemId) ?? []).flatMap((source) => {
    const nodeId = batchNodeIds.get(source.mainItemId);
    return nodeId === undefined
      ? []
      : [{ nodeId, factor: source.quantityPerBatch, role: source.mainItemId }];
  });
  const supplyNodeId = builder.add({
    id: `${idPrefix}supply`,
    label: `${item.name} there already`,
    unit: item.baseUnit,
    formula: 'weighted-sum',
    inputs:
      onHandNodeId === undefined ? given : [{ nodeId: onHandNodeId, role: 'stock' }, ...given],
  });
  const difference = (id: string, label: string, plus: string, minus: string): string =>
    builder.add({
      id: `${idPrefix}${id}`,
      label,
      unit: item.baseUnit,
      formula: 'not-below-zero',
      inputs: [{ nodeId: plus }, { nodeId: minus, factor: -1 }],
    });
  return {
    supplyNodeId,
    shortfallNodeId: difference('shortfall', `${item.name} still needed`, needNodeId, supplyNodeId),
    leftNodeId: difference('left', `${item.name} left over`, supplyNodeId, needNodeId),
  };
}
