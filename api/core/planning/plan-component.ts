import type { PlannedRun } from '../batches/index.ts';
import { toRfc3339 } from '../calendar/index.ts';
import type { LotAllocation, LotOnHand } from '../netting/index.ts';
import { netNeeds } from '../netting/index.ts';
import type { Item } from '../recipe-graph/index.ts';
import { earliestFinish } from '../schedule/index.ts';
import type { Result } from '../shared/result.ts';
import { ok } from '../shared/result.ts';
import { addByProducts } from './due-by-products.ts';
import { componentRuns, mainOutput } from './component-runs.ts';
import type { ComponentRuns } from './component-runs.ts';
import { certainFractionOf } from './open-needs.ts';
import type { OpenNeed } from './open-needs.ts';
import type { PlanDraft } from './plan-draft.ts';
import type { PlanVersion } from './plan-input.ts';
import type { Shortage } from './plan-output.ts';
import { starterVersion } from './starter-version.ts';
import { startBy, stepsOf } from './production-slots.ts';

/**
 * Plans one component whose users are all planned: stock and by-products first, then runs of the
 * version in force on each need's service date, and the needs those runs put on the level below.
 */
export function planComponent(item: Item, draft: PlanDraft): Result<void> {
  const needs = draft.needs.of(item.id);
  let lots: readonly LotOnHand[] = [
    ...draft.input.lots.filter((lot) => lot.itemId === item.id),
    ...draft.dueLots.filter((lot) => lot.itemId === item.id),
  ];
  if (needs.length === 0) {
    noteUnused(item.id, lots, draft);
    return ok(undefined);
  }
  const groups = new Map<PlanVersion | undefined, OpenNeed[]>();
  for (const need of [...needs].sort((a, b) => a.atMin - b.atMin)) {
    const version =
      draft.versions.on(item.id, need.serviceDate) ??
      starterVersion(item.id, need.serviceDate, draft.input.versions, draft.versions);
    const list = groups.get(version) ?? [];
    if (list.length === 0) groups.set(version, list);
    list.push(need);
  }
  for (const [version, group] of groups) {
    if (version === undefined) {
      const left = fromStockOnly(item, group, lots, draft);
      if (!left.ok) return left;
      lots = left.value;
      continue;
    }
    const planned = componentRuns({
      version,
      name: item.name,
      needs: group,
      lots,
      open: draft.input.open,
      nowMin: Math.max(draft.input.nowMin, draft.notBefore.get(item.id) ?? 0),
      horizonEndMin: draft.input.horizonEndMin,
    });
    if (!planned.ok) return planned;
    lots = planned.value.plan.stockLeft;
    addRuns(item, version, group, planned.value, draft);
  }
  noteUnused(item.id, lots, draft);
  return ok(undefined);
}

/** A component with no recipe on the date (a by-product, as a rule): stock only, the rest is short. */
function fromStockOnly(
  item: Item,
  needs: readonly OpenNeed[],
  lots: readonly LotOnHand[],
  draft: PlanDraft,
): Result<readonly LotOnHand[]> {
  const netted = netNeeds({ needs, lots });
  if (!netted.ok) return netted;
  noteStockUse(item.id, needs, netted.value.allocations, draft);
  const byId = new Map(needs.map((need) => [need.id, need]));
  for (const open of netted.value.net) {
    const need = byId.get(open.id);
    if (!need || open.quantity <= 1e-9) continue;
    const isByProduct = draft.input.versions.some((version) =>
      version.recipe.outputs.some((output) => !output.main && output.itemId === item.id),
    );
    draft.shortages.push({
      ...shortageBase(need, open.quantity),
      reason: isByProduct ? 'by-product-only' : 'no-recipe-for-date',
      message: isByProduct
        ? `${item.name} comes only as a by-product, and the batches planned do not give enough for ${need.neededBy.label}.`
        : `${item.name} has no published recipe on ${need.serviceDate}.`,
    });
  }
  return ok(netted.value.leftovers);
}

function addRuns(
  item: Item,
  version: PlanVersion,
  needs: readonly OpenNeed[],
  { plan, slots, unmet }: ComponentRuns,
  draft: PlanDraft,
): void {
  const byId = new Map(needs.map((need) => [need.id, need]));
  noteStockUse(item.id, needs, plan.fromStock, draft);
  const netNode = new Map(
    needs.map((need) => [need.id, afterStock(item, need, plan.fromStock, draft)]),
  );
  for (const run of plan.runs) {
    addRun({ item, version, run, byId, netNode, slots, fromStock: plan.fromStock }, draft);
  }
  for (const short of unmet) {
    const need = byId.get(short.needId);
    if (!need) continue;
    draft.shortages.push({
      ...shortageBase(need, short.quantity),
      reason: short.reason === 'shelf-life' ? 'shelf-life-too-short' : 'too-late-to-make',
      ...whyShort(item.name, short.reason, need, version, draft),
    });
  }
}

