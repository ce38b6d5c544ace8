import { addDays, daysBetween } from '../../core/calendar/index.ts';
import type { ExplanationSource } from '../../core/explanation/index.ts';
import { criticalFraction } from '../../core/par/index.ts';
import type { ComponentPar } from '../../core/planning/index.ts';
import type { ParBasis, ParSitting } from './par-basis.ts';
import { PLAN_LEVEL, parAnswer, type ParAnswer } from './par-answer.ts';
import { dishMoney } from './par-costs.ts';
import type { Par, ParOverride } from './par-levels.ports.ts';

/** Bounds of the level that the costing alone gives: even odds, and nearly always. */
const LEAST_BY_COSTING = 0.5;
const MOST_BY_COSTING = 0.98;

/** How many portions of a dish a service is planned with, and why. */
export interface DishPar {
  readonly level: number;
  readonly levelSource: ExplanationSource;
  readonly fixedPortions?: number;
}

/** The pars of a site as its plan uses them. */
export interface PlanPars {
  dish(dishId: string, serviceId: string, serviceDate: string): DishPar;
  readonly componentPars: readonly ComponentPar[];
}

/** Whether a par holds on a service date. */
export function holdsOn(par: Pick<Par, 'validFrom' | 'validTo'>, date: string): boolean {
  return (
    (par.validFrom === null || par.validFrom <= date) &&
    (par.validTo === null || date <= par.validTo)
  );
}

/**
 * What the pars of a site mean for its plan. A dish with a par is planned at the level at which the
 * services of its review time together come to the par, or with the portions fixed; one without at
 * the level its costing gives (margin against waste), or at `PLAN_LEVEL` while the costing is not
 * complete. A person's quantity for a date goes before all of them.
 */
export function planPars(
  basis: ParBasis,
  pars: readonly Par[],
  overrides: readonly ParOverride[],
): PlanPars {
  const answers = new Map<string, ParAnswer | string>();
  const answerOf = (par: Par): ParAnswer | string => {
    const found = answers.get(par.id) ?? parAnswer(basis, par);
    answers.set(par.id, found);
    return found;
  };
  const parOf = (itemId: string, date: string): Par | undefined =>
    pars.find((par) => par.recipeId === itemId && holdsOn(par, date));
  const byCosting = new Map<string, DishPar>();
  return {
    dish(dishId, serviceId, serviceDate) {
      const own = pars.filter((par) => par.recipeId === dishId);
      const override = overrides.find(
        (o) => o.serviceDate === serviceDate && own.some((par) => par.id === o.parId),
      );
      if (override) {
        const day = basis.fromToday.filter((s) => s.serviceDate === serviceDate);
        return {
          level: PLAN_LEVEL,
          levelSource: {
            kind: 'par override',
            id: override.id,
            note: `${override.enteredBy}: ${override.reason}`,
          },
          fixedPortions: partOf(basis, override.quantity, day, dishId, serviceId, serviceDate),
        };
      }
      const par = parOf(dishId, serviceDate);
      if (par) return dishUnderPar(basis, par, answerOf(par), serviceId, serviceDate);
      const known = byCosting.get(dishId) ?? levelByCosting(basis, dishId);
      byCosting.set(dishId, known);
      return known;
    },
    componentPars: componentPars(basis, pars, overrides, answerOf),
  };
}

function dishUnderPar(
  basis: ParBasis,
  par: Par,
  answer: ParAnswer | string,
  serviceId: string,
  serviceDate: string,
): DishPar {
  if (par.rule.kind === 'fixed') {
    const { quantity } = par.rule;
    const turn = Math.floor(daysBetween(basis.today, serviceDate) / par.reviewDays);
    const from = addDays(basis.today, turn * par.reviewDays);
    const to = addDays(from, par.reviewDays - 1);
    const time = basis.fromToday.filter((s) => s.serviceDate >= from && s.serviceDate <= to);
    return {
      level: PLAN_LEVEL,
      levelSource: source(par, `fixed at ${quantity} portions from ${from} to ${to}`),
      fixedPortions: partOf(basis, quantity, time, par.recipeId, serviceId, serviceDate),
    };
  }
  if (typeof answer === 'string') {
    return { level: PLAN_LEVEL, levelSource: source(par, answer) };
  }
  return { level: answer.perServiceLevel, levelSource: source(par, ruleWords(par, answer)) };
}

function source(par: Pick<Par, 'id'>, note: string): ExplanationSource {
  return { kind: 'par level', id: par.id, note };
}

/** The rule in words, with the figures it rests on. */
export function ruleWords(par: Pick<Par, 'rule'>, answer: ParAnswer): string {
  const sum = `${answer.level.quantity} portions until ${answer.demand.lastDate}`;
  if (par.rule.kind === 'service_level') {
    return `enough in ${Number((par.rule.level * 100).toFixed(1))} of 100: ${sum}`;
  }
  if (par.rule.kind === 'fixed') return `fixed: ${sum}`;
  return answer.costs === null
    ? `costing not complete, enough in ${PLAN_LEVEL * 100} of 100: ${sum}`
    : `margin ${money(answer.costs.short)} against waste ${money(answer.costs.waste)}: ${sum}`;
}

