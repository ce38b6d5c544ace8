import { netNeeds } from '../netting/index.ts';
import type { LotAllocation, LotOnHand } from '../netting/index.ts';
import { unwrap } from '../shared/result.ts';
import type { BatchProblem, CostBreakdown, PlannedRun, ProductionSlot } from './batch-plan.ts';
import { stepQuantity } from './batch-rule.ts';

export const MIN_PER_DAY = 24 * 60;

/** The runs of a plan with what they cost and leave short. */
export interface EvaluatedRuns {
  readonly runs: readonly PlannedRun[];
  readonly fromStock: readonly LotAllocation[];
  readonly stockLeft: readonly LotOnHand[];
  readonly breakdown: CostBreakdown;
  readonly cost: number;
  /** Per need id, what is not met; only needs with something missing. */
  readonly short: ReadonlyMap<string, number>;
  readonly totalShort: number;
}

/** Stock and started runs as lots. */
export function lotsOf(problem: BatchProblem): LotOnHand[] {
  const started = (problem.frozenRuns ?? []).map(
    ({ id, quantity, readyMin, useByMin }): LotOnHand => ({
      id,
      quantity,
      availableFromMin: readyMin,
      useByMin,
    }),
  );
  return [...(problem.lots ?? []), ...started];
}

/** When the plan starts: as given, else its first need or slot. */
export function planStart(problem: BatchProblem): number {
  return (
    problem.planFromMin ??
    Math.min(
      ...problem.needs.map(({ atMin }) => atMin),
      ...problem.slots.map(({ startMin }) => startMin),
    )
  );
}

/** From when the days of a lot in the fridge are counted. */
export function lotAgesFrom(lot: LotOnHand, problem: BatchProblem): number {
  return Math.max(lot.availableFromMin, planStart(problem));
}

/**
 * Cost per unit of a lot that nobody eats: it grows older in the fridge till the end of the plan. What
 * it would cost to eat is never more, so nothing is made while what is there would do.
 */
export function idleCostPerUnit(lot: LotOnHand, problem: BatchProblem): number {
  const until = problem.stockWaitsToMin ?? Math.max(...problem.needs.map(({ atMin }) => atMin));
  const days = (until - lotAgesFrom(lot, problem)) / MIN_PER_DAY;
  const { holdingPerUnitPerDay, agePenalty } = problem.costs;
  return days > 0 ? (holdingPerUnitPerDay + agePenalty) * days : 0;
}

/** Cost per unit of a slot's surplus: waste, unless it is still in date at the horizon's end. */
export function surplusCostPerUnit(slot: ProductionSlot, problem: BatchProblem): number {
  const { perUnitWaste, endSurplusPerUnit = 0 } = problem.costs;
  return outlivesHorizon(slot, problem) ? endSurplusPerUnit : perUnitWaste;
}

function outlivesHorizon(slot: ProductionSlot, problem: BatchProblem): boolean {
  return problem.horizonEndMin !== undefined && slot.useByMin > problem.horizonEndMin;
}

/** Batches the replaced plan had in a slot; undefined when there is no plan to compare with. */
export function previousBatches(slotId: string, problem: BatchProblem): number | undefined {
  if (problem.previousRuns === undefined) return undefined;
  return problem.previousRuns
    .filter((run) => run.slotId === slotId)
    .reduce((sum, run) => sum + run.batches, 0);
}

/** What a change against the replaced plan costs in one slot. */
export function changeCost(slot: ProductionSlot, batches: number, problem: BatchProblem): number {
  const before = previousBatches(slot.id, problem);
  const penalty = problem.changePenalty;
  if (before === undefined || penalty === undefined) return 0;
  const appears = before > 0 !== batches > 0 ? penalty.perRun : 0;
  return appears + Math.abs(batches - before) * penalty.perBatch;
}

/** Cost of setting up a run in a slot. */
export function setupCostOf(slot: ProductionSlot, problem: BatchProblem): number {
  return slot.setupCost ?? problem.costs.setup;
}

/** Cost of each batch in a slot. */
export function batchCostOf(slot: ProductionSlot, problem: BatchProblem): number {
  return slot.batchCost ?? problem.costs.perBatch ?? 0;
}

