import type { ExplanationBuilder, ExplanationGraph } from '../../core/explanation/index.ts';
import { subgraph } from '../../core/explanation/index.ts';
import { orRefuse } from '../platform/index.ts';
import type { OrderLine } from './orders.ports.ts';
import type { ProposalInput, Purchase } from './proposal.ts';

/**
 * The lines of one ingredient on one order. The chain of each need is copied from the plan, and
 * what stock and earlier packs give, the sum of the delivery and the packs are built on it.
 */
export function linesOf(
  input: ProposalInput,
  { offer, ingredientId, buys, chosen }: Purchase,
  builder: ExplanationBuilder,
  copied: Map<string, ExplanationGraph['nodes'][number]>,
): OrderLine[] {
  const ingredient = input.ingredients.get(ingredientId);
  const name = ingredient?.name ?? ingredientId;
  const unit = ingredient?.baseUnit ?? 'g';
  const openNodes = buys.map((buy) => {
    for (const node of orRefuse(subgraph(input.planGraph, buy.need.node)).nodes) {
      if (copied.has(node.id)) continue;
      copied.set(node.id, node);
      const { value, formula, ...rest } = node;
      if (formula === 'given') builder.given({ ...rest, value });
      else builder.add({ ...rest, formula });
    }
    const taken = buy.taken.map(({ lotId, quantity, label }) => ({
      nodeId: builder.given({
        label,
        value: quantity,
        unit,
        source: { kind: 'stock or delivery', id: lotId, note: buy.need.id },
      }),
      factor: -1,
    }));
    return builder.add({
      id: `buy:${buy.need.id}`,
      label: `${name} to buy for ${buy.need.needDate}`,
      unit,
      formula: 'not-below-zero',
      inputs: [{ nodeId: buy.need.node }, ...taken],
    });
  });
  const needNode = builder.add({
    id: `buy:${ingredientId}:${offer.delivery.deliveryDate}`,
    label: `${name} for the delivery of ${offer.delivery.deliveryDate}`,
    unit,
    formula: 'weighted-sum',
    inputs: openNodes.map((nodeId) => ({ nodeId })),
  });
  const need = builder.value(needNode);
  const certain = buys.reduce(
    (sum, buy) =>
      sum + buy.open * (buy.need.quantity > 0 ? buy.need.certainQuantity / buy.need.quantity : 0),
    0,
  );
  return chosen.packs.map((choice) => {
    const pack = offer.packs.find((p) => p.id === choice.id);
    const size = pack?.quantityBase ?? 0;
    const alone = chosen.packs.length === 1;
    const rounded = Math.ceil(need / size - 1e-9) === choice.packs;
    const packsNode =
      alone && rounded
        ? builder.add({
            id: `packs:${choice.id}`,
            label: `${pack?.name ?? choice.id}, whole packs`,
            unit: 'packs',
            formula: 'round-up-to-multiple',
            inputs: [{ nodeId: needNode, factor: 1 / size }],
            parameters: { multiple: 1 },
            source: { kind: 'pack', id: choice.id, note: `${size} ${unit} a pack` },
          })
        : builder.add({
            id: `packs:${choice.id}`,
            label: `${pack?.name ?? choice.id}, packs that make the need cheapest`,
            unit: 'packs',
            formula: 'weighted-sum',
            inputs: [
              {
                nodeId: builder.given({
                  label: `${pack?.name ?? choice.id}, chosen at least cost`,
                  value: choice.packs,
                  unit: 'packs',
                  source: { kind: 'pack', id: choice.id, note: `least cost ${chosen.cost}` },
                }),
              },
              { nodeId: needNode, factor: 0, role: 'need' },
            ],
          });
    return {
      id: input.newId('ol'),
      packId: choice.id,
      ingredientId: ingredientId,
      proposedPacks: choice.packs,
      packs: choice.packs,
      changedByHand: false,
      unitPrice: choice.unitPrice,
      needQuantity: need,
      certainQuantity: certain,
      surplusQuantity: Math.max(0, chosen.quantityBase - need),
      explanationNode: packsNode,
      receivedPacks: 0,
      note: null,
    };
  });
}
