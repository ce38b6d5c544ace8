import { byTime } from '../netting/index.ts';
import type { DatedNeed } from '../netting/index.ts';
import type { Result } from '../shared/result.ts';
import type { BatchPlan, BatchProblem, ProductionSlot } from './batch-plan.ts';
import { lotsOf, runCost } from './evaluate-runs.ts';
import type { JointComponent } from './joint-problem.ts';
import { planBatches } from './plan-batches.ts';
import { inStep, positionRecursion } from './position-recursion.ts';

/** What a part can cost at least, and leave unmet at least (in batches), whatever it shares. */
export interface OwnBounds {
  readonly cost: number;
  readonly short: number;
}

/**
 * Bounds of a part from its components one by one.
 *
 * A component no other uses: its own exact plan. A component that others use has needs only their
 * plans fix, but each unit they must make for a need of theirs is begun between their first and last
 * slot that can serve that need. So whatever they choose, this one must set up and make batches that
 * serve every such window; the cheapest way to do that, counting no waste and no days in the fridge,
 * is a bound of its cost. Windows that stock could serve instead are left out.
 *
 * The cost bounds plans that leave no more unmet than `short`.
 *
 * @param ordered users before inputs
 * @param planOf a component's own plan, where it is known already
 */
export function ownBounds(
  ordered: readonly JointComponent[],
  planOf: (component: JointComponent) => Result<BatchPlan> = planBatches,
): OwnBounds {
  const used = new Set(ordered.flatMap((c) => (c.inputs ?? []).map((i) => i.componentId)));
  const windows = new Map<string, readonly DatedNeed[]>();
  let cost = 0;
  let short = 0;
  for (const component of ordered) {
    const { id } = component.component;
    const own = planOf(component);
    if (!own.ok) continue;
    const unmet = own.value.unmet.reduce((sum, { quantity }) => sum + quantity, 0);
    short += unmet / component.rule.batchQuantity;
    const mine = surelyMade(component, component.needs);
    const caused = surelyMade(component, windowsOn(id, ordered, windows));
    windows.set(id, [...mine, ...caused]);
    cost += used.has(id) ? windowCost(component, [...mine, ...caused]) : own.value.bound;
  }
  return { cost, short };
}

/** Needs that stock cannot serve because all of it is out of date before they begin. */
function surelyMade(component: BatchProblem, needs: readonly DatedNeed[]): DatedNeed[] {
  const stockUntil = Math.max(-Infinity, ...lotsOf(component).map(({ useByMin }) => useByMin));
  return needs.filter(({ untilMin, atMin }) => Math.min(untilMin, atMin) > stockUntil);
}

/**
 * What users must take of component `id`, as needs whose `atMin` is the latest and `untilMin` the
 * earliest time it can be taken.
 */
function windowsOn(
  id: string,
  ordered: readonly JointComponent[],
  windows: ReadonlyMap<string, readonly DatedNeed[]>,
): DatedNeed[] {
  return ordered.flatMap((user) =>
    (user.inputs ?? []).flatMap((input, line) => {
      if (input.componentId !== id) return [];
      return (windows.get(user.component.id) ?? []).flatMap((need): DatedNeed[] => {
        const starts = user.slots.filter((slot) => canServe(slot, need)).map((s) => s.startMin);
        if (starts.length === 0) return [];
        return [
          {
            id: `${user.component.id}/${line}/${need.id}`,
            atMin: Math.max(...starts),
            untilMin: Math.min(...starts),
            quantity: need.quantity * input.perUnit,
          },
        ];
      });
    }),
  );
}

function canServe(slot: ProductionSlot, need: DatedNeed): boolean {
  return slot.readyMin <= need.atMin && slot.useByMin >= need.untilMin;
}

/** Cheapest set-ups and batches that can serve every window; 0 when not every window can be served. */
function windowCost(component: JointComponent, windows: readonly DatedNeed[]): number {
  const sorted = [...windows].sort(byTime);
  let earliest = Infinity;
  const needs = sorted
    .reverse()
    .map((need) => {
      earliest = Math.min(earliest, need.untilMin);
      return { ...need, untilMin: earliest };
    })
    .reverse();
  let keeps = -Infinity;
  const slots = [...component.slots]
    .sort((a, b) => a.readyMin - b.readyMin || a.useByMin - b.useByMin)
    .map((slot) => {
      keeps = Math.max(keeps, slot.useByMin);
      return { ...slot, useByMin: keeps };
    });
  const relaxed: BatchProblem = {
    needs,
    slots,
    rule: component.rule,
    costs: {
      ...component.costs,
      perUnitWaste: 0,
      holdingPerUnitPerDay: 0,
      agePenalty: 0,
      endSurplusPerUnit: 0,
    },
  };
  const ordered = inStep(relaxed);
  const chosen = ordered && positionRecursion(relaxed, ordered);
  if (!chosen?.exact) return 0;
  const needed = needs.reduce((sum, { quantity }) => sum + quantity, 0);
  if (chosen.short > 1e-6 * Math.max(1, needed)) return 0;
  return slots.reduce((sum, slot) => {
    const batches = (chosen.steps.get(slot.id) ?? 0) * component.rule.multiple;
    return sum + runCost(slot, batches, relaxed);
  }, 0);
}
