import { byTime } from '../netting/index.ts';
import type { DatedNeed } from '../netting/index.ts';
import type { BatchProblem, ProductionSlot } from './batch-plan.ts';
import { ceilWhole, maxSteps, minSteps, stepQuantity } from './batch-rule.ts';
import {
  changeCost,
  idleCostPerUnit,
  lotAgesFrom,
  lotsOf,
  MIN_PER_DAY,
  runCost,
  surplusCostPerUnit,
} from './evaluate-runs.ts';
import { keptSteps } from './position-recursion.ts';
import type { ChosenSteps } from './position-recursion.ts';

const EVERY_COUNT_UP_TO = 64;
const MOST_STATES = 1_500;
const DUST = 1e-9;

interface State {
  /** What there still is, first-expiring first; what is used up is not in it. */
  readonly stock: readonly Left[];
  readonly short: number;
  readonly cost: number;
  readonly made: Made | null;
}

/** What is left of a supply, by its place among the supplies. */
interface Left {
  readonly supply: number;
  readonly quantity: number;
}

interface Made {
  readonly slotId: string;
  readonly count: number;
  readonly before: Made | null;
}

interface Supply {
  readonly id: string;
  readonly readyMin: number;
  readonly useByMin: number;
  /** From when its days in the fridge count. */
  readonly agesFromMin: number;
  /** The slot it may be made in, or what there is of it already. */
  readonly from: ProductionSlot | number;
  /** What a unit of stock costs when nobody eats it. */
  readonly idle: number;
  /** The last need it can serve, by its place among the needs; −1 for none. */
  readonly lastNeed: number;
}

/** What a plan that is known already leaves short and costs. */
export interface KnownPlan {
  readonly short: number;
  readonly cost: number;
}

interface Table {
  readonly problem: BatchProblem;
  /** First-expiring first; a state's stock has the same order. */
  readonly supplies: readonly Supply[];
  readonly needs: readonly DatedNeed[];
}

/**
 * Batch choice for one component when a later batch may expire before an earlier one (its inputs
 * were older), stock outlives what is made, or services overlap: goes through time, carrying every
 * reachable stock by age. At a slot's ready time each permitted count is tried; at a need the stock
 * that expires first goes first. States with equal stock keep the one that left least unmet, then the
 * cheapest.
 *
 * Exact, unless a run can be finer than EVERY_COUNT_UP_TO steps or more than MOST_STATES stocks are
 * alive at once; then only the most promising are carried and `exact` is false.
 *
 * @param known a plan to beat: nothing that leaves as much short at more cost is followed any further,
 *              because neither ever shrinks
 * @returns null where nothing is as good as the known plan, which is proven by it
 */
export function stockStates(problem: BatchProblem, known?: KnownPlan): ChosenSteps | null {
  const needs = [...problem.needs].sort(byTime).filter(({ quantity }) => quantity > 0);
  const supplies = suppliesOf(problem, needs);
  const table: Table = { problem, supplies, needs };
  const events = [
    ...supplies.map((supply, index) => ({ atMin: supply.readyMin, rank: 0, index })),
    ...needs.map((need, index) => ({ atMin: need.atMin, rank: 1, index })),
  ].sort((a, b) => a.atMin - b.atMin || a.rank - b.rank || a.index - b.index);
  let exact = true;
  let states: readonly State[] = [{ stock: [], short: 0, cost: 0, made: null }];
  let served = 0;
  const hopeless = (state: State): boolean => known !== undefined && isWorse(state, known);
  for (const event of events) {
    const next = new Map<string, State>();
    if (event.rank === 1) {
      for (const state of states) {
        const after = afterNeed(table, state, event.index);
        if (!hopeless(after)) keepBest(next, after);
      }
      served = event.index + 1;
    } else {
      const found = runsToTry(table, event.index, served);
      exact &&= found.complete;
      for (const state of states) {
        for (const run of found.runs) {
          const made = afterSupply(state, event.index, run);
          if (!hopeless(made)) keepBest(next, made);
        }
      }
    }
    states = [...next.values()];
    if (states.length <= MOST_STATES) continue;
    exact = false;
    states = [...states].sort(compare).slice(0, MOST_STATES);
  }
  const ends = states.map((state) => withSurplus(table, state, needs.length));
  const [first, ...others] = ends;
  // What was cut short may have been better: then nothing is proven, and nothing found.
  if (!first) return exact ? null : { steps: new Map(), exact, short: Infinity };
  const best = others.reduce((a, b) => (compare(b, a) < 0 ? b : a), first);
  return { steps: stepsOf(best.made), exact, short: best.short };
}

