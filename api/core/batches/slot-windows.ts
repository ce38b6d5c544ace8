import { ceilWhole, minSteps, stepQuantity } from './batch-rule.ts';
import { lotsOf } from './evaluate-runs.ts';
import type { JointComponent } from './joint-problem.ts';

/** Steps that must be made in a stretch of slots, whatever is chosen. */
export interface SlotWindow {
  /** Slots that are ready one after the other. */
  readonly slotIds: readonly string[];
  readonly steps: number;
  /** No shorter stretch within asks for anything. */
  readonly shortest: boolean;
  /** Two stretches that follow one another say as much. */
  readonly addedUp: boolean;
}

/** Something that must be covered: when it is taken, how long it must keep, how much. */
interface Taken {
  readonly fromMin: number;
  readonly toMin: number;
  /** Nothing that goes out of date before this can serve any of it. */
  readonly untilMin: number;
  readonly quantity: number;
}

/**
 * What each component must make in every stretch of its slots, whatever is chosen: the needs that only
 * those slots can serve, rounded up to whole steps, less all the stock that could serve any of them.
 * What users must make in a stretch of theirs is a need of their inputs, so that the rounding of one
 * level is carried to the next. Stretches that follow one another add up.
 *
 * These rows are implied by whole steps, and not by the linear relaxation: cover inequalities rounded
 * up (Gomory 1958; for lot sizing the (l, S) idea of Barany, Van Roy and Wolsey 1984). From memory.
 *
 * @param ordered users before inputs
 * @param runsShort how much runs may go short of a component, base units, by id
 * @returns by component id; valid for plans that meet every need of the components' own
 */
export function slotWindows(
  ordered: readonly JointComponent[],
  runsShort: ReadonlyMap<string, number> = new Map(),
): ReadonlyMap<string, readonly SlotWindow[]> {
  const windows = new Map<string, readonly SlotWindow[]>();
  for (const part of ordered) {
    const { id } = part.component;
    const own = part.needs
      .filter(({ quantity }) => quantity > 0)
      .map((need) => ({ ...need, fromMin: need.atMin, toMin: need.atMin }));
    const users = ordered.flatMap((user) =>
      (user.inputs ?? [])
        .filter(({ componentId }) => componentId === id)
        .map((input) => takenBy(user, input, windows.get(user.component.id) ?? [])),
    );
    windows.set(id, stretchesOf(part, own, users, runsShort.get(id) ?? 0));
  }
  return windows;
}

/** What a user's windows take of one of its inputs. */
function takenBy(
  user: JointComponent,
  { perUnit, limitsShelfLife }: NonNullable<JointComponent['inputs']>[number],
  windows: readonly SlotWindow[],
): readonly Taken[] {
  const slots = new Map(user.slots.map((slot) => [slot.id, slot]));
  return windows.map(({ slotIds, steps }) => {
    const its = slotIds.flatMap((id) => slots.get(id) ?? []);
    const starts = its.map(({ startMin }) => startMin);
    return {
      fromMin: Math.min(...starts),
      toMin: Math.max(...starts),
      untilMin: Math.min(...(limitsShelfLife ? its.map(({ useByMin }) => useByMin) : starts)),
      quantity: steps * stepQuantity(user.rule) * perUnit,
    };
  });
}

function stretchesOf(
  part: JointComponent,
  own: readonly Taken[],
  users: readonly (readonly Taken[])[],
  mayBeShort: number,
): readonly SlotWindow[] {
  const slots = [...part.slots].sort((a, b) => a.readyMin - b.readyMin || a.useByMin - b.useByMin);
  const step = stepQuantity(part.rule);
  const least = nothing(slots.length);
  const all = [...own, ...users.flat()];
  const froms = ascending(all.map(({ fromMin }) => fromMin));
  const tos = ascending(all.map(({ toMin }) => toMin));
  const lots = lotsOf(part);
  for (const fromMin of froms) {
    for (const toMin of tos) {
      if (toMin < fromMin) continue;
      const isIn = (one: Taken): boolean => one.fromMin >= fromMin && one.toMin <= toMin;
      const taken = [
        ...own.filter(isIn),
        // The stretches of one user overlap; the largest holds what the others ask.
        ...users.flatMap((its) => largest(its.filter(isIn)) ?? []),
      ];
      if (taken.length === 0) continue;
      const untilMin = Math.min(...taken.map((one) => one.untilMin));
      const stock = lots
        .filter((lot) => lot.availableFromMin <= toMin && lot.useByMin >= untilMin)
        .reduce((sum, { quantity }) => sum + quantity, 0);
      const open = taken.reduce((sum, one) => sum + one.quantity, 0) - stock - mayBeShort;
      if (open <= 1e-6 * step) continue;
      const to = slots.findLastIndex(({ readyMin }) => readyMin <= toMin);
      const from = slots.findIndex(({ useByMin }) => useByMin >= untilMin);
      const row = least[from];
      if (from === -1 || to < from || !row) continue;
      // Dust of added quantities must not make a step more of it.
      const steps = Math.max(minSteps(part.rule), ceilWhole(open / step - 1e-7));
      row[to] = Math.max(row[to] ?? 0, steps);
    }
  }
  addUp(least);
  return tightest(
    least,
    slots.map(({ id }) => id),
  );
}

function ascending(values: readonly number[]): readonly number[] {
  return [...new Set(values)].sort((a, b) => a - b);
}

function largest(taken: readonly Taken[]): Taken | undefined {
  return taken.reduce<Taken | undefined>(
    (best, one) => (best && best.quantity >= one.quantity ? best : one),
    undefined,
  );
}

/** Least steps in slots `from` to `to`, both counted in. */
type LeastSteps = number[][];

function nothing(count: number): LeastSteps {
  return Array.from({ length: count }, () => new Array<number>(count).fill(0));
}

const at = (least: LeastSteps, from: number, to: number): number => least[from]?.[to] ?? 0;

function mostOfTwo(least: LeastSteps, from: number, to: number): number {
  let most = 0;
  for (let cut = from; cut < to; cut += 1) {
    most = Math.max(most, at(least, from, cut) + at(least, cut + 1, to));
  }
  return most;
}

/** A stretch asks for at least what stretches within it ask for that do not overlap. */
function addUp(least: LeastSteps): void {
  for (let length = 2; length <= least.length; length += 1) {
    for (let from = 0; from + length <= least.length; from += 1) {
      const to = from + length - 1;
      const row = least[from];
      if (!row) continue;
      row[to] = Math.max(at(least, from, to), mostOfTwo(least, from, to));
    }
  }
}

/** Those that say something that no shorter one says already. */
function tightest(least: LeastSteps, slotIds: readonly string[]): readonly SlotWindow[] {
  const found: SlotWindow[] = [];
  for (const [from, row] of least.entries()) {
    for (const [to, steps] of row.entries()) {
      if (to < from || steps === 0) continue;
      const shorter = from === to ? 0 : Math.max(at(least, from + 1, to), at(least, from, to - 1));
      if (shorter === steps) continue;
      found.push({
        slotIds: slotIds.slice(from, to + 1),
        steps,
        shortest: shorter === 0,
        addedUp: mostOfTwo(least, from, to) === steps,
      });
    }
  }
  return found;
}
