import type { ExplanationBuilder, ExplanationInput } from '../explanation/index.ts';
import type { CompiledGraph } from './compile-graph.ts';
import { lineFactors } from './line-needs.ts';

/** A demand whose figure is already explained: portions of a dish, say. */
export interface ExplainedDemand {
  readonly itemId: string;
  readonly nodeId: string;
}

/**
 * The explosion as explanation nodes: one node an item, fed by the demand for it and by each
 * recipe line that draws it, with the line's factor; `role` holds the line's id.
 *
 * @param idPrefix  ids are `${idPrefix}${itemId}`
 * @returns node by item, only items with a need
 * @throws Error where the graph does not hold an item
 */
export function explainGross(
  compiled: CompiledGraph,
  demand: readonly ExplainedDemand[],
  builder: ExplanationBuilder,
  idPrefix: string,
): Map<string, string> {
  const inputs = new Map<string, ExplanationInput[]>();
  const feed = (itemId: string, input: ExplanationInput): void => {
    const list = inputs.get(itemId);
    if (list === undefined) inputs.set(itemId, [input]);
    else list.push(input);
  };
  for (const { itemId, nodeId } of demand) {
    if (!compiled.positions.has(itemId)) throw new Error(`The graph does not hold ${itemId}.`);
    feed(itemId, { nodeId, role: 'demand' });
  }
  const nodes = new Map<string, string>();
  for (const itemId of compiled.itemIds) {
    const own = inputs.get(itemId);
    const item = compiled.graph.items.get(itemId);
    if (own === undefined || item === undefined) continue;
    const version = compiled.graph.recipes.get(itemId)?.versionId;
    const nodeId = builder.add({
      id: `${idPrefix}${itemId}`,
      label: `${item.name} needed`,
      unit: item.baseUnit,
      formula: 'weighted-sum',
      inputs: own,
      ...(version === undefined ? {} : { source: { kind: 'recipe version', id: version } }),
    });
    nodes.set(itemId, nodeId);
    for (const line of lineFactors(compiled, itemId)) {
      feed(line.itemId, { nodeId, factor: line.factor, role: line.lineId });
    }
  }
  return nodes;
}