/** The reason in a chef's words, and when the component could be ready at the earliest. */
function whyShort(
  name: string,
  reason: string,
  need: OpenNeed,
  version: PlanVersion,
  draft: PlanDraft,
): Pick<Shortage, 'message' | 'earliestReadyMin'> {
  const from = Math.max(draft.input.nowMin, draft.notBefore.get(need.itemId) ?? 0);
  const earliest = earliestFinish(stepsOf(version.steps), from, draft.input.open);
  if (reason === 'shelf-life') {
    return { message: `${name} would not keep until the end of ${need.neededBy.label}.` };
  }
  if (!earliest.ok) {
    return { message: `${name} finds no time inside working hours before ${need.neededBy.label}.` };
  }
  return {
    message: `${name} cannot be ready in time for ${need.neededBy.label}: started now, it needs longer than there is.`,
    earliestReadyMin: earliest.value.readyMin,
  };
}

/** The need less what stock covers of it: a node of its own where stock covers any. */
function afterStock(
  item: Item,
  need: OpenNeed,
  fromStock: readonly LotAllocation[],
  draft: PlanDraft,
): string {
  const taken = fromStock.filter((allocation) => allocation.needId === need.id);
  if (taken.length === 0) return need.node;
  const { builder } = draft;
  const inputs = taken.map(({ lotId, quantity }) => {
    const due = draft.dueLots.find((lot) => lot.id === lotId);
    if (due) {
      return { nodeId: due.node, factor: -quantity / due.quantity, role: 'by-product' };
    }
    const nodeId = builder.given({
      label: `${item.name} from the fridge`,
      value: quantity,
      unit: item.baseUnit,
      source: { kind: 'stock lot', id: lotId, note: need.id },
    });
    return { nodeId, factor: -1, role: 'stock' };
  });
  return builder.add({
    id: `${need.id}:after-stock`,
    label: `${item.name} to make for ${need.neededBy.label}, after what is there`,
    unit: item.baseUnit,
    formula: 'not-below-zero',
    inputs: [{ nodeId: need.node }, ...inputs],
  });
}

interface RunParts {
  readonly item: Item;
  readonly version: PlanVersion;
  readonly run: PlannedRun;
  readonly byId: ReadonlyMap<string, OpenNeed>;
  readonly netNode: ReadonlyMap<string, string>;
  readonly slots: ComponentRuns['slots'];
  readonly fromStock: readonly LotAllocation[];
}

function addRun(parts: RunParts, draft: PlanDraft): void {
  const { item, version, run, byId } = parts;
  const { builder, input } = draft;
  const slot = parts.slots.get(run.slotId);
  if (!slot) throw new Error(`The batch plan names a slot ${run.slotId} that was not offered.`);
  const served = run.allocations.flatMap(({ needId, quantity }) => {
    const need = byId.get(needId);
    return need ? [{ need, quantity }] : [];
  });
  const first = served.reduce((min, { need }) => Math.min(min, need.atMin), Infinity);
  const times = Number.isFinite(first)
    ? startBy(slot, version.steps, input.open, first)
    : { startMin: slot.startMin, readyMin: slot.readyMin };
  const id = `run:${item.id}:${slot.id}`;
  const stretch = version.stretchFrom === undefined ? '' : `:${version.stretchFrom}`;
  const stem = `${id}:${version.versionNumber}${stretch}`;
  const nodes = explainRun(parts, served, stem, draft);
  const quantity = builder.value(nodes.quantity);
  const batches = builder.value(nodes.batches);
  const maximum = version.recipe.batchLimits?.maximumBatches;
  const serviceDate = served[0]?.need.serviceDate ?? slot.date;
  const certainFraction = certainFractionOf(
    served.map(({ need, quantity: q }) => ({ quantity: q, certainFraction: need.certainFraction })),
  );
  const made = version.madeAs;
  const madeNode = made
    ? builder.add({
        id: `${stem}:made`,
        label: `${draft.nameOf(made.itemId)} made`,
        unit: draft.items.get(made.itemId)?.baseUnit ?? 'each',
        formula: 'weighted-sum',
        inputs: [{ nodeId: nodes.batches, factor: made.quantityPerBatch }],
      })
    : nodes.quantity;
  draft.tasks.push({
    id: stem,
    itemId: made?.itemId ?? item.id,
    versionId: version.versionId,
    station: version.station,
    makeDate: slot.date,
    ...times,
    useByMin: times.readyMin + version.shelfLifeMin,
    batches,
    quantity: builder.value(madeNode),
    neededQuantity: made ? 0 : builder.value(nodes.toMake),
    makings: maximum === undefined ? 1 : Math.ceil(batches / maximum - 1e-9),
    neededBy: served.map(({ need, quantity: q }) => ({ ...need.neededBy, quantity: q })),
    cautions: version.cautions,
    batchesNode: nodes.batches,
    quantityNode: madeNode,
    // A batch started for a by-product is needed for that, not for its own item.
    neededNode: made
      ? builder.given({
          id: `${stem}:needed`,
          label: `${draft.nameOf(made.itemId)} needed for itself`,
          value: 0,
          unit: draft.items.get(made.itemId)?.baseUnit ?? 'each',
        })
      : nodes.toMake,
  });
  draft.addLineNeeds({
    version,
    madeNode: nodes.quantity,
    made: quantity,
    batchesNode: nodes.batches,
    batches,
    atMin: times.startMin,
    untilMin: times.startMin,
    serviceDate,
    // Rounding up to whole batches is not booked by anybody.
    certainFraction: quantity > 0 ? certainFraction * nodes.neededShare(quantity) : 0,
    user: { kind: 'batch', id: stem, label: `${item.name}, ${slot.date}` },
  });
  addByProducts(version, stem, nodes.batches, times.readyMin, draft);
}

