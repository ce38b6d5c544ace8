import type { BatchPlan, PlanMethod } from './batch-plan.ts';
import { loadsOf, needsFromRuns, overloaded, withDependentNeeds } from './joint-problem.ts';
import type { JointComponent, JointProblem, JointSteps, SharedCapacity } from './joint-problem.ts';
import { planBatches } from './plan-batches.ts';
import { unwrap } from '../shared/result.ts';

/** Most times a run that cannot be supplied is struck out and everything below it planned again. */
const MOST_REPAIRS = 200;

/** Steps of every component, found without looking at them all at once. */
export interface SequentialPlan {
  readonly steps: JointSteps;
  /** Every component was planned exactly, no capacity bound, and no run had to be struck out. */
  readonly unrestricted: boolean;
  /** How each component was planned, by id. */
  readonly methods: ReadonlyMap<string, PlanMethod>;
}

/**
 * Plans components one after another, users before what they use: each takes the best plan of its own
 * that fits what is left of the shared capacities. A run whose inputs then cannot be made in time is
 * struck out and planning starts again, so that the result can always be carried out; what that
 * leaves short shows at the needs themselves.
 *
 * A good plan, not a proven one: it is the start for the mixed-integer model and the answer when no
 * solver is at hand.
 *
 * @param ordered users before inputs (usersFirst)
 * @param capacities the capacities to respect; others are left out of account
 */
export function oneAfterAnother(
  ordered: readonly JointComponent[],
  capacities: readonly SharedCapacity[],
): SequentialPlan {
  const struck = new Map<string, Set<string>>();
  for (let repair = 0; ; repair += 1) {
    const found = pass(ordered, capacities, struck);
    if (!found.starved || repair === MOST_REPAIRS) {
      const { steps, methods } = found;
      return { steps, methods, unrestricted: found.unrestricted && struck.size === 0 };
    }
    const { componentId, slotId } = found.starved;
    const slots = struck.get(componentId) ?? new Set<string>();
    struck.set(componentId, slots.add(slotId));
  }
}

interface Pass extends SequentialPlan {
  readonly starved?: { readonly componentId: string; readonly slotId: string };
}

function pass(
  ordered: readonly JointComponent[],
  capacities: readonly SharedCapacity[],
  struck: ReadonlyMap<string, ReadonlySet<string>>,
): Pass {
  const steps = new Map<string, ReadonlyMap<string, number>>();
  const methods = new Map<string, PlanMethod>();
  let unrestricted = true;
  for (const component of ordered) {
    const { id } = component.component;
    const open = component.slots.filter((slot) => !struck.get(id)?.has(slot.id));
    const wanted = withDependentNeeds({ ...component, slots: open }, ordered, steps);
    const fitted = fitCapacity(wanted, { components: ordered, capacities }, steps);
    unrestricted &&= fitted.free;
    steps.set(id, fitted.steps);
    methods.set(id, fitted.plan.method);
    const causes = needsFromRuns(id, ordered, steps);
    const starved = fitted.plan.unmet
      .map(({ needId }) => causes.find((cause) => cause.id === needId))
      .find((cause) => cause !== undefined);
    if (starved) {
      const { forComponentId, slotId } = starved;
      return { steps, methods, unrestricted, starved: { componentId: forComponentId, slotId } };
    }
  }
  return { steps, methods, unrestricted };
}

interface Fitted {
  readonly steps: ReadonlyMap<string, number>;
  readonly plan: BatchPlan;
  /** The plan is exact and no capacity had to be lowered for it. */
  readonly free: boolean;
}

/** The component's own best plan, with the room of its slots lowered until the capacities hold. */
function fitCapacity(wanted: JointComponent, problem: JointProblem, made: JointSteps): Fitted {
  let component = wanted;
  for (let round = 0; ; round += 1) {
    const plan = unwrap(planBatches(component));
    const steps = stepsOf(plan, component);
    const all = new Map(made).set(component.component.id, steps);
    const over = loadsOf(problem, all).find(overloaded);
    const blamed =
      over && plan.runs.filter((run) => usesOf(component, run.slotId, over.capacityId));
    const last = blamed?.at(-1);
    if (!over || !last) {
      return { steps, plan, free: round === 0 && !plan.method.endsWith('-limited') };
    }
    // The last run that loads it makes room, by as many batches as are too many.
    const use = usesOf(component, last.slotId, over.capacityId);
    const excess = over.used - over.capacity;
    const fewer = use && use.perBatch > 0 ? excess / use.perBatch : Infinity;
    const room = Math.max(
      0,
      Math.min(last.batches - component.rule.multiple, last.batches - fewer),
    );
    component = {
      ...component,
      slots: component.slots.map((slot) =>
        slot.id === last.slotId ? { ...slot, capacityBatches: room } : slot,
      ),
    };
  }
}

function usesOf(component: JointComponent, slotId: string, capacityId: string) {
  const slot = component.slots.find(({ id }) => id === slotId);
  return slot?.uses?.find((use) => use.capacityId === capacityId);
}

/** The step counts of a plan, by slot. */
export function stepsOf(plan: BatchPlan, component: JointComponent): ReadonlyMap<string, number> {
  const { multiple } = component.rule;
  return new Map(plan.runs.map((run) => [run.slotId, Math.round(run.batches / multiple)]));
}
