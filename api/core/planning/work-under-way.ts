import type { EpochMin } from '../calendar/index.ts';
import { makingsOf, SitePlacer, sizedSteps } from '../schedule/index.ts';
import type { PlanStep, Shift, SiteEquipment } from '../schedule/index.ts';
import { stepsOf } from './production-slots.ts';

/** A task that somebody has begun and not finished. */
export interface WorkUnderWay {
  readonly taskId: string;
  readonly itemId: string;
  readonly startedMin: EpochMin;
  readonly batches: number;
  /** Makings it is done in. */
  readonly makings: number;
  readonly steps: readonly PlanStep[];
}

/**
 * Takes the people and equipment that started tasks still occupy, so that nothing new is placed on
 * them: each task's makings as soon as they go from when it was started, in working hours and on the
 * site's equipment, one task after another in the order in which they were begun.
 *
 * Hands are not asked before now (whoever has begun is at it), and nothing is taken that lies before
 * now. A task whose time is over though nobody has finished it occupies nothing.
 */
export function occupyUnderWay(
  placer: SitePlacer,
  tasks: readonly WorkUnderWay[],
  site: {
    readonly nowMin: EpochMin;
    readonly shifts: readonly Shift[];
    readonly kinds: ReadonlyMap<string, SiteEquipment>;
  },
): void {
  if (tasks.length === 0) return;
  const sorted = [...tasks].sort(
    (a, b) => a.startedMin - b.startedMin || (a.taskId < b.taskId ? -1 : 1),
  );
  const first = Math.min(site.nowMin, sorted[0]?.startedMin ?? site.nowMin);
  const begun = { date: '', fromMin: first, toMin: site.nowMin, people: Infinity };
  const atWork = new SitePlacer({
    shifts: [begun, ...site.shifts.flatMap((shift) => after(shift, site.nowMin))],
    equipment: [...site.kinds.values()],
  });
  for (const task of sorted) {
    for (const batches of makingsOf(task.batches, task.batches / Math.max(1, task.makings))) {
      const steps = sizedSteps(stepsOf(task.steps), batches, site.kinds);
      const batch = atWork.placeSoonest(steps, task.startedMin);
      if (batch === undefined) continue;
      atWork.take(steps, batch);
      placer.take(steps, batch);
    }
  }
}

function after(shift: Shift, nowMin: EpochMin): readonly Shift[] {
  return shift.toMin <= nowMin ? [] : [{ ...shift, fromMin: Math.max(shift.fromMin, nowMin) }];
}
