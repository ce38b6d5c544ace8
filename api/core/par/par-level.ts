import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';
import { coreError } from '../shared/errors.ts';
import type { CountDistribution } from '../distributions/index.ts';
import {
  checkCount,
  quantile,
  stockOutcome,
  sumIndependent,
  varianceOf,
} from '../distributions/index.ts';
import type { Money } from '../money/index.ts';
import { Decimal, addMoney, multiplyMoney, subtractMoney } from '../money/index.ts';
import type { ParInput, ParLevel, ParOutcome, ParVariant, PortionCosts } from './par-input.ts';

/** No stock is searched for past this chance of having enough when leftover costs nothing. */
const SURE_ENOUGH = 0.9999;

/**
 * The par level of a component or dish, in portions, and what it is expected to lead to.
 *
 * Newsvendor: the smallest q with P(D ≤ q) ≥ Cu/(Cu + Co) (Arrow, Harris & Marschak 1951; any
 * operations textbook). Where leftover stays in date for `laterDemand`, only what outlives both is
 * wasted: expected cost Cu·E[(D − q)⁺] + Co·E[(q − D − L)⁺] is convex in q and least at the smallest
 * q with Co·P(D + L ≤ q) ≥ Cu·P(D > q). D and L are taken as independent. With L = 0 it is the
 * first rule again.
 *
 * Errors: `missing-data` (newsvendor without costs), `currency-mismatch`, `out-of-range`.
 */
export function parLevel(input: ParInput): Result<ParLevel> {
  const fault = faultOf(input);
  if (fault !== undefined) return err(fault);
  const { demand, laterDemand, costs, policy } = input;
  const life = laterDemand === undefined ? demand : sumIndependent([demand, laterDemand]);
  let critical: number | null = null;
  if (costs !== undefined) {
    const fraction = criticalFraction(costs);
    if (!fraction.ok) return fraction;
    critical = fraction.value;
  }
  let quantity: number;
  if (policy.kind === 'fixed') quantity = policy.quantity;
  else if (policy.kind === 'service-level') quantity = quantile(demand, policy.level);
  else quantity = newsvendorQuantity(demand, life, critical ?? 0);
  const at = outcomeOf(demand, life, costs);
  const par = at(quantity);
  if (!par.ok) return par;
  const less = variant(at, par.value, tenPercent(quantity, -1));
  if (!less.ok) return less;
  const more = variant(at, par.value, tenPercent(quantity, 1));
  if (!more.ok) return more;
  const margin = quantity - demand.mean;
  return ok({
    ...par.value,
    policy: policy.kind,
    criticalFraction: critical,
    tenPercentLess: less.value,
    tenPercentMore: more.value,
    parts: { meanDemand: demand.mean, spreadDemand: Math.sqrt(varianceOf(demand)), margin },
    terms: [
      { label: 'mean demand until more can be ready', value: demand.mean, factor: 1 },
      { label: 'margin against running out', value: margin, factor: 1 },
    ],
  });
}

/**
 * Critical fraction Cu ÷ (Cu + Co). Errors: `currency-mismatch`; `out-of-range` when a cost is
 * negative or both are 0 (then nothing tells how much to make).
 */
export function criticalFraction(costs: PortionCosts): Result<number> {
  const sum = addMoney(costs.short, costs.waste);
  if (!sum.ok) return sum;
  const short = new Decimal(costs.short.amount);
  const waste = new Decimal(costs.waste.amount);
  if (short.isNegative() || waste.isNegative() || short.plus(waste).isZero()) {
    return err(
      coreError('out-of-range', 'Running out and throwing away cost at least 0, and not both 0.', {
        path: ['costs'],
        detail: { short: costs.short, waste: costs.waste },
      }),
    );
  }
  return ok(short.dividedBy(short.plus(waste)).toNumber());
}

/**
 * Smallest q that the balance of the two costs asks for; `life` is demand over the whole time the
 * stock is in date (the same as `demand` when leftover is thrown away).
 */
