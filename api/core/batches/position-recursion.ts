import { byTime } from '../netting/index.ts';
import type { LotOnHand } from '../netting/index.ts';
import type { BatchProblem, ProductionSlot } from './batch-plan.ts';
import { ceilWhole, maxSteps, minSteps, stepQuantity } from './batch-rule.ts';
import {
  changeCost,
  idleCostPerUnit,
  lotAgesFrom,
  lotsOf,
  MIN_PER_DAY,
  previousBatches,
  runCost,
  surplusCostPerUnit,
} from './evaluate-runs.ts';

/** A choice of steps per slot, and whether it is proven best. */
export interface ChosenSteps {
  readonly steps: ReadonlyMap<string, number>;
  readonly exact: boolean;
  /** Quantity of the needs left unmet. */
  readonly short: number;
  /** Cost as the method counts it. */
  readonly cost?: number;
}

/** Above this many steps in a capped slot only the candidate counts are tried, not every count. */
const EVERY_COUNT_UP_TO = 64;
/** Up to this many steps it is quicker to try every count than to think about which. */
const FEW_ENOUGH = 4;
const SAME = 1e-9;

interface Label {
  readonly position: number;
  readonly short: number;
  readonly cost: number;
  readonly slotId: string | null;
  readonly count: number;
  readonly before: Label | null;
}

/** What covers needs: a slot that may be used, or stock that is there whatever is decided. */
export type OrderedSupply =
  { readonly slot: ProductionSlot } | { readonly lot: LotOnHand; readonly agesFromMin: number };

/** Slots and stock in the order in which they are eaten, and the needs in the order of time. */
export interface InStep {
  readonly supplies: readonly OrderedSupply[];
  readonly needs: BatchProblem['needs'];
}

const readyOf = (supply: OrderedSupply): number =>
  'slot' in supply ? supply.slot.readyMin : supply.lot.availableFromMin;
const useByOf = (supply: OrderedSupply): number =>
  'slot' in supply ? supply.slot.useByMin : supply.lot.useByMin;

/**
 * Slots and lots in time order, if their use-bys and the needs' ends follow the same order; else
 * undefined. Only what the supplies can tell apart counts: an end between two use-bys is as good as
 * the later use-by, so that a short need amid long ones does not break the order.
 */
export function inStep(problem: BatchProblem): InStep | undefined {
  const lined = lineUp(problem);
  return lined?.asItIs;
}

/** The problem put in order in two ways that bracket it, where only the needs' ends are out of order. */
export interface Bracketed {
  /** The needs as they are; undefined when they are out of order. */
  readonly asItIs?: InStep;
  /** Ends moved later until they are in order: what covers these needs covers the real ones. */
  readonly tighter: InStep;
  /** Ends moved earlier until they are in order: no real plan costs less than the best for these. */
  readonly looser: InStep;
}

/** @returns undefined when a supply that is ready later keeps less long */
export function lineUp(problem: BatchProblem): Bracketed | undefined {
  const first = Math.min(...problem.needs.map(({ atMin }) => atMin));
  const supplies = [
    ...lotsOf(problem).map((lot): OrderedSupply => ({
      // Whatever was there before the first need was there at it.
      lot: { ...lot, availableFromMin: Math.max(lot.availableFromMin, first) },
      agesFromMin: lotAgesFrom(lot, problem),
    })),
    ...problem.slots.map((slot): OrderedSupply => ({ slot })),
  ].sort((a, b) => readyFrom(a, first) - readyFrom(b, first) || useByOf(a) - useByOf(b));
  const useBys = supplies.map(useByOf);
  const classes = [...new Set(useBys)].sort((a, b) => a - b);
  const classOf = (untilMin: number): number =>
    classes.find((useByMin) => useByMin >= untilMin) ?? Number.POSITIVE_INFINITY;
  const needs = [...problem.needs]
    .sort(byTime)
    .map((need) => ({ ...need, untilMin: Math.max(need.untilMin, classOf(need.untilMin)) }));
  if (!ascending(useBys)) return undefined;
  const ends = needs.map(({ untilMin }) => untilMin);
  const moved = (untilMin: readonly number[]): InStep => ({
    supplies,
    needs: needs.map((need, i) => ({ ...need, untilMin: untilMin[i] ?? need.untilMin })),
  });
  const latest = ends.map((_, i) => Math.max(...ends.slice(0, i + 1)));
  const earliest = ends.map((_, i) => Math.min(...ends.slice(i)));
  return {
    ...(ascending(ends) ? { asItIs: { supplies, needs } } : {}),
    tighter: moved(latest),
    looser: moved(earliest),
  };
}

