import type { WorkUnderWay } from '../../core/planning/index.ts';
import { planSteps } from './plan-capacity.ts';
import { taskVersion } from './plan-recipes.ts';
import type { PlanningData } from './planning-data.ports.ts';
import type { PrepTask } from './prep.ports.ts';

/** Tasks that somebody has begun, with the steps they still go through. */
export function underWay(
  data: PlanningData,
  standing: readonly PrepTask[],
): readonly WorkUnderWay[] {
  return standing.flatMap((task) => {
    const version = task.status === 'started' ? taskVersion(data, task) : undefined;
    if (!version || task.startedAt === null) return [];
    return [
      {
        taskId: task.id,
        itemId: task.recipeId,
        startedMin: Math.floor(task.startedAt.getTime() / 60_000),
        batches: task.batches,
        makings: task.makings,
        steps: planSteps(version.steps),
      },
    ];
  });
}