function suppliesOf(problem: BatchProblem, needs: readonly DatedNeed[]): readonly Supply[] {
  const lastNeed = (supply: Pick<Supply, 'readyMin' | 'useByMin'>): number =>
    needs.findLastIndex((need) => usable(supply, need));
  const stock = lotsOf(problem).map((lot): Supply => ({
    id: lot.id,
    readyMin: lot.availableFromMin,
    useByMin: lot.useByMin,
    agesFromMin: lotAgesFrom(lot, problem),
    from: lot.quantity,
    idle: idleCostPerUnit(lot, problem),
    lastNeed: lastNeed({ readyMin: lot.availableFromMin, useByMin: lot.useByMin }),
  }));
  const slots = problem.slots.map((slot): Supply => ({
    id: slot.id,
    readyMin: slot.readyMin,
    useByMin: slot.useByMin,
    agesFromMin: slot.readyMin,
    from: slot,
    idle: 0,
    lastNeed: lastNeed(slot),
  }));
  return [...stock, ...slots].sort(
    (a, b) => a.useByMin - b.useByMin || a.readyMin - b.readyMin || (a.id < b.id ? -1 : 1),
  );
}

function usable(supply: Pick<Supply, 'readyMin' | 'useByMin'>, need: DatedNeed): boolean {
  return supply.readyMin <= need.atMin && supply.useByMin >= need.untilMin;
}

function afterNeed(table: Table, state: State, index: number): State {
  const need = table.needs[index];
  if (!need) return state;
  const { holdingPerUnitPerDay, agePenalty } = table.problem.costs;
  const stock: Left[] = [];
  let open = need.quantity;
  let cost = state.cost;
  for (const left of state.stock) {
    const supply = table.supplies[left.supply];
    if (!supply || open <= DUST || !usable(supply, need)) {
      stock.push(left);
      continue;
    }
    const quantity = Math.min(open, left.quantity);
    if (left.quantity - quantity > DUST) {
      stock.push({ supply: left.supply, quantity: left.quantity - quantity });
    }
    open -= quantity;
    const days = (need.atMin - supply.agesFromMin) / MIN_PER_DAY;
    cost += (holdingPerUnitPerDay + agePenalty) * quantity * days;
  }
  const served = { ...state, stock, cost, short: state.short + (open > DUST ? open : 0) };
  return withSurplus(table, served, index + 1);
}

/** Takes out stock that no need from `from` on can use, at its surplus or idle cost. */
function withSurplus(table: Table, state: State, from: number): State {
  let cost = state.cost;
  const stock = state.stock.filter((left) => {
    const supply = table.supplies[left.supply];
    if (!supply || supply.lastNeed >= from) return true;
    const perUnit =
      typeof supply.from === 'number'
        ? supply.idle
        : surplusCostPerUnit(supply.from, table.problem);
    cost += left.quantity * perUnit;
    return false;
  });
  return stock.length === state.stock.length ? state : { ...state, stock, cost };
}

