import { netNeeds } from '../netting/index.ts';
import type { DatedNeed, LotOnHand } from '../netting/index.ts';
import { err, ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';
import type { BatchPlan, BatchProblem, PlanMethod } from './batch-plan.ts';
import { ceilWhole, stepQuantity } from './batch-rule.ts';
import { batchProblemError } from './check-problem.ts';
import { evaluateRuns, MIN_PER_DAY } from './evaluate-runs.ts';
import type { EvaluatedRuns, NetProblem } from './evaluate-runs.ts';
import { inStep, positionRecursion } from './position-recursion.ts';
import { stockStates } from './stock-states.ts';
import { unmetNeeds } from './unmet-needs.ts';

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

/** The problem with what stock covers taken off its needs. */
export function netProblem(problem: BatchProblem, net: readonly DatedNeed[]): NetProblem {
  return {
    needs: net.filter(({ quantity }) => quantity > 0),
    rule: problem.rule,
    slots: problem.slots,
    costs: problem.costs,
    ...(problem.previousRuns === undefined ? {} : { previousRuns: problem.previousRuns }),
    ...(problem.changePenalty === undefined ? {} : { changePenalty: problem.changePenalty }),
    ...(problem.horizonEndMin === undefined ? {} : { horizonEndMin: problem.horizonEndMin }),
  };
}

/**
 * Plans the batches of one component that shares no capacity with others.
 *
 * Stock and started runs are used first, first-expiring first. For what is then still needed it
 * chooses the runs that leave least unmet and, among those, cost least: setting up, batches, days in
 * the fridge, age at service, waste. Runs are eaten first-expiring first; surplus in date serves
 * later needs and counts as waste when it expires.
 *
 * Exact (`gap` 0) by `positionRecursion` when later batches keep longer and later services end later,
 * by `stockStates` otherwise; each says in its own docstring when it must cut corners, and then the
 * method ends in '-limited' and the gap is what it could prove. "Exact" is relative to the needs
 * that stock leaves over and to first-expiring-first-out use.
 *
 * @returns runs, cost with its parts, bound, gap, method, and every need left short with its reason;
 *          error `out-of-range` with a path for data that cannot be read
 */
export function planBatches(problem: BatchProblem): Result<BatchPlan> {
  const wrong = batchProblemError(problem);
  if (wrong) return err(wrong);
  const netted = netNeeds({ needs: problem.needs, lots: lotsOf(problem) });
  if (!netted.ok) return netted;
  const net = netProblem(problem, netted.value.net);
  const ordered = inStep(net);
  const chosen = ordered ? positionRecursion(net, ordered) : stockStates(net);
  const evaluated = evaluateRuns(net, chosen.steps);
  const name = ordered ? 'dynamic-programming' : 'stock-states';
  const method: PlanMethod = chosen.exact ? name : `${name}-limited`;
  const bound = chosen.exact ? evaluated.cost : Math.min(evaluated.cost, easyBound(net, evaluated));
  return ok({
    ...batchPlan(problem, evaluated, bound, method),
    fromStock: netted.value.allocations,
  });
}

/** A plan from evaluated runs. */
export function batchPlan(
  problem: BatchProblem,
  evaluated: EvaluatedRuns,
  bound: number,
  method: PlanMethod,
): BatchPlan {
  const { runs, cost, breakdown, short } = evaluated;
  return {
    runs,
    fromStock: [],
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
function easyBound(problem: NetProblem, evaluated: EvaluatedRuns): number {
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
  const setup = Math.min(...slots.map(({ setupCost }) => setupCost ?? costs.setup));
  return setup + (costs.perBatch ?? 0) * batches + age;
}
