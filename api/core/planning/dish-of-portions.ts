import type { ExplanationGraph, ExplanationNode } from '../explanation/index.ts';

/** A dish by the name it had when the plan was worked out. */
export interface DishNamed {
  readonly id: string;
  readonly name: string;
}

/**
 * The dish whose portions a node counts; null for any other node. The counterpart of the ids and
 * labels that `explainPortions` and `explainDishPortions` give.
 */
export function dishOfPortions({ id, label, unit }: ExplanationNode): DishNamed | null {
  if (unit !== 'portions' || !id.startsWith('portions:')) return null;
  const parts = id.replace(/:(?:fixed|level|enough|pre-ordered)$/, '').split(':');
  const dishId = parts.at(-1);
  const name = label.split(/, (?:portions|ordered beforehand)/)[0];
  return parts.length < 3 || !dishId || !name ? null : { id: dishId, name };
}

/** The dishes that figures of a plan rest on: every dish whose portions go into any of the nodes. */
export function dishesBehind(graph: ExplanationGraph): (nodeIds: readonly string[]) => DishNamed[] {
  const nodes = new Map(graph.nodes.map((node) => [node.id, node]));
  return (nodeIds) => {
    const dishes = new Map<string, DishNamed>();
    const seen = new Set<string>();
    const open = [...nodeIds];
    for (let id = open.pop(); id !== undefined; id = open.pop()) {
      const node = nodes.get(id);
      if (!node || seen.has(id)) continue;
      seen.add(id);
      const dish = dishOfPortions(node);
      if (dish) dishes.set(dish.id, dish);
      else open.push(...node.inputs.map(({ nodeId }) => nodeId));
    }
    return [...dishes.values()].sort((a, b) => (a.name < b.name ? -1 : a.name > b.name ? 1 : 0));
  };
}