const money = ({ amount, currency }: { amount: string; currency: string }): string =>
  `${Number(amount).toFixed(2)} ${currency}`;

/**
 * Without a par: Cu ÷ (Cu + Co) of a portion from the costing, so that a dish that earns much and
 * costs little runs out seldom; kept between 0.5 and 0.98.
 */
function levelByCosting(basis: ParBasis, dishId: string): DishPar {
  const found = dishMoney(basis, dishId);
  const usual = (note: string): DishPar => ({
    level: PLAN_LEVEL,
    levelSource: { kind: 'usual level', id: dishId, note },
  });
  if (typeof found === 'string') return usual(found);
  const critical = criticalFraction({ short: found.margin, waste: found.cost });
  if (!critical.ok) return usual(critical.error.message);
  const level = Math.min(MOST_BY_COSTING, Math.max(LEAST_BY_COSTING, critical.value));
  return {
    level,
    levelSource: {
      kind: 'costing',
      id: dishId,
      note: `margin ${money(found.margin)} against cost ${money(found.cost)}`,
    },
  };
}

/**
 * The part of a whole number of portions that falls to one service: by the portions expected, the
 * largest remainders rounded up (Hamilton's method), so that the parts add up to the number.
 */
function partOf(
  basis: ParBasis,
  quantity: number,
  sittings: readonly ParSitting[],
  dishId: string,
  serviceId: string,
  serviceDate: string,
): number {
  const means = sittings.map((sitting) => {
    const dish = sitting.dishes.find((d) => d.line.dishId === dishId);
    return dish ? basis.portions(sitting, dish).mean : 0;
  });
  const parts = apportion(quantity, means);
  const at = sittings.findIndex((s) => s.serviceId === serviceId && s.serviceDate === serviceDate);
  return parts[at] ?? 0;
}

/** Splits a whole number by weights (Hamilton's method); evenly where all weights are 0. */
export function apportion(quantity: number, weights: readonly number[]): number[] {
  const total = weights.reduce((a, w) => a + w, 0);
  const exact = weights.map((w) =>
    total > 0 ? (quantity * w) / total : quantity / weights.length,
  );
  const parts = exact.map(Math.floor);
  let left = Math.round(quantity - parts.reduce((a, n) => a + n, 0));
  const order = exact
    .map((value, i) => ({ i, rest: value - Math.floor(value) }))
    .sort((a, b) => b.rest - a.rest || a.i - b.i);
  for (const { i } of order) {
    if (left <= 0) break;
    parts[i] = (parts[i] ?? 0) + 1;
    left -= 1;
  }
  return parts;
}

function componentPars(
  basis: ParBasis,
  pars: readonly Par[],
  overrides: readonly ParOverride[],
  answerOf: (par: Par) => ParAnswer | string,
): readonly ComponentPar[] {
  const isComponent = (par: Par) =>
    basis.kitchen.graph.items.get(par.recipeId)?.kind === 'component';
  return pars.filter(isComponent).flatMap((par): ComponentPar[] => {
    const said = overrides
      .filter((o) => o.parId === par.id)
      .map((o): ComponentPar => ({
        kind: 'quantity',
        itemId: par.recipeId,
        fromDate: o.serviceDate,
        toDate: o.serviceDate,
        quantity: o.quantity,
        source: { kind: 'par override', id: o.id, note: `${o.enteredBy}: ${o.reason}` },
      }));
    if (par.rule.kind === 'fixed') {
      return [...fixedReviews(basis, par, par.rule.quantity, said), ...said];
    }
    const answer = answerOf(par);
    if (typeof answer === 'string' || !holdsOn(par, basis.today)) return said;
    const level: ComponentPar = {
      kind: 'level',
      itemId: par.recipeId,
      level: answer.perServiceLevel,
      source: source(par, ruleWords(par, answer)),
    };
    return [level, ...said];
  });
}

/**
 * The quantity of a fixed par at every review of the days ahead, each for its review time and the
 * lead time after it. What one of them tops up counts for the next ones while it keeps (`topUpToPar`).
 */
function fixedReviews(
  basis: ParBasis,
  par: Par,
  quantity: number,
  said: readonly ComponentPar[],
): readonly ComponentPar[] {
  const lastDate = basis.fromToday.at(-1)?.serviceDate ?? basis.today;
  const reviews: ComponentPar[] = [];
  for (
    let fromDate = addDays(basis.today, par.reviewDays);
    fromDate <= lastDate;
    fromDate = addDays(fromDate, par.reviewDays)
  ) {
    // A person's word for that date stands in place of the par.
    const stands = said.some((one) => one.kind === 'quantity' && one.fromDate === fromDate);
    if (stands || !holdsOn(par, fromDate)) continue;
    reviews.push({
      kind: 'quantity',
      itemId: par.recipeId,
      fromDate,
      toDate: addDays(fromDate, par.reviewDays + par.leadDays - 1),
      quantity,
      source: source(par, 'fixed quantity'),
    });
  }
  return reviews;
}
