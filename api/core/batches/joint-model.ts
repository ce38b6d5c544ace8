import { milpBuilder } from '../milp/index.ts';
import type { MilpModel } from '../milp/index.ts';
import { byTime } from '../netting/index.ts';
import { stepQuantity } from './batch-rule.ts';
import { ComponentRows, keyOf } from './component-rows.ts';
import type { ModelAim, ModelNeed, RunVariables } from './component-rows.ts';
import { dependentNeed } from './joint-problem.ts';
import type { JointComponent, JointSteps, SharedCapacity } from './joint-problem.ts';
import { slotWindows } from './slot-windows.ts';

/** A model and the way between its variables and steps per slot. */
export interface JointModel {
  readonly model: MilpModel;
  readonly stepsFrom: (values: readonly number[]) => JointSteps;
  /** Indexes of the step and made-at-all variables, by component and slot. */
  readonly stepVariables: ReadonlyMap<string, RunVariables>;
}

/**
 * The mixed-integer model of a set of components that share capacities and go into one another.
 *
 * Per component and slot: whole steps n, made at all z, surplus w; per supply (slot or lot) and need
 * it can serve in date: amount x. Rows:
 *   Σ x + w = step · n            what a run makes is used or surplus
 *   Σ x ≤ lot                     stock
 *   Σ x + short = need            own needs; a run of a user needs perUnit · its quantity, never short
 *   least · z ≤ n ≤ most · z      batch limits
 *   x ≤ need · z                  (implied; tightens the relaxation as in facility location)
 *   Σ perRun · z + perBatch · n ≤ capacity
 *   Σ n ≥ steps, Σ z ≥ 1          (implied; what must be made in a stretch of slots, `slotWindows`)
 *   Σ z ≥ z of the user           (implied; a run of a user has a run that can serve it)
 * and, on demand, first-expiring first: v = 1 when a supply is left with a surplus, then no need it
 * could serve is served from supplies that expire later.
 * The objective is the cost of evaluateRuns.
 *
 * @param ordered users before inputs
 */
export function jointModel(
  ordered: readonly JointComponent[],
  capacities: readonly SharedCapacity[],
  aim: ModelAim,
): JointModel {
  const model = milpBuilder();
  const stepVariables = new Map<string, RunVariables>();
  const mostMade = new Map<string, number>();
  const loads = new Map(capacities.map(({ id }) => [id, [] as [number, number][]]));
  const shorts: [number, number][] = [];
  const nothingShort = aim.minimise === 'cost' && aim.mostShort === 0;
  const windows = nothingShort ? slotWindows(ordered, aim.runsShort) : undefined;
  for (const component of ordered) {
    const needs = modelNeeds(component, ordered, stepVariables, mostMade);
    const part = new ComponentRows(model, component, needs, aim);
    part.addSupplies(stepVariables, mostMade, loads);
    shorts.push(...part.addNeeds(stepVariables));
    if (aim.firstExpiringFirst) part.addFirstExpiringFirst();
    if (windows) {
      part.addLeast(windows.get(component.component.id) ?? [], stepVariables);
      part.addFirstRuns(stepVariables);
    }
  }
  for (const { id, capacity } of capacities) {
    const terms = loads.get(id) ?? [];
    if (terms.length > 0) {
      model.addRow({ name: `capacity ${id}`, terms, lower: -Infinity, upper: capacity });
    }
  }
  if (aim.minimise === 'cost' && shorts.length > 0) {
    model.addRow({ name: 'unmet', terms: shorts, lower: -Infinity, upper: aim.mostShort });
  }
  return {
    model: model.build(),
    stepVariables,
    stepsFrom: (values) => decode(ordered, stepVariables, values),
  };
}

function decode(
  ordered: readonly JointComponent[],
  stepVariables: JointModel['stepVariables'],
  values: readonly number[],
): JointSteps {
  return new Map(
    ordered.map(({ component, slots }) => {
      const steps = new Map<string, number>();
      for (const slot of slots) {
        const variable = stepVariables.get(keyOf(component.id, slot.id));
        const count = variable ? Math.round(values[variable.count] ?? 0) : 0;
        if (count > 0) steps.set(slot.id, count);
      }
      return [component.id, steps] as const;
    }),
  );
}

/** Own needs and those that runs of users may cause, in order of time. */
function modelNeeds(
  { component, needs }: JointComponent,
  ordered: readonly JointComponent[],
  stepVariables: JointModel['stepVariables'],
  mostMade: ReadonlyMap<string, number>,
): ModelNeed[] {
  const own = needs
    .filter(({ quantity }) => quantity > 0)
    .map((need): ModelNeed => ({ need, most: need.quantity }));
  const caused = ordered.flatMap((user) =>
    (user.inputs ?? []).flatMap((input, line) =>
      user.slots.flatMap((slot): ModelNeed[] => {
        const key = keyOf(user.component.id, slot.id);
        if (input.componentId !== component.id || !stepVariables.has(key)) return [];
        const perStep = stepQuantity(user.rule) * input.perUnit;
        const most = (mostMade.get(key) ?? 0) * perStep;
        const need = dependentNeed(user, input, line, slot, most / input.perUnit);
        return [{ need, most, causedBy: { key, perStep } }];
      }),
    ),
  );
  return [...own, ...caused].sort((a, b) => byTime(a.need, b.need));
}
