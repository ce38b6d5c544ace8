import { jointModel, ownBounds, partsOf, planBatches, usersFirst } from '../batches/index.ts';
import type { BatchPlan, JointComponent } from '../batches/index.ts';
import type { MilpLimits, MilpSolver } from '../milp/index.ts';
import { unwrap } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';
import { jointComponents } from './joint-components.ts';
import type { PlanDraft } from './plan-draft.ts';
import { linkedOf } from './plan-solution.ts';

/** A model of this size is bounded in seconds at most; a safety net, not meant to bite. */
const BOUND_SECONDS = 20;
const SHORT_DUST = 1e-6;

/**
 * What the runs of a plan must cost at least, in minutes of work as in `planCosts`, whatever is chosen
 * among its chances, if it meets what the plan meets: for each set of components that go into one
 * another the linear relaxation of their mixed-integer model (`jointModel`: facility location rows,
 * what each stretch of chances must make, each component's own exact cost), or the sum of their own
 * bounds (`ownBounds`) where that is more; and the exact cost of each component that stands alone and
 * found no room for its own choice.
 *
 * What the plan leaves short may be left short: a service by as much, the runs that use a component
 * together by as much. People and equipment are left out, and the charges that only weigh choices,
 * stock that waits and changes against an earlier plan: a plan can only cost more with them.
 *
 * @param proof nodes and seconds to search each set for a higher bound; left out = the relaxation
 * @returns the bound by set, keyed by `keyOfPart`
 */
export async function linkedBounds(
  draft: PlanDraft,
  solver: MilpSolver,
  proof?: Pick<MilpLimits, 'relativeGap' | 'maxNodes' | 'timeLimitS'>,
): Promise<ReadonlyMap<string, number>> {
  const { components } = jointComponents(draft, 'ruled out');
  const ordered = unwrap(
    usersFirst({
      // Nothing waits at a cost here (see above), and nothing is shared.
      components: components.map((one) => ({
        ...one,
        needs: asMet(one.needs, draft),
        stockWaitsToMin: draft.input.nowMin,
        slots: one.slots.map((slot) => ({ ...slot, uses: [] })),
      })),
      capacities: [],
    }),
  );
  const linked = linkedOf(draft);
  const bounds = new Map<string, number>();
  for (const part of partsOf(ordered, [])) {
    const [first] = part.components;
    const key = keyOfPart(part.components.map(({ component }) => component.id));
    if (first && part.components.length === 1 && !linked.has(first.component.id)) {
      if (draft.cut.has(first.component.id)) bounds.set(key, exactCost(planBatches(first)));
      continue;
    }
    bounds.set(key, await setBound(part.components, draft, solver, proof));
  }
  return bounds;
}

async function setBound(
  components: readonly JointComponent[],
  draft: PlanDraft,
  solver: MilpSolver,
  proof: Parameters<typeof linkedBounds>[2],
): Promise<number> {
  const runsShort = shortForRuns(components, draft);
  const plans = new Map(components.map((one) => [one, planBatches(one)]));
  const planOf = (one: JointComponent) => plans.get(one) ?? planBatches(one);
  const used = new Set(components.flatMap(({ inputs = [] }) => inputs.map((i) => i.componentId)));
  const tops = components.filter(({ component }) => !used.has(component.id));
  const { model } = jointModel(components, [], {
    minimise: 'cost',
    mostShort: 0,
    firstExpiringFirst: false,
    runsShort,
    leastCost: new Map(tops.map((top) => [top.component.id, exactCost(planOf(top))])),
  });
  const relaxed = {
    ...model,
    variables: model.variables.map((variable) => ({ ...variable, integer: false })),
  };
  const answers = [await solver.solve(relaxed, { timeLimitS: BOUND_SECONDS })];
  if (proof) answers.push(await solver.solve(model, proof));
  const proven = answers.map(({ bound }) => (Number.isFinite(bound) ? bound : 0));
  const own = ownBounds(components, planOf);
  if (runsShort.size === 0 && own.short <= SHORT_DUST) proven.push(own.cost);
  return Math.max(0, ...proven);
}

/** The least a component by itself costs when it meets all its needs; 0 where it cannot. */
function exactCost(plan: Result<BatchPlan>): number {
  return plan.ok && plan.value.unmet.length === 0 ? plan.value.bound : 0;
}

/** Needs as far as the plan meets them. */
function asMet(needs: JointComponent['needs'], draft: PlanDraft): JointComponent['needs'] {
  return needs.flatMap((need) => {
    const quantity = need.quantity - (draft.unmet.get(need.id) ?? 0);
    return quantity > SHORT_DUST * need.quantity ? [{ ...need, quantity }] : [];
  });
}

/** Of what the plan leaves runs short, by component and in base units; only what is short. */
function shortForRuns(
  components: readonly JointComponent[],
  draft: PlanDraft,
): ReadonlyMap<string, number> {
  const short = new Map<string, number>();
  for (const { component } of components) {
    for (const { id, neededBy } of draft.needs.of(component.id)) {
      const quantity = draft.unmet.get(id) ?? 0;
      if (neededBy.kind !== 'batch' || quantity <= 0) continue;
      short.set(component.id, (short.get(component.id) ?? 0) + quantity);
    }
  }
  return short;
}

/** One text for a set of components. */
export function keyOfPart(componentIds: readonly string[]): string {
  return [...componentIds].sort().join(' ');
}
