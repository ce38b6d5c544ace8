import type { JointComponent, JointPlan, JointProblem } from '../batches/index.ts';
import { planTogether } from '../batches/index.ts';
import type { PlanTogetherOptions } from '../batches/index.ts';
import type { Result } from '../shared/result.ts';
import { ok } from '../shared/result.ts';
import { batchProblem, mainOutput, slotsFor, versionKey } from './component-runs.ts';
import type { DecidedRun, RunsAsked } from './component-runs.ts';
import type { OpenNeed } from './open-needs.ts';
import type { PlanDraft } from './plan-draft.ts';
import type { PlanVersion } from './plan-input.ts';
import type { DatedSlot } from './production-slots.ts';

/** Runs of components that go into one another, chosen together. */
export interface JointRuns {
  readonly decided: ReadonlyMap<string, readonly DecidedRun[]>;
  readonly plan: JointPlan;
  /** Items planned together, users before inputs. */
  readonly itemIds: readonly string[];
}

/** Chances kept for each day, so that the model stays small: the first, the last, and those chosen. */
const CHANCES_A_DAY = 2;

/**
 * Plans the components that go into one another at once (mixed-integer, HiGHS), from the needs that
 * services put on them. Components that stand alone have their exact plan already and are left out;
 * so are those that a joint model cannot hold: with two versions in force in the plan's window, with
 * by-products of others as supply, drawn once a batch, or started for a by-product.
 *
 * @param draft the plan worked out level by level: its choices are among the chances offered
 * @returns undefined where nothing goes into anything
 */
export async function jointRuns(
  draft: PlanDraft,
  order: readonly string[],
  options: PlanTogetherOptions,
): Promise<Result<JointRuns | undefined>> {
  const joined = linkedItems(draft, order);
  if (joined.length === 0) return ok(undefined);
  const ids = new Set(joined.map((item) => item.itemId));
  const slots = new Map<string, readonly DatedSlot[]>();
  const components: JointComponent[] = [];
  for (const { itemId, version } of joined) {
    const asked = askedFor(itemId, version, ids, draft);
    const starts = joined
      .filter((user) => inputsOf(user.version).some((input) => input.componentId === itemId))
      .flatMap((user) => (slots.get(user.itemId) ?? []).map(({ startMin }) => startMin));
    const chosen = new Set(
      draft.tasks.filter((task) => task.itemId === itemId).map((task) => task.slotId),
    );
    const offered = slotsFor({ ...asked, needs: [...asked.needs, ...starts.map(asNeed)] });
    const own = thinned(offered, chosen);
    slots.set(itemId, own);
    components.push({
      ...batchProblem(asked, own),
      component: { id: itemId, name: draft.nameOf(itemId) },
      inputs: inputsOf(version).filter(({ componentId }) => ids.has(componentId)),
    });
  }
  const problem: JointProblem = { components, capacities: [] };
  const solved = await planTogether(problem, options);
  if (!solved.ok) return solved;
  const decided = new Map<string, readonly DecidedRun[]>();
  for (const { componentId, plan } of solved.value.components) {
    const item = joined.find(({ itemId }) => itemId === componentId);
    if (!item) continue;
    const byId = new Map((slots.get(componentId) ?? []).map((slot) => [slot.id, slot]));
    decided.set(
      versionKey(item.version),
      plan.runs.flatMap(({ slotId, batches }) => {
        const slot = byId.get(slotId);
        return slot ? [{ ...slot, batches }] : [];
      }),
    );
  }
  return ok({ decided, plan: solved.value, itemIds: joined.map(({ itemId }) => itemId) });
}

function asNeed(atMin: number): OpenNeed {
  return {
    id: `start ${atMin}`,
    itemId: '',
    atMin,
    untilMin: atMin,
    serviceDate: '',
    quantity: 0,
    certainFraction: 0,
    node: '',
    neededBy: { kind: 'batch', id: '', label: '', serviceDate: '', atMin, quantity: 0 },
  };
}

/** The needs that stay as they are: those of services, and of batches that are not chosen here. */
function askedFor(
  itemId: string,
  version: PlanVersion,
  joined: ReadonlySet<string>,
  draft: PlanDraft,
): RunsAsked {
  const { input } = draft;
  const itemOf = new Map(draft.tasks.map((task) => [task.id, task.itemId]));
  return {
    version,
    name: draft.nameOf(itemId),
    needs: draft.needs
      .of(itemId)
      .filter(({ neededBy }) => !joined.has(itemOf.get(neededBy.id) ?? '')),
    lots: input.lots.filter((lot) => lot.itemId === itemId),
    open: input.open,
    nowMin: Math.max(input.nowMin, draft.notBefore.get(itemId) ?? 0),
    horizonEndMin: input.horizonEndMin,
    kinds: draft.kinds,
    previous: input.previousRuns?.filter((run) => run.versionId === version.versionId),
  };
}

function inputsOf(version: PlanVersion): { componentId: string; perUnit: number }[] {
  const output = mainOutput(version).quantity;
  const perUnit = new Map<string, number>();
  for (const line of version.recipe.lines) {
    const amount = line.quantity / line.yieldFraction / output;
    if (amount > 0) perUnit.set(line.itemId, (perUnit.get(line.itemId) ?? 0) + amount);
  }
  return [...perUnit].map(([componentId, amount]) => ({ componentId, perUnit: amount }));
}

/** Components with needs that use or are used by another of them, users first. */
function linkedItems(
  draft: PlanDraft,
  order: readonly string[],
): readonly { readonly itemId: string; readonly version: PlanVersion }[] {
  const able = order.flatMap((itemId) => {
    const version = onlyVersion(itemId, draft);
    return version ? [{ itemId, version }] : [];
  });
  const ids = new Set(able.map(({ itemId }) => itemId));
  const linked = new Set<string>();
  for (const { itemId, version } of able) {
    for (const { componentId } of inputsOf(version)) {
      if (!ids.has(componentId)) continue;
      linked.add(itemId);
      linked.add(componentId);
    }
  }
  return able.filter(({ itemId }) => linked.has(itemId));
}

/** The one version of a needed component that a joint model can hold; else undefined. */
function onlyVersion(itemId: string, draft: PlanDraft): PlanVersion | undefined {
  if (draft.items.get(itemId)?.kind !== 'component') return undefined;
  const needs = draft.needs.of(itemId);
  if (needs.length === 0 || draft.dueLots.some((lot) => lot.itemId === itemId)) return undefined;
  const [first, ...others] = new Set(
    needs.map((need) => draft.versions.on(itemId, need.serviceDate)),
  );
  if (!first || others.length > 0) return undefined;
  const drawnPerBatch = draft.input.versions.some(
    (version) =>
      draft.needs.of(version.itemId).length > 0 &&
      version.recipe.lines.some((line) => line.itemId === itemId && line.perBatch === true),
  );
  return drawnPerBatch ? undefined : first;
}

/** On each day the first and the last chances, and those that the plan so far has taken. */
function thinned(offered: readonly DatedSlot[], chosen: ReadonlySet<string>): DatedSlot[] {
  const days = new Map<string, DatedSlot[]>();
  for (const slot of offered) days.set(slot.date, [...(days.get(slot.date) ?? []), slot]);
  return [...days.values()].flatMap((day) =>
    day.filter((slot, i) => i === 0 || i > day.length - CHANCES_A_DAY || chosen.has(slot.id)),
  );
}