/** Cost of making a run, whatever becomes of it. */
export function runCost(slot: ProductionSlot, batches: number, problem: BatchProblem): number {
  if (batches === 0) return 0;
  return setupCostOf(slot, problem) + batchCostOf(slot, problem) * batches;
}

/**
 * Plays a choice of batches through: each need, in order of time, takes what is in date and expires
 * first, stock and new runs alike, as a brigade does. This is the one definition of what a plan
 * costs; every method is judged by it. What stock cost is paid: its days are counted from the plan's
 * start on, till it is eaten or else to the plan's end; what of it goes out of date is listed in
 * `stockLeft` and is no waste of this plan's.
 *
 * @param steps number of permitted steps made in each slot, by slot id (missing = 0)
 */
export function evaluateRuns(
  problem: BatchProblem,
  steps: ReadonlyMap<string, number>,
): EvaluatedRuns {
  const { rule, slots, costs } = problem;
  const step = stepQuantity(rule);
  const made = slots
    .map((slot) => ({ slot, count: steps.get(slot.id) ?? 0 }))
    .filter(({ count }) => count > 0);
  const stock = lotsOf(problem);
  const stockIds = new Set(stock.map(({ id }) => id));
  const fresh = made.map(({ slot, count }) => ({
    id: slot.id,
    quantity: count * step,
    availableFromMin: slot.readyMin,
    useByMin: slot.useByMin,
  }));
  const netted = unwrap(netNeeds({ needs: problem.needs, lots: [...stock, ...fresh] }));
  const atMin = new Map(problem.needs.map((need) => [need.id, need.atMin]));
  const total = {
    setup: 0,
    batches: 0,
    holding: 0,
    age: 0,
    waste: 0,
    endSurplus: 0,
    change: 0,
    idle: 0,
  };
  for (const slot of slots) {
    const batches = (steps.get(slot.id) ?? 0) * rule.multiple;
    total.change += changeCost(slot, batches, problem);
  }
  const keep = (needId: string, quantity: number, fromMin: number): void => {
    const days = ((atMin.get(needId) ?? 0) - fromMin) / MIN_PER_DAY;
    total.holding += costs.holdingPerUnitPerDay * quantity * days;
    total.age += costs.agePenalty * quantity * days;
  };
  const fromStock = netted.allocations.filter(({ lotId }) => stockIds.has(lotId));
  for (const { needId, lotId, quantity } of fromStock) {
    const lot = stock.find(({ id }) => id === lotId);
    if (lot) keep(needId, quantity, lotAgesFrom(lot, problem));
  }
  for (const left of netted.leftovers) {
    if (stockIds.has(left.id)) total.idle += left.quantity * idleCostPerUnit(left, problem);
  }
  const runs = made.map(({ slot, count }): PlannedRun => {
    const batches = count * rule.multiple;
    const allocations = netted.allocations
      .filter(({ lotId }) => lotId === slot.id)
      .map(({ needId, quantity }) => ({ needId, quantity }));
    total.setup += setupCostOf(slot, problem);
    total.batches += batchCostOf(slot, problem) * batches;
    for (const { needId, quantity } of allocations) keep(needId, quantity, slot.readyMin);
    const surplus = netted.leftovers.find(({ id }) => id === slot.id)?.quantity ?? 0;
    const kept = outlivesHorizon(slot, problem);
    total[kept ? 'endSurplus' : 'waste'] += surplus * surplusCostPerUnit(slot, problem);
    const surplusFate = surplus === 0 ? 'none' : kept ? 'in-date-at-end' : 'expires';
    return { slotId: slot.id, batches, quantity: count * step, allocations, surplus, surplusFate };
  });
  const short = new Map(
    netted.net.filter(({ quantity }) => quantity > 0).map(({ id, quantity }) => [id, quantity]),
  );
  const readyOf = new Map(slots.map((slot) => [slot.id, slot.readyMin]));
  const ready = (run: PlannedRun): number => readyOf.get(run.slotId) ?? 0;
  return {
    runs: [...runs].sort((a, b) => ready(a) - ready(b)),
    fromStock,
    stockLeft: netted.leftovers.filter(({ id }) => stockIds.has(id)),
    breakdown: total,
    cost: Object.values(total).reduce((sum, part) => sum + part, 0),
    short,
    totalShort: [...short.values()].reduce((sum, quantity) => sum + quantity, 0),
  };
}
