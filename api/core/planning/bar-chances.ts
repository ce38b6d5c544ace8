import type { EpochMin, OpenInterval } from '../calendar/index.ts';
import { openAt } from '../calendar/index.ts';
import type { SitePlan } from './plan-output.ts';

/** A stretch of time in which no run of a component is to begin, bounds included. */
export interface BarredStretch {
  readonly fromMin: EpochMin;
  readonly toMin: EpochMin;
}

/** By component. */
export type BarredChances = ReadonlyMap<string, readonly BarredStretch[]>;

export function isBarred(startMin: EpochMin, barred: readonly BarredStretch[]): boolean {
  return barred.some(({ fromMin, toMin }) => startMin >= fromMin && startMin <= toMin);
}

/**
 * The chances that a plan took although a component of theirs cannot be there: the run of the user is
 * not to begin on that stretch of work up to where it did, so that the next choice takes another day.
 * What can be there later in any case is left to `waitForComponents`.
 *
 * @param barred what is barred already
 * @returns that and more, or null where nothing is added
 */
export function barWithoutInputs(
  { tasks, shortages }: Pick<SitePlan, 'tasks' | 'shortages'>,
  open: readonly OpenInterval[],
  barred: BarredChances,
): BarredChances | null {
  const byId = new Map(tasks.map((task) => [task.id, task]));
  const more = new Map(barred);
  let added = false;
  for (const short of shortages) {
    const user = short.usedByTask === undefined ? undefined : byId.get(short.usedByTask);
    if (!user || short.earliestReadyMin !== undefined) continue;
    const known = more.get(user.itemId) ?? [];
    const stretch = openAt(open, user.startMin);
    const fromMin = stretch?.fromMin ?? user.startMin;
    // A chance later that day whose work had to be moved up to where it cannot be done: not that day.
    const again = isBarred(user.startMin, known);
    const toMin = again ? (stretch?.toMin ?? user.startMin) : user.startMin;
    if (again && isBarred(toMin, known)) continue;
    more.set(user.itemId, [...known, { fromMin, toMin }]);
    added = true;
  }
  return added ? more : null;
}
