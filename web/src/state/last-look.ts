import type { Amount, PrepList } from '../api/types.ts';
import { keep, kept } from '../offline/kept.ts';

// What this device showed of a day when its cook last said so, and what is otherwise since.

interface SeenTask {
  readonly id: string;
  readonly name: string;
  readonly amount: Amount;
  /** Missing in what an earlier version of the page kept. */
  readonly startBy?: string;
}
interface Look {
  readonly at: number;
  readonly tasks: readonly SeenTask[];
}
/** One thing that is otherwise: `from` null is new, `to` null is gone. */
export interface LookChange {
  readonly id: string;
  readonly name: string;
  readonly from: Amount | null;
  readonly to: Amount | null;
  /** Set when it is to be begun at another time than then. */
  readonly moved: { readonly from: string; readonly to: string } | null;
}
export interface LookDifference {
  readonly at: number;
  readonly changes: readonly LookChange[];
}

const keyOf = (list: PrepList): string => `look ${list.site.id} ${list.date}`;
const seenOf = (list: PrepList): (SeenTask & { startBy: string })[] =>
  list.tasks.map((task) => ({
    id: task.id,
    name: task.component.name,
    amount: task.toMake.amount,
    startBy: task.startBy,
  }));

/** Takes the list as seen. */
export async function look(list: PrepList): Promise<void> {
  await keep('answers', keyOf(list), { at: Date.now(), tasks: seenOf(list) } satisfies Look);
}

/** A start that shifts by less is the same to a cook. */
const SAME_TIME_MS = 10 * 60_000;
function movedFrom(from: string | undefined, to: string): LookChange['moved'] {
  if (from === undefined) return null;
  return Math.abs(Date.parse(from) - Date.parse(to)) < SAME_TIME_MS ? null : { from, to };
}

/** What is otherwise than when it was last seen; null when it is seen for the first time. */
export async function sinceLastLook(list: PrepList): Promise<LookDifference | null> {
  const last = await kept<Look>('answers', keyOf(list));
  if (!last) return null;
  const before = new Map(last.tasks.map((task) => [task.id, task]));
  const changes: LookChange[] = [];
  for (const task of seenOf(list)) {
    const old = before.get(task.id);
    before.delete(task.id);
    const moved = movedFrom(old?.startBy, task.startBy);
    if (old?.amount.value === task.amount.value && moved === null) continue;
    changes.push({ ...task, from: old?.amount ?? null, to: task.amount, moved });
  }
  for (const { id, name, amount } of before.values()) {
    changes.push({ id, name, from: amount, to: null, moved: null });
  }
  return { at: last.at, changes };
}