function readyFrom(supply: OrderedSupply, first: number): number {
  return Math.max(readyOf(supply), first);
}

function ascending(values: readonly number[]): boolean {
  return values.every((value, i) => i === 0 || value >= (values[i - 1] ?? value));
}

/**
 * Exact batch choice for one component without shared capacity, when a later batch never expires
 * before an earlier one and a later service never ends before an earlier one (`inStep`).
 *
 * Lay all needs end to end in order of time. First-expiring first-out then means: the supplies, in
 * order, cover this line from left to right without a break, and after each the only thing that
 * matters is the position reached. A run in slot s covers from p0 = max(p, needs before it is ready)
 * up to min(p0 + quantity, needs that end after its use-by); the rest of it is surplus; what lies
 * between p and p0 stays unmet. Stock does the same with the quantity there is. Labels are compared
 * by unmet quantity first, cost second.
 *
 * With a step of one unit, no limits and no expiry this is Wagner and Whitin's recursion (1958); with
 * a shelf life it allows an arc only as far as the batch keeps.
 *
 * Counts tried per run: when it is capped, a change costs something or stock is still to come, every permitted count up to
 * EVERY_COUNT_UP_TO steps; else only those that just reach what must be covered before some later
 * supply is ready, the end of its own shelf life, or the end of all needs, plus the minimum, the cap
 * and the replaced plan's. Without caps and without a change penalty those suffice: a step moved
 * from a run to the next used run makes the food fresher and changes nothing else, until the first
 * run only just bridges the time to the next (or is at its minimum, or had surplus). So the answer is
 * exact in all cases but a finely divisible batch (over EVERY_COUNT_UP_TO steps) with a cap, a change
 * penalty or stock to come.
 *
 * Work: supplies × positions × counts; positions are sums of step and shelf-life limits.
 */
export function positionRecursion(problem: BatchProblem, ordered: InStep): ChosenSteps {
  const line = needLine(ordered.needs);
  const limits = ordered.supplies.map((supply) => ({
    supply,
    reach: line.coveredUntil(useByOf(supply)),
    floor: line.neededBefore(readyOf(supply)),
  }));
  const floors = limits.map(({ floor }) => floor);
  const plain = isPlain(problem);
  const lastLot = ordered.supplies.findLastIndex((supply) => 'lot' in supply);
  let exact = true;
  let labels = new Map<number, Label>([
    [0, { position: 0, short: 0, cost: 0, slotId: null, count: 0, before: null }],
  ]);
  for (const [index, { supply, reach, floor }] of limits.entries()) {
    const next = new Map<number, Label>();
    // Stock that comes in later moves what a run must reach: then every count is tried.
    const more = { stockComes: index < lastLot, plain };
    const laterFloors = [...new Set(floors.slice(index + 1))];
    for (const label of labels.values()) {
      const start = Math.max(label.position, floor);
      if ('lot' in supply) {
        keepBest(next, eaten(label, supply, { reach, start }, problem, line));
        continue;
      }
      const limit = { slot: supply.slot, reach };
      keepBest(next, skipped(label, limit.slot, problem));
      const counts = countsToTry(problem, limit, start, laterFloors, line.total, more);
      exact &&= counts.complete;
      for (const count of counts.list) {
        keepBest(next, extended(label, limit, start, count, problem, line));
      }
    }
    labels = next;
  }
  const best = bestEnd(labels, line.total);
  return { steps: stepsOf(best), exact, short: best.short, cost: best.cost };
}

