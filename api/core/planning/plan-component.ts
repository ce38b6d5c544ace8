import type { LotAllocation, LotOnHand } from '../netting/index.ts';
import { netNeeds } from '../netting/index.ts';
import type { Item } from '../recipe-graph/index.ts';
import { earliestFinish, equipmentOf, placesOf } from '../schedule/index.ts';
import type { SiteEquipment, StepEquipment } from '../schedule/index.ts';
import type { Result } from '../shared/result.ts';
import { ok } from '../shared/result.ts';
import { addRun } from './add-run.ts';
import { handsOnRun } from './component-runs.ts';
import { madeElsewhere, stillNeeded, whyNotSent } from './made-elsewhere.ts';
import { choosePlacedRuns } from './place-runs.ts';
import type { PlacedRuns } from './place-runs.ts';
import { blockedReason, tightRuns } from './tight-runs.ts';
import type { OpenNeed } from './open-needs.ts';
import type { PlanDraft } from './plan-draft.ts';
import type { PlanVersion } from './plan-input.ts';
import type { Shortage } from './plan-output.ts';
import { starterVersion } from './starter-version.ts';
import { stepsOf } from './production-slots.ts';

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
    const version = madeElsewhere(item.id, need.serviceDate, draft.input)
      ? undefined
      : (draft.versions.on(item.id, need.serviceDate) ??
        starterVersion(item.id, need.serviceDate, draft.input.versions, draft.versions));
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
    const asked = {
      version,
      name: item.name,
      needs: group,
      lots,
      open: draft.input.open,
      nowMin: Math.max(draft.input.nowMin, draft.notBefore.get(item.id) ?? 0),
      horizonEndMin: draft.input.horizonEndMin,
      kinds: draft.kinds,
      previous: draft.input.previousRuns?.filter((run) => run.versionId === version.versionId),
      barred: draft.barred.get(item.id),
      wished: groups.size === 1 ? draft.wishes.get(item.id) : undefined,
    };
    const planned = choosePlacedRuns(asked, draft);
    if (!planned.ok) return planned;
    lots = planned.value.played.plan.stockLeft;
    noteChoice(item, version, planned.value, draft);
    draft.tight.push(...tightRuns(item, planned.value, draft));
    addRuns(item, version, group, planned.value, draft);
  }
  noteUnused(item.id, lots, draft);
  return ok(undefined);
}

/** How the runs were chosen, what that costs and leaves short. */
function noteChoice(
  item: Item,
  version: PlanVersion,
  { chosen, cut }: PlacedRuns,
  draft: PlanDraft,
): void {
  const { plan, unmet } = chosen;
  if (cut) draft.cut.add(item.id);
  for (const { needId, quantity } of unmet) draft.unmet.set(needId, quantity);
  const { perRunMin, perBatchMin } = handsOnRun(version);
  const batches = plan.runs.reduce((sum, run) => sum + run.batches, 0);
  draft.methods.push({
    itemId: item.id,
    versionId: version.versionId,
    method: plan.method,
    // What stock costs while it waits is no choice of this plan's, and would hide what is.
    costMin: plan.cost - plan.breakdown.idle,
    handsMin: plan.runs.length * perRunMin + batches * perBatchMin,
    // The best of chances that were cut or struck out says nothing of those there were.
    boundMin: cut ? 0 : Math.max(0, plan.bound - plan.breakdown.idle),
    unmet: unmet.reduce((sum, { quantity }) => sum + quantity, 0),
  });
}

