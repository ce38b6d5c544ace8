import { byTime } from '../netting/index.ts';
import type { BatchProblem, ProductionSlot } from './batch-plan.ts';
import { ceilWhole, maxSteps, minSteps, stepQuantity } from './batch-rule.ts';
import {
  changeCost,
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
}

/** Above this many steps in a capped slot only the candidate counts are tried, not every count. */
const EVERY_COUNT_UP_TO = 64;
const SAME = 1e-9;

interface Label {
  readonly position: number;
  readonly short: number;
  readonly cost: number;
  readonly slotId: string | null;
  readonly count: number;
  readonly before: Label | null;
}

/** Slots in time order, if their use-bys and the needs' ends follow the same order; else undefined. */
export function inStep(problem: BatchProblem): readonly ProductionSlot[] | undefined {
  const slots = [...problem.slots].sort(
    (a, b) => a.readyMin - b.readyMin || a.useByMin - b.useByMin,
  );
  const needs = [...problem.needs].sort(byTime);
  const ascending = (values: readonly number[]): boolean =>
    values.every((value, i) => i === 0 || value >= (values[i - 1] ?? value));
  const ordered =
    ascending(slots.map(({ useByMin }) => useByMin)) &&
    ascending(needs.map(({ untilMin }) => untilMin));
  return ordered ? slots : undefined;
}

/**
 * Exact batch choice for one component without shared capacity, when a later batch never expires
 * before an earlier one and a later service never ends before an earlier one (`inStep`).
 *
 * Lay all needs end to end in order of time. First-expiring first-out then means: the runs, in order,
 * cover this line from left to right without a break, and after each run the only thing that matters
 * is the position reached. A run in slot s covers from p0 = max(p, needs before it is ready) up to
 * min(p0 + quantity, needs that end after its use-by); the rest of it is surplus; what lies between
 * p and p0 stays unmet. Labels are compared by unmet quantity first, cost second.
 *
 * With a step of one unit, no limits and no expiry this is Wagner and Whitin's recursion (1958); with
 * a shelf life it allows an arc only as far as the batch keeps.
 *
 * Counts tried per run: every permitted count when it is capped and at most EVERY_COUNT_UP_TO steps;
 * else only those that just reach what must be covered before some later slot is ready, the end of
 * its own shelf life, or the end of all needs, plus the minimum, the cap and the replaced plan's.
 * Without caps and without a change penalty those suffice: a step moved from a run to the next used
 * run makes the food fresher and changes nothing else, until the first run only just bridges the
 * time to the next (or is at its minimum, or had surplus). So the answer is exact in all cases but
 * a finely divisible batch (over EVERY_COUNT_UP_TO steps) with a cap or a change penalty.
 *
 * Reads the needs as they are; stock must have been taken off before.
 *
 * Work: slots × positions × counts; positions are sums of step and shelf-life limits.
 */
export function positionRecursion(
  problem: BatchProblem,
  slots: readonly ProductionSlot[],
): ChosenSteps {
  const line = needLine(problem);
  const limits = slots.map((slot) => ({
    slot,
    reach: line.coveredUntil(slot.useByMin),
    floor: line.neededBefore(slot.readyMin),
  }));
  const floors = limits.map(({ floor }) => floor);
  let exact = true;
  let labels = new Map<number, Label>([
    [0, { position: 0, short: 0, cost: 0, slotId: null, count: 0, before: null }],
  ]);
  for (const [index, limit] of limits.entries()) {
    const next = new Map<number, Label>();
    const laterFloors = floors.slice(index + 1);
    for (const label of labels.values()) {
      keepBest(next, skipped(label, limit.slot, problem));
      const start = Math.max(label.position, limit.floor);
      const counts = countsToTry(problem, limit, start, laterFloors, line.total);
      exact &&= counts.complete;
      for (const count of counts.list) {
        keepBest(next, extended(label, limit, start, count, problem, line));
      }
    }
    labels = next;
  }
  const best = bestEnd(labels, line.total);
  return { steps: stepsOf(best), exact, short: best.short };
}

interface SlotLimit {
  readonly slot: ProductionSlot;
  readonly reach: number;
  readonly floor: number;
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
  if (most <= EVERY_COUNT_UP_TO) {
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
  return { list: [...all], complete: !bound };
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

function needLine(problem: BatchProblem): NeedLine {
  const needs = [...problem.needs].sort(byTime).filter(({ quantity }) => quantity > 0);
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
    const piece = pieces.find(({ to }) => position <= to) ?? pieces.at(-1);
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
