import type { EpochMin } from '../calendar/index.ts';
import type { SitePlan } from './plan-output.ts';

/**
 * Which runs must start later because a component of theirs cannot be there: the earliest start of
 * the using component moves to when the missing one can be ready.
 *
 * @returns null when no start moves any more
 */
export function waitForComponents(
  plan: Pick<SitePlan, 'tasks' | 'shortages'>,
  notBefore: ReadonlyMap<string, EpochMin>,
): ReadonlyMap<string, EpochMin> | null {
  const tasks = new Map(plan.tasks.map((task) => [task.id, task]));
  const later = new Map(notBefore);
  let moved = false;
  for (const short of plan.shortages) {
    const user = short.usedByTask === undefined ? undefined : tasks.get(short.usedByTask);
    if (!user || short.earliestReadyMin === undefined) continue;
    const known = later.get(user.itemId) ?? 0;
    if (short.earliestReadyMin <= known || short.earliestReadyMin <= user.startMin) continue;
    later.set(user.itemId, short.earliestReadyMin);
    moved = true;
  }
  return moved ? later : null;
}
