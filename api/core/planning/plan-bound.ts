import {
  idleCostPerUnit,
  jointModel,
  lotsOf,
  ownBounds,
  partsOf,
  usersFirst,
} from '../batches/index.ts';
import type { JointComponent, JointPlan } from '../batches/index.ts';
import type { MilpSolver } from '../milp/index.ts';
import { unwrap } from '../shared/result.ts';
import { jointComponents } from './joint-components.ts';
import type { PlanDraft } from './plan-draft.ts';
import { linkedOf, shortBatches } from './plan-solution.ts';

/** A model of this size is bounded in seconds at most; a safety net, not meant to bite. */
const BOUND_SECONDS = 20;
const SHORT_DUST = 1e-6;

/**
 * What the runs of components that go into one another must cost at least, in minutes of work as in
 * `planCosts`, whatever is chosen among the plan's chances and leaving as little unmet: for each set
 * of linked components the linear relaxation of their mixed-integer model (`jointModel`: facility
 * location rows), or the sum of their own bounds (`ownBounds`) where that is more.
 *
 * The charges that only weigh choices, stock that waits and changes against an earlier plan, are left
 * out: a plan can only cost more with them.
 *
 * @returns the bound by set, keyed by `keyOfPart`; sets whose plan leaves their own runs short of a
 *          component have none
 */
export async function linkedBounds(
  draft: PlanDraft,
  solver: MilpSolver,
): Promise<ReadonlyMap<string, number>> {
  const { components } = jointComponents(draft, 'ruled out');
  const ordered = unwrap(
    usersFirst({
      // Nothing waits at a cost here (see above), and nothing is shared.
      components: components.map((one) => ({
        ...one,
        stockWaitsToMin: draft.input.nowMin,
        slots: one.slots.map((slot) => ({ ...slot, uses: [] })),
      })),
      capacities: [],
    }),
  );
  const short = batchesShort(draft);
  const linked = linkedOf(draft);
  const bounds = new Map<string, number>();
  for (const part of partsOf(ordered, [])) {
    const [first] = part.components;
    const alone = part.components.length === 1 && !linked.has(first?.component.id ?? '');
    if (alone) continue;
    const unmet = sum(part.components.map(({ component }) => short.get(component.id) ?? 0));
    if (!Number.isFinite(unmet)) continue;
    const own = ownBounds(part.components);
    const { model } = jointModel(part.components, [], {
      minimise: 'cost',
      mostShort: unmet <= SHORT_DUST ? 0 : unmet + SHORT_DUST,
      firstExpiringFirst: false,
    });
    const relaxed = {
      ...model,
      variables: model.variables.map((variable) => ({ ...variable, integer: false })),
    };
    const { bound } = await solver.solve(relaxed, { timeLimitS: BOUND_SECONDS });
    const ownHolds = unmet <= own.short + SHORT_DUST;
    const proven = Math.max(0, Number.isFinite(bound) ? bound : 0, ownHolds ? own.cost : 0);
    bounds.set(keyOfPart(part.components.map(({ component }) => component.id)), proven);
  }
  return bounds;
}

/**
 * Bounds that a search proved for sets of components without any shared capacity, as `linkedBounds`
 * counts: what all the stock could cost while it waits is taken off.
 *
 * @param searched the problem the search was given (`'as planned'`); a set that others draw on too is
 *                 bounded only as far as those draws are fixed, so it has no bound here
 */
export function searchedBounds(
  plan: JointPlan,
  searched: readonly JointComponent[],
  draft: PlanDraft,
): ReadonlyMap<string, number> {
  const fixed = new Map(
    jointComponents(draft, 'ruled out').components.map((one) => [one.component.id, one]),
  );
  const byId = new Map(searched.map((one) => [one.component.id, one]));
  const bounds = new Map<string, number>();
  for (const { componentIds, capacityIds, bound } of plan.parts) {
    const members = componentIds.flatMap((id) => byId.get(id) ?? []);
    const drawnOn = members.some(
      ({ component, needs }) => needs.length !== fixed.get(component.id)?.needs.length,
    );
    if (capacityIds.length > 0 || members.length < 2 || drawnOn) continue;
    const idle = sum(
      members.flatMap((one) => lotsOf(one).map((lot) => lot.quantity * idleCostPerUnit(lot, one))),
    );
    bounds.set(keyOfPart(componentIds), bound - idle);
  }
  return bounds;
}

/** One text for a set of components. */
export function keyOfPart(componentIds: readonly string[]): string {
  return [...componentIds].sort().join(' ');
}

/** Batches short of what services need, by item; Infinity where a run goes short of it. */
function batchesShort(draft: PlanDraft): ReadonlyMap<string, number> {
  const short = new Map<string, number>();
  for (const shortage of draft.shortages) {
    const batches = shortage.usedByTask === undefined ? shortBatches(shortage, draft) : Infinity;
    short.set(shortage.itemId, (short.get(shortage.itemId) ?? 0) + batches);
  }
  return short;
}

function sum(values: readonly number[]): number {
  return values.reduce((total, value) => total + value, 0);
}
