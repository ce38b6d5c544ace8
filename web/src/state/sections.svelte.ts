import type { PrepList } from '../api/types.ts';
import { grouped } from '../show/grouped.ts';
import { isOpen, seen, type SeenTask } from './tasks.svelte.ts';

// A day's tasks in the groups a section works through: what must be begun now, each station, and
// what was finished already. A task keeps its group while somebody works at the page, whatever is
// ticked and however late it gets: nothing moves from under a finger.

type ListTask = PrepList['tasks'][number];
type Group = 'now' | 'station' | 'finished';

export interface Section {
  readonly key: string;
  readonly group: Group;
  /** The station; null where a group is of all of them. */
  readonly station: string | null;
  readonly entries: readonly { readonly seen: SeenTask; readonly task: ListTask }[];
}

export class DaySections {
  #groups = $state.raw<Readonly<Record<string, Group>>>({});
  /** When the groups were last made, in milliseconds. */
  madeAt = $state(0);

  /** Makes the groups anew, from what holds now. */
  regroup(list: PrepList, now: number, today: string): void {
    this.#groups = {};
    this.add(list, now, today);
    this.madeAt = now;
  }

  /** Gives a group to what is new on the list; everything else keeps its own. */
  add(list: PrepList, now: number, today: string): void {
    this.#groups = Object.fromEntries(
      list.tasks.map((task) => [task.id, this.#groups[task.id] ?? groupOf(task, list, now, today)]),
    );
  }

  /** The groups that have tasks; the order within a station is that of the list. */
  of(tasks: readonly ListTask[]): readonly Section[] {
    const group = (task: ListTask): Group => this.#groups[task.id] ?? 'station';
    const entry = (task: ListTask) => ({ task, seen: seen(task) });
    const inGroup = (wanted: Group) => tasks.filter((task) => group(task) === wanted);
    return [
      { key: 'now', group: 'now', station: null, entries: byStart(inGroup('now')).map(entry) },
      ...grouped(inGroup('station'), ({ station }) => station).map(([station, own]) => ({
        key: `at ${station}`,
        group: 'station' as const,
        station,
        entries: own.map(entry),
      })),
      {
        key: 'finished',
        group: 'finished' as const,
        station: null,
        entries: byStart(inGroup('finished')).map(entry),
      },
    ].filter(({ entries }) => entries.length > 0) as Section[];
  }
}

function groupOf(task: ListTask, list: PrepList, now: number, today: string): Group {
  const { task: known } = seen(task);
  if (!isOpen(known)) return 'finished';
  const due = list.date === today && Date.parse(task.beginNowFrom) <= now;
  return known.status === 'to_do' && due ? 'now' : 'station';
}

const byStart = (tasks: readonly ListTask[]): ListTask[] =>
  [...tasks].sort((a, b) => a.startBy.localeCompare(b.startBy));
