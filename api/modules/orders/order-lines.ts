import { roundUpToMultiple, subgraph } from '../../core/explanation/index.ts';
import type { ExplanationBuilder, ExplanationGraph } from '../../core/explanation/index.ts';
import { bindingContracts } from '../../core/ordering/index.ts';
import type { PlannedLine, PlannedOrder } from '../../core/ordering/index.ts';
import { orRefuse } from '../platform/index.ts';
import type { OrderLine } from './orders.ports.ts';
import { packOfOffer } from './pack-problem.ts';
import type { BuyNeed, ProposalInput } from './proposal.ts';

/** Where the nodes of an order's graph are put: built ones, and the plan's own, copied. */
export interface OrderGraph {
  readonly builder: ExplanationBuilder;
  readonly copied: Map<string, ExplanationGraph['nodes'][number]>;
}

/**
 * One line of an order as chosen. The chain of each need it serves is copied from the plan; safety,
 * what stock and deliveries due give, the part this line serves and the packs are built on it.
 */
export function lineOf(
  input: ProposalInput,
  planned: PlannedLine,
  order: PlannedOrder,
  needs: ReadonlyMap<string, BuyNeed>,
  graph: OrderGraph,
): OrderLine {
  const packId = packOfOffer(planned.offerId);
  const size = planned.quantityBase / planned.packs;
  return {
    id: input.newId('ol'),
    packId,
    ingredientId: planned.ingredientId,
    packQuantity: size,
    proposedPacks: planned.packs,
    packs: planned.packs,
    changedByHand: false,
    changedBy: null,
    changedAt: null,
    changeReason: null,
    confirmedPacks: null,
    unitPrice: planned.pricePerPack,
    needQuantity: planned.usedBase,
    certainQuantity: planned.certainBase,
    surplusQuantity: planned.surplusBase,
    wasteQuantity: planned.expectedWasteBase,
    surplusFate: planned.surplusFate,
    packsForMinimum: planned.packsForMinimum,
    uses: planned.uses.map((use) => ({
      siteId: use.siteId,
      needDate: use.needDate,
      quantity: use.quantityBase,
      certain: use.certainBase,
    })),
    contractId: contractOf(input, planned, order),
    explanationNode: packsNode(input, planned, order, needs, graph),
    receivedPacks: 0,
    refusedPacks: 0,
    note: null,
  };
}

/** The contract by which the line comes from this supplier; null where the site is not bound. */
function contractOf(
  { contracts, site }: ProposalInput,
  { ingredientId }: PlannedLine,
  { supplierId, deliveryDate }: PlannedOrder,
): string | null {
  const binding = bindingContracts(contracts, site.id, ingredientId, deliveryDate);
  return binding.find((contract) => contract.supplierId === supplierId)?.id ?? null;
}

function packsNode(
  input: ProposalInput,
  planned: PlannedLine,
  order: PlannedOrder,
  needs: ReadonlyMap<string, BuyNeed>,
  { builder, copied }: OrderGraph,
): string {
  const { ingredients, packs } = input.book;
  const packId = packOfOffer(planned.offerId);
  const ingredient = ingredients.get(planned.ingredientId);
  const name = ingredient?.name ?? planned.ingredientId;
  const unit = ingredient?.baseUnit ?? 'g';
  const packName = packs.get(packId)?.name ?? packId;
  const size = planned.quantityBase / planned.packs;
  const served = planned.uses.flatMap((use) =>
    use.refs.flatMap((ref) => {
      const need = needs.get(ref.nodeId);
      if (!need) return [];
      const nodeId = buyNode(input, need, { builder, copied }, { name, unit });
      const whole = builder.value(nodeId);
      const part = whole > 0 ? (ref.quantityBase ?? use.quantityBase) / whole : 0;
      return [Math.abs(part - 1) < 1e-9 ? { nodeId } : { nodeId, factor: part }];
    }),
  );
  const needNode = builder.add({
    id: `buy:${packId}:${order.deliveryDate}`,
    label: `${name} that ${packName} brings on ${order.deliveryDate}`,
    unit,
    formula: 'weighted-sum',
    inputs: served,
  });
  const rounded = roundUpToMultiple(builder.value(needNode) / size, 1) === planned.packs;
  if (rounded) {
    return builder.add({
      id: `packs:${packId}`,
      label: `${packName}, whole packs`,
      unit: 'packs',
      formula: 'round-up-to-multiple',
      inputs: [{ nodeId: needNode, factor: 1 / size }],
      parameters: { multiple: 1 },
      source: { kind: 'pack', id: packId, note: `${size} ${unit} a pack` },
    });
  }
  const why =
    planned.packsForMinimum > 0
      ? `${planned.packsForMinimum} to reach the supplier's minimum`
      : 'more cost less than the packs needed, or will be used later';
  return builder.add({
    id: `packs:${packId}`,
    label: `${packName}, packs that make the whole cheapest`,
    unit: 'packs',
    formula: 'weighted-sum',
    inputs: [
      {
        nodeId: builder.given({
          label: `${packName}, chosen at least cost`,
          value: planned.packs,
          unit: 'packs',
          source: { kind: 'pack', id: packId, note: why },
        }),
      },
      { nodeId: needNode, factor: 0, role: 'need' },
    ],
  });
}

/** What is to be bought for one dated need of the plan. */
function buyNode(
  input: ProposalInput,
  need: BuyNeed,
  { builder, copied }: OrderGraph,
  of: { readonly name: string; readonly unit: string },
): string {
  const id = `buy:${need.row.id}`;
  if (builder.has(id)) return id;
  for (const node of orRefuse(subgraph(input.planGraph, need.row.node)).nodes) {
    if (copied.has(node.id)) continue;
    copied.set(node.id, node);
    const { value, formula, ...rest } = node;
    if (formula === 'given') builder.given({ ...rest, value });
    else builder.add({ ...rest, formula });
  }
  const more =
    need.safety > 0
      ? [
          {
            nodeId: builder.given({
              label: `${of.name}, kept above the plan: enough on ${Math.round(need.safetyLevel * 100)} days of 100`,
              value: need.safety,
              unit: of.unit,
              source: { kind: 'safety', id: need.row.ingredientId, note: need.row.id },
            }),
          },
        ]
      : [];
  const taken = need.taken.map(({ lotId, quantity }) => ({
    nodeId: builder.given({
      label: `${of.name} in stock or due`,
      value: quantity,
      unit: of.unit,
      source: { kind: 'stock or delivery', id: lotId, note: need.row.id },
    }),
    factor: -1,
  }));
  return builder.add({
    id,
    label: `${of.name} to buy for ${need.row.needDate}`,
    unit: of.unit,
    formula: 'not-below-zero',
    inputs: [{ nodeId: need.row.node }, ...more, ...taken],
  });
}