/**
 * A component that another site makes, or with no recipe on the date (a by-product, as a rule):
 * stock only, the rest is short.
 */
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
    const elsewhere = madeElsewhere(item.id, need.serviceDate, draft.input);
    if (elsewhere) {
      const node = afterStock(item, need, netted.value.allocations, draft);
      draft.neededFromElsewhere.push(stillNeeded(need, open.quantity, node));
      draft.shortages.push({
        ...shortageBase(need, open.quantity),
        reason: 'made-elsewhere',
        message: whyNotSent(item.name, need, elsewhere),
      });
      continue;
    }
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
  runs: PlacedRuns,
  draft: PlanDraft,
): void {
  const { plan, unmet } = runs.played;
  const byId = new Map(needs.map((need) => [need.id, need]));
  noteStockUse(item.id, needs, plan.fromStock, draft);
  const netNode = new Map(
    needs.map((need) => [need.id, afterStock(item, need, plan.fromStock, draft)]),
  );
  for (const run of plan.runs) {
    const slot = runs.placed.get(run.slotId);
    if (slot) addRun({ item, version, run, slot, byId, netNode }, draft);
  }
  for (const short of unmet) {
    const need = byId.get(short.needId);
    if (!need) continue;
    // Why there was no better chance is known from all that were offered, not from those taken.
    const reason =
      runs.chosen.unmet.find(({ needId }) => needId === short.needId)?.reason ?? short.reason;
    // What other runs lacked is not why, where not even an empty kitchen would have been in time.
    const soonest = soonestReady(version, need, draft);
    const blocked =
      soonest !== null && soonest > need.atMin
        ? undefined
        : blockedReason(item.name, need.neededBy.label, runs, draft);
    draft.shortages.push({
      ...shortageBase(need, short.quantity),
      ...(reason === 'minimum-over-capacity'
        ? vesselsTooSmall(item.name, version, draft)
        : (blocked ?? {
            reason: reason === 'shelf-life' ? 'shelf-life-too-short' : 'too-late-to-make',
            ...whyShort(item.name, reason, need, version, draft),
          })),
    });
  }
}

/** The smallest batch does not fit the moulds, rings or frames of the site. */
function vesselsTooSmall(
  name: string,
  version: PlanVersion,
  draft: PlanDraft,
): Pick<Shortage, 'reason' | 'message' | 'equipmentKind'> {
  const vessel = version.steps
    .flatMap((step) => equipmentOf(step))
    .filter((use) => use.keptDuringHold === true)
    .map((use) => ({ use, site: draft.kinds.get(use.kind) }))
    .sort((a, b) => roomIn(a) - roomIn(b))[0];
  return {
    reason: 'vessels-too-small',
    message: `${name}: ${vessel?.site?.name ?? 'the moulds'} hold less than the smallest batch.`,
    ...(vessel ? { equipmentKind: vessel.use.kind } : {}),
  };
}

function roomIn({ use, site }: { use: StepEquipment; site: SiteEquipment | undefined }): number {
  return site ? placesOf(site) / use.amount : Infinity;
}

/** When a batch could be ready if only working hours bound; null where it finds none. */
function soonestReady(version: PlanVersion, need: OpenNeed, draft: PlanDraft): number | null {
  const from = Math.max(draft.input.nowMin, draft.notBefore.get(need.itemId) ?? 0);
  const earliest = earliestFinish(stepsOf(version.steps), from, draft.input.open);
  return earliest.ok ? earliest.value.readyMin : null;
}

/** The reason in a chef's words, and when the component could be ready at the earliest. */
function whyShort(
  name: string,
  reason: string,
  need: OpenNeed,
  version: PlanVersion,
  draft: PlanDraft,
): Pick<Shortage, 'message' | 'earliestReadyMin'> {
  const soonest = soonestReady(version, need, draft);
  if (reason === 'shelf-life') {
    return { message: `${name} would not keep until the end of ${need.neededBy.label}.` };
  }
  if (soonest === null) {
    return { message: `${name} finds no time inside working hours before ${need.neededBy.label}.` };
  }
  return {
    message: `${name} cannot be ready in time for ${need.neededBy.label}: started now, it needs longer than there is.`,
    earliestReadyMin: soonest,
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
    const coming = draft.input.lots.find((lot) => lot.id === lotId)?.coming;
    const nodeId = builder.given({
      label: coming?.label ?? `${item.name} from the fridge`,
      value: quantity,
      unit: item.baseUnit,
      source: coming?.source ?? { kind: 'stock lot', id: lotId, note: need.id },
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