/** Whether the few counts of the docstring suffice: no caps, equal costs, nothing to keep to. */
function isPlain(problem: BatchProblem): boolean {
  const { slots, rule, changePenalty } = problem;
  const even = slots.every(
    (slot) =>
      maxSteps(rule, slot.capacityBatches) === Infinity && slot.batchCost === slots[0]?.batchCost,
  );
  return even && changePenalty === undefined;
}

/** Stock covers the line as far as it goes; what it cost is paid, its days in the fridge are not. What is left waits. */
function eaten(
  label: Label,
  supply: Extract<OrderedSupply, { readonly lot: LotOnHand }>,
  { reach, start }: { readonly reach: number; readonly start: number },
  problem: BatchProblem,
  line: NeedLine,
): Label {
  const end = Math.min(start + supply.lot.quantity, reach, line.total);
  const used = Math.max(0, end - start);
  const left = Math.max(0, supply.lot.quantity - used);
  const idle = left > 0 ? left * idleCostPerUnit(supply.lot, problem) : 0;
  if (used === 0) return { ...label, cost: label.cost + idle };
  const { holdingPerUnitPerDay, agePenalty } = problem.costs;
  const days = line.ageDays(start, end, supply.agesFromMin);
  return {
    ...label,
    position: end,
    short: label.short + start - label.position,
    cost: label.cost + (holdingPerUnitPerDay + agePenalty) * days + idle,
  };
}

interface SlotLimit {
  readonly slot: ProductionSlot;
  readonly reach: number;
}

function skipped(label: Label, slot: ProductionSlot, problem: BatchProblem): Label {
  const penalty = changeCost(slot, 0, problem);
  return penalty === 0 ? label : { ...label, cost: label.cost + penalty };
}

function extended(
  label: Label,
  { slot, reach }: SlotLimit,
  start: number,
  count: number,
  problem: BatchProblem,
  line: NeedLine,
): Label {
  const quantity = count * stepQuantity(problem.rule);
  const batches = count * problem.rule.multiple;
  const useful = reach > start;
  const end = useful ? Math.min(start + quantity, reach) : label.position;
  const used = useful ? end - start : 0;
  const perUnitDay = problem.costs.holdingPerUnitPerDay + problem.costs.agePenalty;
  const age = useful ? line.ageDays(start, end, slot.readyMin) : 0;
  const cost =
    label.cost +
    runCost(slot, batches, problem) +
    changeCost(slot, batches, problem) +
    perUnitDay * age +
    surplusCostPerUnit(slot, problem) * (quantity - used);
  const short = label.short + (useful ? start - label.position : 0);
  return { position: end, short, cost, slotId: slot.id, count, before: label };
}

function countsToTry(
  problem: BatchProblem,
  { slot, reach }: SlotLimit,
  start: number,
  laterFloors: readonly number[],
  total: number,
  { stockComes, plain }: { readonly stockComes: boolean; readonly plain: boolean },
): { readonly list: readonly number[]; readonly complete: boolean } {
  const { rule } = problem;
  const step = stepQuantity(rule);
  const least = minSteps(rule);
  const cap = maxSteps(rule, slot.capacityBatches);
  if (cap < least) return { list: [], complete: true };
  const all = new Set<number>();
  const add = (count: number): void => {
    if (count >= least && count <= cap) all.add(count);
  };
  const kept = keptSteps(problem, slot.id);
  const useful = reach > start ? Math.max(least, ceilWhole((reach - start) / step)) : 0;
  const most = Math.min(cap, Math.max(useful, kept));
  const few = plain && !stockComes;
  if (most <= (few ? FEW_ENOUGH : EVERY_COUNT_UP_TO)) {
    for (let count = least; count <= most; count += 1) add(count);
    return { list: [...all], complete: true };
  }
  const bound = cap < ceilWhole(total / step) || problem.changePenalty !== undefined;
  add(Math.min(cap, kept));
  for (const floor of laterFloors) {
    if (floor > start) add(Math.max(least, ceilWhole((Math.min(floor, reach) - start) / step)));
  }
  add(least);
  add(Math.min(cap, useful));
  return { list: [...all], complete: !bound && !stockComes };
}

