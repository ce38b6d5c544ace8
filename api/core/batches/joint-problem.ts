import type { DatedNeed } from '../netting/index.ts';
import type { BatchProblem, ProductionSlot } from './batch-plan.ts';

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

/** A need of one component that a planned run of another causes. */
export interface DependentNeed extends DatedNeed {
  readonly componentId: string;
  readonly forComponentId: string;
  readonly slotId: string;
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
