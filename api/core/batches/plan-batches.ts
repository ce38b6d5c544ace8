import { netNeeds } from '../netting/index.ts';
import { err, ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';
import type { BatchPlan, BatchProblem, PlanMethod } from './batch-plan.ts';
import { ceilWhole, stepQuantity } from './batch-rule.ts';
import { batchProblemError } from './check-problem.ts';
import { batchCostOf, evaluateRuns, lotsOf, MIN_PER_DAY, setupCostOf } from './evaluate-runs.ts';
import type { EvaluatedRuns } from './evaluate-runs.ts';
import { inStep, positionRecursion } from './position-recursion.ts';
import { stockStates } from './stock-states.ts';
import { unmetNeeds } from './unmet-needs.ts';

/**
 * Plans the batches of one component that shares no capacity with others.
 *
 * Chooses the runs that leave least unmet and, among those, cost least: setting up, batches, days in
 * the fridge, age at service, waste. Stock, started runs and new runs are eaten first-expiring
 * first; surplus in date serves later needs and counts as waste when it expires.
 *
 * Exact (`gap` 0) by `positionRecursion` when stock expires before anything new does, later batches
 * keep longer and later services end later; by `stockStates` otherwise. Each says in its own
 * docstring when it must cut corners; then the method ends in '-limited' and the gap is what could
 * be proven. "Exact" is among plans eaten first-expiring first.
 *
 * @returns runs, cost with its parts, bound, gap, method, and every need left short with its reason;
 *          error `out-of-range` with a path for data that cannot be read
 */
export function planBatches(problem: BatchProblem): Result<BatchPlan> {
  const wrong = batchProblemError(problem);
  if (wrong) return err(wrong);
  const lots = lotsOf(problem);
  const netted = netNeeds({ needs: problem.needs, lots });
  if (!netted.ok) return netted;
  const net = withoutStock(
    problem,
    netted.value.net.filter(({ quantity }) => quantity > 0),
  );
  const firstUseBy = Math.min(...problem.slots.map(({ useByMin }) => useByMin));
  const stockGoesFirst = lots.every(({ useByMin }) => useByMin < firstUseBy);
  const ordered = stockGoesFirst ? inStep(net) : undefined;
  const chosen = ordered ? positionRecursion(net, ordered) : stockStates(problem);
  const evaluated = evaluateRuns(problem, chosen.steps);
  const name = ordered ? 'dynamic-programming' : 'stock-states';
  const method: PlanMethod = chosen.exact ? name : `${name}-limited`;
  const bound = chosen.exact ? evaluated.cost : Math.min(evaluated.cost, easyBound(net, evaluated));
  return ok(batchPlan(problem, evaluated, bound, method));
}

function withoutStock(problem: BatchProblem, needs: BatchProblem['needs']): BatchProblem {
  return { ...problem, needs, lots: [], frozenRuns: [] };
}

/** A plan from evaluated runs. */
export function batchPlan(
  problem: BatchProblem,
  evaluated: EvaluatedRuns,
  bound: number,
  method: PlanMethod,
): BatchPlan {
  const { runs, fromStock, stockLeft, cost, breakdown, short } = evaluated;
  return {
    runs,
    fromStock,
    stockLeft,
    cost,
    breakdown,
    bound,
    gap: gapOf(cost, bound),
    method,
    unmet: unmetNeeds(problem, short),
  };
}

/** (cost − bound) / cost; 0 when the difference is float dust. */
export function gapOf(cost: number, bound: number): number {
  const difference = cost - bound;
  return difference <= 1e-7 * Math.max(1, Math.abs(cost)) ? 0 : difference / cost;
}

/**
 * A bound that needs no search: whatever plan meets as much as this one makes at least the batches
 * that what it meets fills, sets up at least once, and serves each need from its freshest slot (the
 * quantity met is credited to the cheapest needs).
 */
function easyBound(problem: BatchProblem, evaluated: EvaluatedRuns): number {
  const needed = problem.needs.reduce((sum, { quantity }) => sum + quantity, 0);
  const met = needed - evaluated.totalShort;
  if (met <= 0) return 0;
  const { costs, rule, slots } = problem;
  const perUnitDay = costs.holdingPerUnitPerDay + costs.agePenalty;
  const rates = problem.needs
    .map(({ atMin, quantity }) => {
      const ages = slots.filter((s) => s.readyMin <= atMin).map((s) => atMin - s.readyMin);
      return { quantity, rate: (perUnitDay * Math.min(...ages)) / MIN_PER_DAY };
    })
    .filter(({ rate }) => Number.isFinite(rate))
    .sort((a, b) => a.rate - b.rate);
  let left = met;
  let age = 0;
  for (const { quantity, rate } of rates) {
    const served = Math.min(left, quantity);
    age += served * rate;
    left -= served;
  }
  const batches = ceilWhole(met / stepQuantity(rule)) * rule.multiple;
  const setup = Math.min(...slots.map((slot) => setupCostOf(slot, problem)));
  const perBatch = Math.min(...slots.map((slot) => batchCostOf(slot, problem)));
  return setup + perBatch * batches + age;
}