export function newsvendorQuantity(
  demand: CountDistribution,
  life: CountDistribution,
  critical: number,
): number {
  if (critical <= 0) return 0;
  if (life === demand) return quantile(demand, Math.min(critical, SURE_ENOUGH));
  const most = quantile(demand, SURE_ENOUGH);
  let low = 0;
  let high = most;
  // The balance rises with q, so halving finds the smallest q that meets it.
  while (low < high) {
    const q = Math.floor((low + high) / 2);
    const wasteSide = (1 - critical) * stockOutcome(life, q).chanceEnough;
    const shortSide = critical * (1 - stockOutcome(demand, q).chanceEnough);
    if (wasteSide >= shortSide - 1e-12) high = q;
    else low = q + 1;
  }
  return low;
}

/** Demand over review period plus lead time: the sum of the services in it, independent. */
export function demandOver(services: readonly CountDistribution[]): CountDistribution {
  return sumIndependent(services);
}

/** 10% less or more in whole portions, and never the same number. */
function tenPercent(quantity: number, sign: -1 | 1): number {
  const changed = Math.round(quantity * (1 + sign * 0.1));
  return sign < 0
    ? Math.max(0, Math.min(changed, Math.ceil(quantity) - 1))
    : Math.max(changed, Math.floor(quantity) + 1);
}

type OutcomeAt = (quantity: number) => Result<ParOutcome>;

function outcomeOf(
  demand: CountDistribution,
  life: CountDistribution,
  costs: PortionCosts | undefined,
): OutcomeAt {
  return (quantity) => {
    const now = stockOutcome(demand, quantity);
    const wasted = life === demand ? now.leftover : stockOutcome(life, quantity).leftover;
    const expectedWaste = Math.min(now.leftover, wasted);
    let expectedCost: Money | null = null;
    if (costs !== undefined) {
      const cost = addMoney(
        multiplyMoney(costs.short, now.shortfall),
        multiplyMoney(costs.waste, expectedWaste),
      );
      if (!cost.ok) return cost;
      expectedCost = cost.value;
    }
    return ok({
      quantity,
      chanceEnough: now.chanceEnough,
      expectedShortfall: now.shortfall,
      expectedCarriedOver: now.leftover - expectedWaste,
      expectedWaste,
      expectedCost,
    });
  };
}

function variant(at: OutcomeAt, par: ParOutcome, quantity: number): Result<ParVariant> {
  const outcome = at(quantity);
  if (!outcome.ok) return outcome;
  if (par.expectedCost === null || outcome.value.expectedCost === null) {
    return ok({ ...outcome.value, extraCost: null });
  }
  const extra = subtractMoney(outcome.value.expectedCost, par.expectedCost);
  return extra.ok ? ok({ ...outcome.value, extraCost: extra.value }) : extra;
}

function faultOf(input: ParInput) {
  for (const name of ['demand', 'laterDemand'] as const) {
    const dist = input[name];
    if (dist === undefined) continue;
    const checked = checkCount(dist);
    if (!checked.ok) return { ...checked.error, path: [name, ...(checked.error.path ?? [])] };
  }
  const { policy } = input;
  if (policy.kind === 'newsvendor' && input.costs === undefined) {
    return coreError(
      'missing-data',
      'Weighing running out against waste needs the cost of both; set a service level or a fixed par instead.',
      { path: ['costs'] },
    );
  }
  if (policy.kind === 'service-level' && !(policy.level > 0 && policy.level < 1)) {
    return coreError('out-of-range', 'A service level lies between 0 and 1.', {
      path: ['policy', 'level'],
      detail: { level: policy.level },
    });
  }
  if (policy.kind === 'fixed' && !(policy.quantity >= 0 && Number.isFinite(policy.quantity))) {
    return coreError('out-of-range', 'A fixed par is at least 0.', {
      path: ['policy', 'quantity'],
      detail: { quantity: policy.quantity },
    });
  }
  return undefined;
}
