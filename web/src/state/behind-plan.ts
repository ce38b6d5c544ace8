import type { Amount, PrepList } from '../api/types.ts';
import { isOpen, seen, type SeenTask } from './tasks.svelte.ts';

// What has happened since a list was worked out that it does not reckon with: a making that gave less, or
// was given up, and lots it takes from that were held back, emptied or lost something meanwhile.

type Use = PrepList['useFirst'][number];
type LotUse = Pick<Use, 'lotId' | 'amount' | 'left' | 'held'>;

/** One thing the list does not know of. `amount` of `of`: made, or left in the fridge. */
export interface Behind {
  readonly id: string;
  readonly name: string;
  readonly kind: 'part' | 'less' | 'given-up' | 'made-held' | 'held' | 'left';
  readonly amount: Amount;
  readonly of: Amount;
}

/** A scale is no finer: less than this part missing is nothing to plan anew for. */
const NOTHING_MISSING = 0.02;
const BASE: Readonly<Record<string, { unit: string; times: number }>> = {
  kg: { unit: 'g', times: 1000 },
  L: { unit: 'mL', times: 1000 },
};
const inBase = ({ value, unit }: Amount): Amount => ({
  value: value * (BASE[unit]?.times ?? 1),
  unit: BASE[unit]?.unit ?? unit,
});
const lacks = (there: Amount, wanted: Amount): boolean =>
  inBase(there).value < inBase(wanted).value * (1 - NOTHING_MISSING);

/** What a lot is short of for what the list takes from it. */
export type LotTrouble = 'held' | 'gone' | 'less';
/** A list kept by an earlier version of the page says nothing of the lot: nothing is known to be wrong. */
export function troubleOf({ amount, left, held }: LotUse): LotTrouble | null {
  if (held) return 'held';
  if (!(left as Amount | undefined) || !lacks(left, amount)) return null;
  return left.value > 0 ? 'less' : 'gone';
}

function ofTask({ task, waits }: SeenTask, workedOutAt: string): Behind | null {
  const about = { id: task.id, name: task.component.name };
  // However long ago it was made: a plan may know of it, whoever reads the list must.
  if (task.held && task.made !== null) {
    return { ...about, kind: 'made-held', amount: task.made, of: task.made };
  }
  if (!waits && (task.finishedAt === null || task.finishedAt < workedOutAt)) return null;
  const planned = task.toMake.amount;
  if (task.status === 'abandoned') {
    return { ...about, kind: 'given-up', amount: planned, of: planned };
  }
  if (task.made === null) return null;
  if (task.status === 'part_done') {
    return { ...about, kind: 'part', amount: task.made, of: planned };
  }
  const less = task.status === 'done' && lacks(task.made, task.needed);
  return less ? { ...about, kind: 'less', amount: task.made, of: task.needed } : null;
}

/** What services that have not begun take: a list names it together with what tasks take. */
function takenByServices(list: PrepList, now: number): Use[] {
  const byTasks = list.tasks.flatMap((task) => task.useFirst);
  return list.useFirst.filter((use) => {
    const own = byTasks.findIndex(
      (one) => one.lotId === use.lotId && one.amount.value === use.amount.value,
    );
    if (own >= 0) byTasks.splice(own, 1);
    return own < 0 && Date.parse(use.at) > now;
  });
}

/** Tasks so late to start that their ready times, and those of what waits for them, no longer hold. */
const TOO_LATE_MS = 15 * 60_000;
export const tooLate = (list: PrepList, now: number): number =>
  list.tasks.filter((given) => {
    const { task } = seen(given);
    return task.status === 'to_do' && Date.parse(task.startBy) < now - TOO_LATE_MS;
  }).length;

/** @returns what the list of a day does not reckon with, in the order of its tasks, then of its lots */
export function behindPlan(list: PrepList, now: number): Behind[] {
  const tasks = list.tasks.map(seen);
  const found = tasks
    .map((one) => ofTask(one, list.plan.workedOutAt))
    .filter((one) => one !== null);
  const open = tasks.filter(({ task }) => isOpen(task)).flatMap(({ task }) => task.useFirst);
  const lots = new Map<string, Behind & { readonly held: boolean }>();
  for (const use of [...open, ...takenByServices(list, now)]) {
    if (!(use.left as Amount | undefined)) continue;
    const before = lots.get(use.lotId)?.of.value ?? 0;
    lots.set(use.lotId, {
      id: use.lotId,
      name: use.item.name,
      kind: use.held ? 'held' : 'left',
      held: use.held,
      amount: use.left,
      of: { ...use.amount, value: before + use.amount.value },
    });
  }
  return [...found, ...[...lots.values()].filter((lot) => lot.held || lacks(lot.amount, lot.of))];
}