/** The chain of one run: what it must cover, whole batches, what those give. */
function explainRun(
  { item, version, run, netNode }: RunParts,
  served: readonly { readonly need: OpenNeed; readonly quantity: number }[],
  stem: string,
  { builder }: PlanDraft,
) {
  const output = mainOutput(version).quantity;
  const limits = version.recipe.batchLimits;
  const when = toRfc3339(Number(run.slotId)).slice(0, 10);
  const toMake = builder.add({
    id: `${stem}:to-make`,
    label: `${item.name} that this batch must cover`,
    unit: item.baseUnit,
    formula: 'weighted-sum',
    inputs: served.map(({ need, quantity }) => {
      const nodeId = netNode.get(need.id) ?? need.node;
      const whole = builder.value(nodeId);
      // A need may be shared by two runs: this one takes its part of it.
      const part = whole > 0 ? quantity / whole : 0;
      return Math.abs(part - 1) < 1e-9 ? { nodeId } : { nodeId, factor: part };
    }),
  });
  const rounded = {
    label: `${item.name}, whole batches, ${when}`,
    unit: 'batches',
    formula: 'round-up-to-multiple',
    inputs: [{ nodeId: toMake, factor: 1 / output }],
    parameters: { multiple: limits?.stepBatches ?? 1, minimum: limits?.minimumBatches ?? 1 },
    source: {
      kind: 'recipe version',
      id: version.versionId,
      note: `one batch gives ${output} ${item.baseUnit}`,
    },
  } as const;
  let batches = builder.add({ ...rounded, id: `${stem}:batches` });
  if (Math.abs(builder.value(batches) - run.batches) > 1e-9) {
    // The plan chose more than this run's own needs ask for; the choice is a figure of its own.
    batches = builder.add({
      id: `${stem}:batches-chosen`,
      label: rounded.label,
      unit: 'batches',
      formula: 'maximum',
      inputs: [
        { nodeId: batches },
        {
          nodeId: builder.given({
            id: `${stem}:chosen`,
            label: `${item.name}, batches chosen as cheapest over the plan`,
            value: run.batches,
            unit: 'batches',
            source: { kind: 'batch plan', id: stem },
          }),
        },
      ],
    });
  }
  const quantity = builder.add({
    id: `${stem}:quantity`,
    label: `${item.name} made`,
    unit: item.baseUnit,
    formula: 'weighted-sum',
    inputs: [{ nodeId: batches, factor: output }],
  });
  const needed = builder.value(toMake);
  return {
    toMake,
    batches,
    quantity,
    neededShare: (made: number): number => Math.min(1, needed / made),
  };
}

/** Remembers which lot serves which need, for "use first". */
function noteStockUse(
  itemId: string,
  needs: readonly OpenNeed[],
  allocations: readonly LotAllocation[],
  draft: PlanDraft,
): void {
  const byId = new Map(needs.map((need) => [need.id, need]));
  const useBy = new Map(draft.input.lots.map((lot) => [lot.id, lot.useByMin]));
  for (const { needId, lotId, quantity } of allocations) {
    const need = byId.get(needId);
    const useByMin = useBy.get(lotId);
    if (!need || useByMin === undefined) continue;
    draft.stockUses.push({
      lotId,
      itemId,
      quantity,
      useByMin,
      usedBy: { ...need.neededBy, quantity },
    });
  }
}

function noteUnused(itemId: string, lots: readonly LotOnHand[], draft: PlanDraft): void {
  const { horizonEndMin } = draft.input;
  const own = new Set(draft.input.lots.map((lot) => lot.id));
  for (const lot of lots) {
    if (!own.has(lot.id) || lot.useByMin > horizonEndMin) continue;
    draft.leftUnused.push({
      lotId: lot.id,
      itemId,
      quantity: lot.quantity,
      useByMin: lot.useByMin,
    });
  }
}

function shortageBase(
  need: OpenNeed,
  quantity: number,
): Pick<
  Shortage,
  'itemId' | 'quantity' | 'serviceDate' | 'atMin' | 'neededBy' | 'usedByTask' | 'node'
> {
  return {
    itemId: need.itemId,
    quantity,
    serviceDate: need.serviceDate,
    atMin: need.atMin,
    neededBy: need.neededBy.label,
    ...(need.neededBy.kind === 'batch' ? { usedByTask: need.neededBy.id } : {}),
    node: need.node,
  };
}
