import { demandOver, parLevel } from '../../core/par/index.ts';
import type { ParLevel, ParPolicy, PortionCosts } from '../../core/par/index.ts';
import { quantile } from '../../core/distributions/index.ts';
import { orRefuse } from '../platform/index.ts';
import { parCosts, type DishMoney } from './par-costs.ts';
import { keepsMinutes, parDemand, type ParDemand } from './par-demand.ts';
import type { ParBasis } from './par-basis.ts';
import type { ParInput } from './par-levels.ports.ts';

/** Chance that portions must be enough where neither a par nor a complete costing says another. */
export const PLAN_LEVEL = 0.85;

/** What a par comes to, from the forecasts of the days it must last. */
export interface ParAnswer {
  readonly demand: ParDemand;
  /** In portions of `demand.portionSize`. */
  readonly level: ParLevel;
  /** Base units of a component, portions of a dish. */
  readonly quantity: number;
  readonly costs: PortionCosts | null;
  readonly costsFrom: readonly DishMoney[];
  /** Chance per service at which the services of the time together come to the par. */
  readonly perServiceLevel: number;
  /** Minutes that leftovers keep. */
  readonly keepsMin: number;
  readonly notes: readonly string[];
}

/**
 * Works a par out. The demand is that of review plus lead days; what is left over and still in date
 * afterwards is used, not wasted.
 * @returns a text where nothing can be said: no sitting to come, or nothing on the menu uses it
 */
export function parAnswer(basis: ParBasis, par: ParInput): ParAnswer | string {
  const days = par.reviewDays + par.leadDays;
  const keepsMin = keepsMinutes(basis, par.recipeId);
  const demand = parDemand(basis, par.recipeId, days, keepsMin);
  if (demand === null) {
    return 'Nothing on the menu uses it in the days this par must last, or no service is held.';
  }
  const found = parCosts(basis, par.recipeId, demand.portionSize, demand.uses);
  const costs = 'costs' in found ? found.costs : null;
  const notes: string[] = [];
  if ('missing' in found) notes.push(found.missing);
  const policy = policyOf(par, demand.portionSize, costs !== null);
  if (par.rule.kind === 'margin_against_waste' && costs === null) {
    notes.push(`Until then it is planned to be enough in ${PLAN_LEVEL * 100} of 100 services.`);
  }
  const level = orRefuse(
    parLevel({
      policy,
      demand: demandOver(demand.window.map((d) => d.distribution)),
      ...(demand.later.length === 0
        ? {}
        : { laterDemand: demandOver(demand.later.map((d) => d.distribution)) }),
      ...(costs === null ? {} : { costs }),
    }),
  );
  return {
    demand,
    level,
    quantity: level.quantity * demand.portionSize,
    costs,
    costsFrom: 'from' in found ? found.from : [],
    perServiceLevel: levelPerService(demand, level.quantity),
    keepsMin,
    notes,
  };
}

function policyOf(par: ParInput, portionSize: number, costsKnown: boolean): ParPolicy {
  const { rule } = par;
  if (rule.kind === 'fixed') return { kind: 'fixed', quantity: rule.quantity / portionSize };
  if (rule.kind === 'service_level') return { kind: 'service-level', level: rule.level };
  return costsKnown ? { kind: 'newsvendor' } : { kind: 'service-level', level: PLAN_LEVEL };
}

const LEAST_LEVEL = 0.01;
const MOST_LEVEL = 0.999;

/**
 * The chance per service at which what is planned for the services of the time adds up to the par:
 * by halving, since the sum of the quantiles rises with the level.
 */
export function levelPerService(demand: Pick<ParDemand, 'window'>, quantity: number): number {
  const planned = (level: number): number =>
    demand.window.reduce((sum, d) => sum + quantile(d.distribution, level), 0);
  if (planned(MOST_LEVEL) <= quantity) return MOST_LEVEL;
  let [low, high] = [LEAST_LEVEL, MOST_LEVEL];
  for (let i = 0; i < 40; i += 1) {
    const middle = (low + high) / 2;
    if (planned(middle) >= quantity) high = middle;
    else low = middle;
  }
  return high;
}
