import type { EpochMin } from '../calendar/index.ts';
import type { OpenNeed } from './open-needs.ts';
import type { PlanDraft } from './plan-draft.ts';
import type { ComponentPar, PlannedService } from './plan-input.ts';

type WantedQuantity = Extract<ComponentPar, { kind: 'quantity' }>;

/** What an earlier par added and nobody ate: it is still there until `untilMin`. */
interface Carried {
  readonly node: string;
  readonly quantity: number;
  readonly untilMin: EpochMin;
}

/**
 * Brings a component up to the quantities a person wants there over some days: what the services and
 * batches of those days do not need of it anyway, less what earlier top-ups left in date, is added to
 * the first service of them. Call when every user of the component is planned.
 *
 * The oldest is eaten first, and what is eaten of a top-up is made fresh for the needs that ate it:
 * where a window's needs turn the stock over, a top-up lasts on; where they do not, it is thrown
 * away at the end of its shelf life and made again. Source: order-up-to review (Silver, Pyke &
 * Thomas, Inventory and Production Management in Supply Chains; from memory).
 */
export function topUpToPar(itemId: string, draft: PlanDraft): void {
  const wanted = (draft.input.componentPars ?? [])
    .filter((par): par is WantedQuantity => par.kind === 'quantity' && par.itemId === itemId)
    .sort((a, b) => (a.fromDate < b.fromDate ? -1 : a.fromDate > b.fromDate ? 1 : 0));
  // Asked before the first top-up is added: those are no needs that would eat what is carried.
  const needs = [...draft.needs.of(itemId)].sort((a, b) => a.atMin - b.atMin);
  let carried: readonly Carried[] = [];
  let before: EpochMin | undefined;
  for (const par of wanted) {
    const first = firstService(draft.input.services, par);
    if (first === undefined) continue;
    const shelfLifeMin = draft.versions.on(itemId, first.serviceDate)?.shelfLifeMin ?? 0;
    if (before !== undefined) {
      const from = before;
      const meanwhile = needs.filter((n) => n.atMin >= from && n.atMin < first.startMin);
      carried = turnedOver(carried, meanwhile, from + shelfLifeMin);
    }
    before = first.startMin;
    carried = carried.filter((one) => one.untilMin > first.startMin);
    const added = addTopUp(draft, par, first, needs, carried);
    if (added !== null) {
      carried = [...carried, { ...added, untilMin: first.startMin + shelfLifeMin }];
    }
  }
}

function firstService(
  services: readonly PlannedService[],
  par: WantedQuantity,
): PlannedService | undefined {
  return services
    .filter((s) => s.serviceDate >= par.fromDate && s.serviceDate <= par.toDate)
    .reduce<PlannedService | undefined>(
      (before, s) => (before === undefined || s.startMin < before.startMin ? s : before),
      undefined,
    );
}

/** What is carried after needs have eaten of it, oldest first, and left fresh in its place. */
function turnedOver(
  carried: readonly Carried[],
  needs: readonly OpenNeed[],
  freshUntilMin: EpochMin,
): readonly Carried[] {
  const left = needs.map((need) => need.quantity);
  return carried.flatMap((one): readonly Carried[] => {
    if (one.untilMin >= freshUntilMin) return [one];
    let eaten = 0;
    for (const [i, need] of needs.entries()) {
      if (need.atMin >= one.untilMin) break;
      const bite = Math.min(left[i] ?? 0, one.quantity - eaten);
      left[i] = (left[i] ?? 0) - bite;
      eaten += bite;
    }
    const fresh = { ...one, quantity: eaten, untilMin: freshUntilMin };
    const old = { ...one, quantity: one.quantity - eaten };
    return [old, fresh].filter((part) => part.quantity > 0);
  });
}

/** @returns what was added with its node, null where nothing is missing */
function addTopUp(
  draft: PlanDraft,
  par: WantedQuantity,
  first: PlannedService,
  needs: readonly OpenNeed[],
  carried: readonly Carried[],
): { readonly node: string; readonly quantity: number } | null {
  const { builder } = draft;
  const { itemId } = par;
  const unit = draft.items.get(itemId)?.baseUnit ?? 'each';
  const name = draft.nameOf(itemId);
  const needed = needs.filter(
    (need) => need.serviceDate >= par.fromDate && need.serviceDate <= par.toDate,
  );
  const id = `par:${itemId}:${par.fromDate}`;
  const wanted = builder.given({
    id: `${id}:wanted`,
    label: `${name}, to be there on ${par.fromDate}`,
    value: par.quantity,
    unit,
    source: par.source,
  });
  const node = builder.add({
    id,
    label: `${name} beyond what is needed anyway, ${par.fromDate}`,
    unit,
    formula: 'not-below-zero',
    inputs: [
      { nodeId: wanted },
      ...needed.map((need) => ({ nodeId: need.node, factor: -1 })),
      ...carried.map((one) => ({
        nodeId: one.node,
        factor: -(one.quantity / builder.value(one.node)),
      })),
    ],
  });
  const quantity = builder.value(node);
  if (quantity <= 1e-9) return null;
  draft.needs.add({
    id,
    itemId,
    atMin: first.startMin,
    untilMin: first.startMin + 1,
    serviceDate: first.serviceDate,
    quantity,
    certainFraction: 0,
    node,
    neededBy: {
      kind: 'service',
      id,
      label: `Par of ${name}, ${first.name}`,
      serviceDate: first.serviceDate,
      atMin: first.startMin,
      quantity,
    },
  });
  return { node, quantity };
}
