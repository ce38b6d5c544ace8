import { coreError } from '../shared/errors.ts';
import type { CoreError } from '../shared/errors.ts';
import { err, ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';
import type { DatedNeed } from '../netting/index.ts';
import type { BatchPlan, BatchProblem, ProductionSlot } from './batch-plan.ts';
import { stepQuantity } from './batch-rule.ts';
import { batchProblemError } from './check-problem.ts';

/** One component that goes into another. */
export interface ComponentInput {
  readonly componentId: string;
  /** Units of the input for one unit of the component. */
  readonly perUnit: number;
  /**
   * The component keeps no longer than this input: the input must still be in date at the end of the
   * component's own shelf life, not only when it goes in.
   */
  readonly limitsShelfLife?: boolean;
}

/** A component in a joint plan. Its slots' `uses` name the capacities it shares. */
export interface JointComponent extends BatchProblem {
  readonly component: { readonly id: string; readonly name: string };
  readonly inputs?: readonly ComponentInput[];
}

/** Something several components draw on: a day's working minutes, an oven's deck hours. */
export interface SharedCapacity {
  readonly id: string;
  readonly name: string;
  readonly capacity: number;
}

export interface JointProblem {
  readonly components: readonly JointComponent[];
  readonly capacities: readonly SharedCapacity[];
}

/** A need of one component that a planned run of another causes. */
export interface DependentNeed extends DatedNeed {
  readonly componentId: string;
  readonly forComponentId: string;
  readonly slotId: string;
}

export interface CapacityLoad {
  readonly capacityId: string;
  readonly used: number;
  readonly capacity: number;
}

export interface JointPlan {
  readonly steps: JointSteps;
  /** In the order of the problem's components. */
  readonly components: readonly { readonly componentId: string; readonly plan: BatchPlan }[];
  readonly dependentNeeds: readonly DependentNeed[];
  readonly loads: readonly CapacityLoad[];
  readonly cost: number;
  readonly bound: number;
  readonly gap: number;
  /** How the parts were solved, each part a set of components that must be planned together. */
  readonly parts: readonly {
    readonly componentIds: readonly string[];
    readonly method: BatchPlan['method'] | 'one-after-another';
    readonly capacityIds: readonly string[];
    readonly cost: number;
    readonly bound: number;
  }[];
}

/** Steps made, by component id and slot id. */
export type JointSteps = ReadonlyMap<string, ReadonlyMap<string, number>>;

/** The need that `slot` of `parent` causes for its `line`-th input when `quantity` is made. */
export function dependentNeed(
  parent: JointComponent,
  input: ComponentInput,
  line: number,
  slot: ProductionSlot,
  quantity: number,
): DependentNeed {
  return {
    id: `${parent.component.id}/${line}/${slot.id}`,
    componentId: input.componentId,
    forComponentId: parent.component.id,
    slotId: slot.id,
    atMin: slot.startMin,
    untilMin: input.limitsShelfLife === true ? slot.useByMin : slot.startMin,
    quantity: quantity * input.perUnit,
  };
}

/** What the chosen runs of all components need of component `id`. */
export function needsFromRuns(
  id: string,
  components: readonly JointComponent[],
  steps: JointSteps,
): DependentNeed[] {
  return components.flatMap((parent) =>
    (parent.inputs ?? []).flatMap((input, line) =>
      parent.slots.flatMap((slot) => {
        const count = steps.get(parent.component.id)?.get(slot.id) ?? 0;
        const quantity = count * stepQuantity(parent.rule);
        const caused = input.componentId === id && count > 0;
        return caused ? [dependentNeed(parent, input, line, slot, quantity)] : [];
      }),
    ),
  );
}

/** The component with the needs that runs of others cause added to its own. */
export function withDependentNeeds(
  component: JointComponent,
  components: readonly JointComponent[],
  steps: JointSteps,
): JointComponent {
  const added = needsFromRuns(component.component.id, components, steps);
  return { ...component, needs: [...component.needs, ...added] };
}

/** What the chosen runs take of each capacity. */
export function loadsOf(problem: JointProblem, steps: JointSteps): CapacityLoad[] {
  const used = new Map<string, number>();
  for (const { component, rule, slots } of problem.components) {
    for (const slot of slots) {
      const count = steps.get(component.id)?.get(slot.id) ?? 0;
      if (count === 0) continue;
      for (const use of slot.uses ?? []) {
        const amount = use.perRun + use.perBatch * count * rule.multiple;
        used.set(use.capacityId, (used.get(use.capacityId) ?? 0) + amount);
      }
    }
  }
  return problem.capacities.map(({ id, capacity }) => ({
    capacityId: id,
    used: used.get(id) ?? 0,
    capacity,
  }));
}

/** Whether a load is above its capacity by more than rounding. */
export function overloaded({ used, capacity }: CapacityLoad): boolean {
  return used > capacity + 1e-6 * Math.max(1, capacity);
}

/**
 * Components with users before what they use (a dish's parts after the dish).
 * Error `recipe-cycle` with the path when a component needs itself, directly or not; `out-of-range`
 * for an unknown input, a repeated id or an amount that is not positive; else each component's own.
 */
export function usersFirst(problem: JointProblem): Result<readonly JointComponent[]> {
  const byId = new Map(problem.components.map((c) => [c.component.id, c]));
  if (byId.size < problem.components.length) {
    return err(coreError('out-of-range', 'A component is there twice.', { path: ['components'] }));
  }
  const wrong = firstProblem(problem, byId);
  if (wrong) return err(wrong);
  const done = new Set<string>();
  const order: JointComponent[] = [];
  const visit = (id: string, trail: readonly string[]): CoreError | undefined => {
    if (trail.includes(id)) {
      const cycle = [...trail.slice(trail.indexOf(id)), id];
      return coreError(
        'recipe-cycle',
        `${cycle.join(' needs ')}: a component cannot need itself.`,
        {
          detail: { cycle },
        },
      );
    }
    if (done.has(id)) return undefined;
    for (const { componentId } of byId.get(id)?.inputs ?? []) {
      const cycle = visit(componentId, [...trail, id]);
      if (cycle) return cycle;
    }
    done.add(id);
    const component = byId.get(id);
    if (component) order.unshift(component);
    return undefined;
  };
  for (const { component } of problem.components) {
    const cycle = visit(component.id, []);
    if (cycle) return err(cycle);
  }
  return ok(order);
}

function firstProblem(
  problem: JointProblem,
  byId: ReadonlyMap<string, JointComponent>,
): CoreError | undefined {
  const capacities = new Set(problem.capacities.map(({ id }) => id));
  for (const [index, part] of problem.components.entries()) {
    const wrong = batchProblemError(part);
    const path = ['components', index];
    if (wrong) return { ...wrong, path: [...path, ...(wrong.path ?? [])] };
    for (const input of part.inputs ?? []) {
      if (!byId.has(input.componentId) || !(input.perUnit > 0)) {
        return coreError('out-of-range', `${part.component.name} has an unknown or empty input.`, {
          path,
          detail: { ...input },
        });
      }
    }
    const uses = part.slots.flatMap((slot) => slot.uses ?? []);
    const bad = uses.find(
      (use) => !capacities.has(use.capacityId) || !(use.perRun >= 0) || !(use.perBatch >= 0),
    );
    if (bad) {
      return coreError('out-of-range', `${part.component.name} uses an unknown capacity.`, {
        path,
        detail: { ...bad },
      });
    }
  }
  return undefined;
}