/** Steps the replaced plan had in a slot, when leaving it costs something; else 0. */
export function keptSteps(problem: BatchProblem, slotId: string): number {
  if (problem.changePenalty === undefined) return 0;
  return Math.round((previousBatches(slotId, problem) ?? 0) / problem.rule.multiple);
}

function better(a: Label, b: Label): boolean {
  if (Math.abs(a.short - b.short) > SAME * Math.max(1, b.short)) return a.short < b.short;
  return a.cost < b.cost - SAME * Math.max(1, Math.abs(b.cost));
}

function keepBest(labels: Map<number, Label>, label: Label): void {
  const key = Math.round(label.position * 1e6);
  const rival = labels.get(key);
  if (!rival || better(label, rival)) labels.set(key, label);
}

function bestEnd(labels: ReadonlyMap<number, Label>, total: number): Label {
  let best: Label | undefined;
  for (const label of labels.values()) {
    const ended = { ...label, short: label.short + Math.max(0, total - label.position) };
    if (!best || better(ended, best)) best = ended;
  }
  if (!best) throw new Error('There is always the label that makes nothing');
  return best;
}

function stepsOf(end: Label): Map<string, number> {
  const steps = new Map<string, number>();
  for (let label: Label | null = end; label; label = label.before) {
    if (label.slotId !== null && label.count > 0) steps.set(label.slotId, label.count);
  }
  return steps;
}

/** All needs end to end, in order of time. */
interface NeedLine {
  readonly total: number;
  readonly neededBefore: (readyMin: number) => number;
  readonly coveredUntil: (useByMin: number) => number;
  /** Unit-days between ready and service over a stretch of the line. */
  readonly ageDays: (from: number, to: number, readyMin: number) => number;
}

function needLine(ordered: BatchProblem['needs']): NeedLine {
  const needs = ordered.filter(({ quantity }) => quantity > 0);
  const pieces: { from: number; to: number; afterMin: number; momentBefore: number }[] = [];
  // Times are measured from the first service so that sums keep their precision.
  const originMin = needs[0]?.atMin ?? 0;
  let from = 0;
  let moment = 0;
  for (const need of needs) {
    const afterMin = need.atMin - originMin;
    pieces.push({ from, to: from + need.quantity, afterMin, momentBefore: moment });
    moment += need.quantity * afterMin;
    from += need.quantity;
  }
  // Sum of service times over the first `position` units of the line.
  const momentAt = (position: number): number => {
    let low = 0;
    let high = pieces.length - 1;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (position <= (pieces[middle]?.to ?? 0)) high = middle;
      else low = middle + 1;
    }
    const piece = pieces[low];
    return piece ? piece.momentBefore + (position - piece.from) * piece.afterMin : 0;
  };
  const endOf = (test: (need: (typeof needs)[number]) => boolean): number => {
    const count = needs.findIndex((need) => !test(need));
    return count === -1 ? from : (pieces[count]?.from ?? 0);
  };
  return {
    total: from,
    neededBefore: (readyMin) => endOf((need) => need.atMin < readyMin),
    coveredUntil: (useByMin) => endOf((need) => need.untilMin <= useByMin),
    ageDays: (start, end, readyMin) =>
      (momentAt(end) - momentAt(start) - (readyMin - originMin) * (end - start)) / MIN_PER_DAY,
  };
}
