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
  /** What is left of each slot's run, in first-expiring order of slots. */
  readonly stock: readonly number[];
  readonly short: number;
  readonly cost: number;
  readonly made: Made | null;
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
}

interface Table {
  readonly problem: BatchProblem;
  /** First-expiring first; a state's stock has the same order. */
  readonly supplies: readonly Supply[];
  readonly needs: readonly DatedNeed[];
}

/**
 * Batch choice for one component when a later batch may expire before an earlier one (its inputs
 * were older), stock outlives what is made, or services overlap: goes through time, carrying every reachable stock by age. At a
 * slot's ready time each permitted count is tried; at a need the stock that expires first goes
 * first. States with equal stock keep the one that left least unmet, then the cheapest.
 *
 * Exact, unless a run can be finer than EVERY_COUNT_UP_TO steps or more than MOST_STATES stocks are
 * alive at once; then only the most promising are carried and `exact` is false.
 */
export function stockStates(problem: BatchProblem): ChosenSteps {
  const supplies = suppliesOf(problem);
  const needs = [...problem.needs].sort(byTime).filter(({ quantity }) => quantity > 0);
  const table: Table = { problem, supplies, needs };
  const events = [
    ...supplies.map((supply, index) => ({ atMin: supply.readyMin, rank: 0, index })),
    ...needs.map((need, index) => ({ atMin: need.atMin, rank: 1, index })),
  ].sort((a, b) => a.atMin - b.atMin || a.rank - b.rank || a.index - b.index);
  let exact = true;
  let states: readonly State[] = [{ stock: supplies.map(() => 0), short: 0, cost: 0, made: null }];
  let served = 0;
  for (const event of events) {
    const next = new Map<string, State>();
    for (const state of states) {
      if (event.rank === 1) keepBest(next, afterNeed(table, state, event.index));
      else {
        const found = afterSupply(table, state, event.index, served);
        exact &&= found.complete;
        for (const made of found.states) keepBest(next, made);
      }
    }
    if (event.rank === 1) served = event.index + 1;
    const ranked = [...next.values()].sort(compare);
    exact &&= ranked.length <= MOST_STATES;
    states = ranked.slice(0, MOST_STATES);
  }
  const best = states
    .map((state) => withSurplus(table, state, needs.length))
    .reduce((a, b) => (compare(b, a) < 0 ? b : a));
  return { steps: stepsOf(best.made), exact, short: best.short };
}

function suppliesOf(problem: BatchProblem): readonly Supply[] {
  const stock = lotsOf(problem).map((lot): Supply => ({
    id: lot.id,
    readyMin: lot.availableFromMin,
    useByMin: lot.useByMin,
    agesFromMin: lotAgesFrom(lot, problem),
    from: lot.quantity,
    idle: idleCostPerUnit(lot, problem),
  }));
  const slots = problem.slots.map((slot): Supply => ({
    id: slot.id,
    readyMin: slot.readyMin,
    useByMin: slot.useByMin,
    agesFromMin: slot.readyMin,
    from: slot,
    idle: 0,
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
  const stock = [...state.stock];
  let open = need.quantity;
  let cost = state.cost;
  for (const [i, supply] of table.supplies.entries()) {
    const left = stock[i] ?? 0;
    if (open <= DUST || left <= DUST || !usable(supply, need)) continue;
    const quantity = Math.min(open, left);
    stock[i] = left - quantity;
    open -= quantity;
    const days = (need.atMin - supply.agesFromMin) / MIN_PER_DAY;
    cost += (holdingPerUnitPerDay + agePenalty) * quantity * days;
  }
  const served = { ...state, stock, cost, short: state.short + (open > DUST ? open : 0) };
  return withSurplus(table, served, index + 1);
}

/** Takes out stock that no need from `from` on can use, at its surplus or idle cost. */
function withSurplus(table: Table, state: State, from: number): State {
  const rest = table.needs.slice(from);
  let cost = state.cost;
  const stock = state.stock.map((left, i) => {
    const supply = table.supplies[i];
    if (!supply || left <= DUST || rest.some((need) => usable(supply, need))) return left;
    cost +=
      left *
      (typeof supply.from === 'number'
        ? supply.idle
        : surplusCostPerUnit(supply.from, table.problem));
    return 0;
  });
  return { ...state, stock, cost };
}

function afterSupply(
  table: Table,
  state: State,
  index: number,
  served: number,
): { readonly states: readonly State[]; readonly complete: boolean } {
  const { problem } = table;
  const slot = table.supplies[index]?.from;
  if (slot === undefined) return { states: [state], complete: true };
  if (typeof slot === 'number') {
    const stock = [...state.stock];
    stock[index] = slot;
    return { states: [{ ...state, stock }], complete: true };
  }
  const counts = countsToTry(table, slot, served);
  const states = [0, ...counts.list].map((count): State => {
    const batches = count * problem.rule.multiple;
    const stock = [...state.stock];
    stock[index] = count * stepQuantity(problem.rule);
    return {
      stock,
      short: state.short,
      cost: state.cost + runCost(slot, batches, problem) + changeCost(slot, batches, problem),
      made: count === 0 ? state.made : { slotId: slot.id, count, before: state.made },
    };
  });
  return { states, complete: counts.complete };
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

function keepBest(states: Map<string, State>, state: State): void {
  const key = state.stock.map((left) => Math.round(left * 1e6)).join(' ');
  const rival = states.get(key);
  if (!rival || compare(state, rival) < 0) states.set(key, state);
}

function stepsOf(made: Made | null): Map<string, number> {
  const steps = new Map<string, number>();
  for (let link = made; link; link = link.before) steps.set(link.slotId, link.count);
  return steps;
}
