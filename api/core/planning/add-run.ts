import type { PlannedRun } from '../batches/index.ts';
import type { Item } from '../recipe-graph/index.ts';
import { mainOutput } from './component-runs.ts';
import { addByProducts } from './due-by-products.ts';
import { explainTimes } from './explain-times.ts';
import { certainFractionOf } from './open-needs.ts';
import type { OpenNeed } from './open-needs.ts';
import { makingsIn } from './place-runs.ts';
import type { PlacedRun } from './place-runs.ts';
import type { PlanDraft } from './plan-draft.ts';
import type { PlanVersion } from './plan-input.ts';
import type { PlannedTask } from './plan-output.ts';

/** A chosen run with what it serves. */
export interface RunParts {
  readonly item: Item;
  readonly version: PlanVersion;
  readonly run: PlannedRun;
  readonly byId: ReadonlyMap<string, OpenNeed>;
  readonly netNode: ReadonlyMap<string, string>;
  readonly slot: PlacedRun;
}

/** Adds a run's task, the needs it puts on the level below and the by-products it gives. */
export function addRun(parts: RunParts, draft: PlanDraft): void {
  const { item, version, run, byId, slot } = parts;
  const { builder } = draft;
  const served = run.allocations.flatMap(({ needId, quantity }) => {
    const need = byId.get(needId);
    return need ? [{ need, quantity }] : [];
  });
  const first = served.reduce((min, { need }) => Math.min(min, need.atMin), Infinity);
  const id = `run:${item.id}:${slot.id}`;
  const stretch = version.stretchFrom === undefined ? '' : `:${version.stretchFrom}`;
  const stem = `${id}:${version.versionNumber}${stretch}`;
  const nodes = explainRun(parts, served, stem, slot.date, draft);
  const quantity = builder.value(nodes.quantity);
  const batches = builder.value(nodes.batches);
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
  const task: PlannedTask = {
    id: stem,
    itemId: made?.itemId ?? item.id,
    versionId: version.versionId,
    station: version.station,
    makeDate: slot.date,
    startMin: slot.startMin,
    readyMin: slot.readyMin,
    useByMin: slot.useByMin,
    batches,
    quantity: builder.value(madeNode),
    neededQuantity: made ? 0 : builder.value(nodes.toMake),
    makings: makingsIn(run.batches, version, draft).length,
    firstNeedMin: Number.isFinite(first) ? first : slot.readyMin,
    slotId: slot.id,
    slotDate: slot.wishedDate,
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
  };
  draft.tasks.push(task);
  const earliest = served.find(({ need }) => need.atMin === first)?.need.neededBy;
  if (earliest) {
    const what = { name: item.name, version: version.versionId, first: earliest };
    explainTimes(draft, stem, slot, what);
  }
  draft.addLineNeeds({
    version,
    madeNode: nodes.quantity,
    made: quantity,
    batchesNode: nodes.batches,
    batches,
    atMin: slot.startMin,
    untilMin: slot.starts.at(-1)?.toMin ?? slot.startMin,
    ...(slot.starts.length > 1 ? { parts: partsOf(slot) } : {}),
    serviceDate,
    // Rounding up to whole batches is not booked by anybody.
    certainFraction: quantity > 0 ? certainFraction * nodes.neededShare(quantity) : 0,
    user: { kind: 'batch', id: stem, label: `${item.name}, ${slot.date}` },
  });
  addByProducts(version, stem, nodes.batches, slot.readyMin, draft);
}

function partsOf({ starts, batches }: PlacedRun) {
  return starts.map((start) => ({
    atMin: start.fromMin,
    untilMin: start.toMin,
    fraction: start.batches / batches,
  }));
}

/** The chain of one run: what it must cover, whole batches, what those give. */
function explainRun(
  { item, version, run, netNode }: RunParts,
  served: readonly { readonly need: OpenNeed; readonly quantity: number }[],
  stem: string,
  when: string,
  { builder }: PlanDraft,
) {
  const output = mainOutput(version).quantity;
  const limits = version.recipe.batchLimits;
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