/** The stock with a supply put in its place. */
function withSupply(stock: readonly Left[], supply: number, quantity: number): readonly Left[] {
  if (quantity <= DUST) return stock;
  const at = stock.findIndex((left) => left.supply > supply);
  const added = { supply, quantity };
  return at === -1 ? [...stock, added] : [...stock.slice(0, at), added, ...stock.slice(at)];
}

/** What may come in at a supply: stock that is there, or a run of so many steps. */
interface Run {
  readonly count: number;
  readonly quantity: number;
  readonly cost: number;
  readonly slotId: string | null;
}

function runsToTry(
  table: Table,
  index: number,
  served: number,
): { readonly runs: readonly Run[]; readonly complete: boolean } {
  const { problem } = table;
  const slot = table.supplies[index]?.from;
  if (slot === undefined) return { runs: [NO_RUN], complete: true };
  if (typeof slot === 'number') {
    return { runs: [{ count: 0, quantity: slot, cost: 0, slotId: null }], complete: true };
  }
  const counts = countsToTry(table, slot, served);
  const runs = [0, ...counts.list].map((count): Run => {
    const batches = count * problem.rule.multiple;
    return {
      count,
      quantity: count * stepQuantity(problem.rule),
      cost: runCost(slot, batches, problem) + changeCost(slot, batches, problem),
      slotId: slot.id,
    };
  });
  return { runs, complete: counts.complete };
}

const NO_RUN: Run = { count: 0, quantity: 0, cost: 0, slotId: null };

function afterSupply(state: State, index: number, { count, quantity, cost, slotId }: Run): State {
  return {
    stock: withSupply(state.stock, index, quantity),
    short: state.short,
    cost: state.cost + cost,
    made: count === 0 || slotId === null ? state.made : { slotId, count, before: state.made },
  };
}

function countsToTry(
  { problem, needs }: Table,
  slot: ProductionSlot,
  served: number,
): { readonly list: readonly number[]; readonly complete: boolean } {
  const step = stepQuantity(problem.rule);
  const least = minSteps(problem.rule);
  const cap = maxSteps(problem.rule, slot.capacityBatches);
  const counts = new Set<number>();
  const add = (count: number): void => {
    if (count >= least && count <= cap) counts.add(count);
  };
  const kept = keptSteps(problem, slot.id);
  const reachable = needs.slice(served).filter((need) => usable(slot, need));
  let demand = 0;
  const boundaries = reachable.map(({ quantity }) => (demand += quantity));
  const useful = demand > 0 ? Math.max(least, ceilWhole(demand / step)) : 0;
  const most = Math.min(cap, Math.max(useful, kept));
  if (most <= EVERY_COUNT_UP_TO) {
    for (let count = least; count <= most; count += 1) add(count);
    return { list: [...counts], complete: true };
  }
  for (const boundary of boundaries) add(Math.max(least, ceilWhole(boundary / step)));
  add(least);
  add(most);
  add(Math.min(cap, kept));
  return { list: [...counts], complete: false };
}

function compare(a: State, b: State): number {
  return Math.abs(a.short - b.short) > DUST * Math.max(1, b.short)
    ? a.short - b.short
    : a.cost - b.cost;
}

/** Whether a state leaves as much short as a known plan, and costs more already. */
function isWorse(state: State, known: KnownPlan): boolean {
  const dust = DUST * Math.max(1, known.short);
  if (state.short > known.short + dust) return true;
  return (
    state.short >= known.short - dust &&
    state.cost > known.cost + DUST * Math.max(1, Math.abs(known.cost))
  );
}

function keepBest(states: Map<string, State>, state: State): void {
  let key = '';
  for (const { supply, quantity } of state.stock) key += `${supply}:${Math.round(quantity * 1e6)} `;
  const rival = states.get(key);
  if (!rival || compare(state, rival) < 0) states.set(key, state);
}

function stepsOf(made: Made | null): Map<string, number> {
  const steps = new Map<string, number>();
  for (let link = made; link; link = link.before) steps.set(link.slotId, link.count);
  return steps;
}
