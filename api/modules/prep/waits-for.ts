import type { PrepTask } from './prep.ports.ts';

/**
 * The tasks among these that a task waits for: those of the same list whose making goes into it and
 * is not finished. What is already in the fridge holds nothing up.
 * @param runIdOf the id of the run a task stands for, as others name it in `neededFor`
 */
export function waitsFor(
  task: PrepTask,
  tasks: readonly PrepTask[],
  runIdOf: (task: PrepTask) => string,
): readonly PrepTask[] {
  const runId = runIdOf(task);
  return tasks.filter(
    ({ id, status, neededFor }) =>
      id !== task.id &&
      (status === 'to_do' || status === 'started') &&
      neededFor.some((need) => need.kind === 'batch' && need.id === runId),
  );
}
