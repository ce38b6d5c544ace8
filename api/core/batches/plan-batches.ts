import { netNeeds } from '../netting/index.ts';
import { err, ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';
import type { BatchPlan, BatchProblem, PlanMethod } from './batch-plan.ts';
import { ceilWhole, maxSteps, minSteps, stepQuantity } from './batch-rule.ts';
import { batchProblemError } from './check-problem.ts';
import { batchCostOf, evaluateRuns, lotsOf, MIN_PER_DAY, setupCostOf } from './evaluate-runs.ts';
import type { EvaluatedRuns } from './evaluate-runs.ts';
import { keptSteps, lineUp, positionRecursion } from './position-recursion.ts';
import type { Bracketed } from './position-recursion.ts';
import { stockStates } from './stock-states.ts';
import { unmetNeeds } from './unmet-needs.ts';

/**
 * Plans the batches of one component that shares no capacity with others.
 *
 * Chooses the runs that leave least unmet and, among those, cost least: setting up, batches, days in
 * the fridge, age at service, waste. Stock, started runs and new runs are eaten first-expiring
 * first; surplus in date serves later needs and counts as waste when it expires.
 *
 * Exact (`gap` 0) by `positionRecursion` when what is ready later, stock or batch, keeps longer, and
 * later services end later as far as that matters; by `stockStates` otherwise. Each says in its own
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
  const lined = lineUp(problem);
  if (lined?.asItIs) {
    const chosen = positionRecursion(problem, lined.asItIs);
    const evaluated = evaluateRuns(problem, chosen.steps);
    const proven = chosen.exact ? evaluated.cost : easyBound(net, evaluated);
    return ok(finished(problem, evaluated, proven, 'dynamic-programming'));
  }
  const bracket = lined && bracketed(problem, lined);
  if (bracket && isProven(bracket)) {
    return ok(finished(problem, bracket.evaluated, bracket.bound, 'dynamic-programming'));
  }
  const known = bracket?.evaluated ?? playedBefore(problem);
  const searched = stockStates(problem, known && { short: known.totalShort, cost: known.cost });
  // Null: nothing is as good as what is known, which is then proven.
  if (searched === null && known) return ok(finished(problem, known, known.cost, 'stock-states'));
  let evaluated = evaluateRuns(problem, searched?.steps ?? new Map());
  if (searched?.exact) return ok(finished(problem, evaluated, evaluated.cost, 'stock-states'));
  if (known && isBetter(known, evaluated)) evaluated = known;
  let bound = easyBound(net, evaluated);
  if (bracket) {
    const comparable = evaluated.totalShort <= bracket.short + SHORT_DUST;
    if (comparable) bound = Math.max(bound, bracket.bound);
  }
  return ok(finished(problem, evaluated, bound, 'stock-states'));
}

const SHORT_DUST = 1e-7;

/** The runs of the plan being replaced, as far as they may be made again. */
function playedBefore(problem: BatchProblem): EvaluatedRuns | undefined {
  if (problem.changePenalty === undefined) return undefined;
  const steps = new Map<string, number>();
  for (const { id, capacityBatches } of problem.slots) {
    const kept = keptSteps(problem, id);
    const most = maxSteps(problem.rule, capacityBatches);
    if (kept >= minSteps(problem.rule) && kept <= most) steps.set(id, kept);
  }
  return evaluateRuns(problem, steps);
}

/** The better of the two bracketing plans as it really plays out, and what the looser one proves. */
interface Bracket {
  readonly evaluated: EvaluatedRuns;
  /** Least unmet, and least cost with it, of the looser problem. */
  readonly short: number;
  readonly bound: number;
}

function bracketed(problem: BatchProblem, { tighter, looser }: Bracketed): Bracket | undefined {
  const low = positionRecursion(problem, looser);
  const high = positionRecursion(problem, tighter);
  if (!low.exact || low.cost === undefined) return undefined;
  const [a, b] = [low, high].map(({ steps }) => evaluateRuns(problem, steps));
  if (!a || !b) return undefined;
  return { evaluated: isBetter(b, a) ? b : a, short: low.short, bound: low.cost };
}

function isBetter(a: EvaluatedRuns, b: EvaluatedRuns): boolean {
  if (Math.abs(a.totalShort - b.totalShort) > SHORT_DUST * Math.max(1, b.totalShort)) {
    return a.totalShort < b.totalShort;
  }
  return a.cost < b.cost;
}

function isProven({ evaluated, short, bound }: Bracket): boolean {
  const asMuch = evaluated.totalShort <= short + SHORT_DUST * Math.max(1, short);
  return asMuch && gapOf(evaluated.cost, bound) === 0;
}

function finished(
  problem: BatchProblem,
  evaluated: EvaluatedRuns,
  bound: number,
  name: 'dynamic-programming' | 'stock-states',
): BatchPlan {
  const proven = Math.min(bound, evaluated.cost);
  const method: PlanMethod = gapOf(evaluated.cost, proven) === 0 ? name : `${name}-limited`;
  return batchPlan(problem, evaluated, proven, method);
}

/**
 * Plays runs that somebody else has chosen through the same needs, stock and costs.
 *
 * @param steps permitted steps made in each slot, by slot id
 * @returns a plan whose bound is its own cost: nothing better was looked for; errors as planBatches
 */
export function playRuns(
  problem: BatchProblem,
  steps: ReadonlyMap<string, number>,
): Result<BatchPlan> {
  const wrong = batchProblemError(problem);
  if (wrong) return err(wrong);
  const evaluated = evaluateRuns(problem, steps);
  return ok(batchPlan(problem, evaluated, evaluated.cost, 'played'));
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
