import { SvelteMap } from 'svelte/reactivity';
import type { PrepTask } from '../api/types.ts';
import { keepAnswer } from '../offline/answers.ts';
import { outbox, put, takeBack, whenSent, type Waiting } from '../offline/outbox.svelte.ts';
import { goodAmount } from '../show/amount.ts';

/** The newest the service said of each task. */
const newest = new SvelteMap<string, PrepTask>();

/** A task as the person should see it: what waits to be sent counts as done, and is said to wait. */
export interface SeenTask {
  readonly task: PrepTask;
  readonly waits: boolean;
}

/** Remembers what the service said of a task. */
export function remember(task: PrepTask): void {
  newest.set(task.id, task);
  void keepAnswer(`/v1/prep-tasks/${task.id}`, $state.snapshot(task));
}

function whatWaits(taskId: string): Waiting[] {
  return outbox.waiting.filter((one) => one.about.kind === 'task' && one.about.taskId === taskId);
}

function after(task: PrepTask, { about, at, body }: Waiting): PrepTask {
  if (about.kind !== 'task') return task;
  const time = new Date(at).toISOString();
  if (about.act === 'start') return { ...task, status: 'started', startedAt: time };
  if (about.act === 'undo') {
    const none = { startedAt: null, finishedAt: null, made: null, doneBy: null, reason: null };
    return { ...task, ...none, status: 'to_do' };
  }
  const said = (body ?? {}) as { made?: PrepTask['made']; partial?: boolean; reason?: string };
  if (about.act === 'abandon') {
    return { ...task, status: 'abandoned', finishedAt: time, reason: said.reason ?? null };
  }
  const status = said.partial ? 'part_done' : 'done';
  return { ...task, status, finishedAt: time, made: said.made ?? null };
}

/** @returns the task with everything that is known here and not yet there */
export function seen(given: PrepTask): SeenTask {
  const last = newest.get(given.id);
  const known = last && last.rev >= given.rev ? last : given;
  const waiting = whatWaits(given.id);
  return { task: waiting.reduce(after, known), waits: waiting.length > 0 };
}

export const isOpen = (task: PrepTask): boolean =>
  task.status === 'to_do' || task.status === 'started';

type Act = Extract<Waiting['about'], { kind: 'task' }>['act'];
const say = async (task: PrepTask, act: Act, body?: unknown): Promise<void> => {
  const { id: taskId, component } = task;
  await put(`/v1/prep-tasks/${taskId}/${act}`, body, {
    kind: 'task',
    act,
    taskId,
    name: component.name,
  });
};

export const start = (task: PrepTask): Promise<void> => say(task, 'start');

/** @param made what was really made, in the unit it was asked in */
export const finish = (
  task: PrepTask,
  made: { value: number; unit: string },
  partial: boolean,
): Promise<void> => say(task, 'finish', { made, partial });

/** Finished with the amount that the list shows. */
export const finishAsPlanned = (task: PrepTask): Promise<void> =>
  finish(task, goodAmount(task.toMake.amount), false);

export const abandon = (task: PrepTask, reason: string): Promise<void> =>
  say(task, 'abandon', { reason });

/** Takes the last thing back: unsent it never leaves, sent it is undone by the service. */
export async function undo(task: PrepTask): Promise<void> {
  const last = whatWaits(task.id).at(-1);
  if (last && (await takeBack(last))) return;
  await say(task, 'undo');
}

whenSent((waiting, answer) => {
  if (waiting.about.kind === 'task' && answer !== null) remember(answer as PrepTask);
});
