import { invalid, momentAgo, notFound, Refusal, requireSite } from '../platform/index.ts';
import type { Actor, Clock, NewId, UnitOfWork } from '../platform/index.ts';
import { bookWork } from './book-work.ts';
import type { PrepTask, PrepWork } from './prep.ports.ts';

/** A yield this many times the planned amount is a slip of the finger, not a good day. */
const PLAUSIBLE_TIMES = 3;
/** How long a tick can be taken back. */
const UNDO_WITHIN_MS = 4 * 60 * 60_000;
/** Two tablets that count minutes each for themselves may differ by this much. */
const ROUNDING_MS = 5 * 60_000;

export interface FinishReport {
  /** What was really made, base units. */
  readonly madeQuantity: number;
  /** Part of the task only: the rest stays to be made. */
  readonly partial: boolean;
  /** How long ago it was really finished: its use-by counts from there. Now when left out. */
  readonly minutesAgo?: number;
}

export interface TaskWorkDependencies {
  readonly work: UnitOfWork<PrepWork>;
  readonly clock: Clock;
  readonly newId: NewId;
}

/**
 * What a chef does with a task: start, finish with what was made, abandon, take back. Finishing
 * makes stock lots with a use-by and takes the components used, first-expiring first. Two tablets
 * that tick one task: the first counts, the second is told so.
 */
export class TaskWorkService {
  readonly #deps: TaskWorkDependencies;

  constructor(deps: TaskWorkDependencies) {
    this.#deps = deps;
  }

  async start(actor: Actor, taskId: string, minutesAgo = 0): Promise<PrepTask> {
    return this.#change(actor, taskId, async ({ prep }, task, now) => {
      const moved = await prep.moveTask(taskId, ['to_do'], {
        status: 'started',
        startedAt: momentAgo(now, minutesAgo),
        tickedAt: now,
        doneBy: actor.name,
      });
      if (!moved) throw alreadyMoved(await prep.findTask(taskId), task);
    });
  }

  /** @throws Refusal `out-of-range` for an implausible amount, `conflict` when it is done already */
  async finish(actor: Actor, taskId: string, report: FinishReport): Promise<PrepTask> {
    return this.#change(actor, taskId, async (inside, task, now) => {
      const { prep } = inside;
      if (!(report.madeQuantity > 0)) {
        throw invalid('/made/value', 'Say how much was made; to give the task up, abandon it.');
      }
      if (report.madeQuantity > task.quantity * PLAUSIBLE_TIMES) {
        throw new Refusal(
          'out-of-range',
          `That is more than ${PLAUSIBLE_TIMES} times what was planned. Check the amount and its unit.`,
          {
            issues: [{ pointer: '/made/value', message: 'Implausibly much.' }],
            detail: { planned: task.quantity, made: report.madeQuantity },
          },
        );
      }
      const at = finishedAt(task, momentAgo(now, report.minutesAgo ?? 0));
      const breaches = await inside.safety.breachesOf({ taskId });
      if (breaches.some(({ decision }) => decision === 'thrown away')) {
        throw new Refusal('conflict', 'This was to be thrown away: give the task up instead.');
      }
      const moved = await prep.moveTask(taskId, ['to_do', 'started'], {
        status: report.partial ? 'part_done' : 'done',
        startedAt: task.startedAt ?? at,
        finishedAt: at,
        tickedAt: now,
        madeQuantity: report.madeQuantity,
        doneBy: actor.name,
      });
      if (!moved) throw alreadyMoved(await prep.findTask(taskId), task);
      const open = breaches.find(({ decision }) => decision === null);
      const day = now.toISOString().slice(0, 10);
      const data = await inside.planningData.load(task.siteId, day, day);
      if (!data) throw notFound('site', task.siteId);
      await bookWork(prep, this.#deps.newId, actor, data, {
        task,
        made: report.madeQuantity,
        at,
        heldReason: open?.message ?? null,
      });
    });
  }

  async abandon(actor: Actor, taskId: string, reason: string, minutesAgo = 0): Promise<PrepTask> {
    return this.#change(actor, taskId, async ({ prep }, task, now) => {
      const moved = await prep.moveTask(taskId, ['to_do', 'started'], {
        status: 'abandoned',
        finishedAt: momentAgo(now, minutesAgo),
        tickedAt: now,
        reason,
        doneBy: actor.name,
      });
      if (!moved) throw alreadyMoved(await prep.findTask(taskId), task);
    });
  }

  /** Takes a tick back within four hours, while nothing of what it made has been used. */
  async undo(actor: Actor, taskId: string): Promise<PrepTask> {
    return this.#change(actor, taskId, async ({ prep }, task, now) => {
      if (task.status === 'to_do') {
        throw new Refusal(
          'conflict',
          'This task has not been started: there is nothing to take back.',
        );
      }
      const since = task.tickedAt ?? task.finishedAt ?? task.startedAt;
      if (since && now.getTime() - since.getTime() > UNDO_WITHIN_MS) {
        throw new Refusal(
          'conflict',
          'This was ticked more than four hours ago. Correct the stock by counting instead.',
        );
      }
      const undone = await prep.undoTask(taskId, () => this.#deps.newId('mov'), actor.id, now);
      if (undone === 'held') {
        throw new Refusal(
          'conflict',
          'It is held back: a lead releases it or has it thrown away, and then it can be taken back.',
        );
      }
      if (undone === 'used') {
        throw new Refusal(
          'conflict',
          'Some of it has been used already. Correct the stock by counting instead.',
        );
      }
      const moved = await prep.moveTask(taskId, [task.status], {
        status: 'to_do',
        startedAt: null,
        finishedAt: null,
        tickedAt: now,
        madeQuantity: null,
        doneBy: null,
        reason: null,
      });
      // Ticked by another tablet meanwhile: its lot must not go while its tick stays.
      if (!moved) throw alreadyMoved(await prep.findTask(taskId), task);
    });
  }

  async #change(
    actor: Actor,
    taskId: string,
    act: (inside: PrepWork, task: PrepTask, now: Date) => Promise<void>,
  ): Promise<PrepTask> {
    const now = this.#deps.clock.now();
    return this.#deps.work.run(async (inside) => {
      const { prep, audit } = inside;
      const found = await prep.findTask(taskId);
      if (!found) throw notFound('task', taskId);
      requireSite(actor, found.siteId);
      await prep.lockSite(found.siteId);
      // Read anew behind the lock: whoever held it may have ticked this very task.
      const task = (await prep.findTask(taskId)) ?? found;
      if (task.status === 'dropped') {
        throw new Refusal(
          'conflict',
          'The plan was worked out again and does without this task. Look at the new list.',
          {
            detail: { taskId },
          },
        );
      }
      await act(inside, task, now);
      const after = await prep.findTask(taskId);
      if (!after) throw notFound('task', taskId);
      await audit.append({
        actor,
        action: `task ${after.status}`,
        subjectKind: 'prep task',
        subjectId: taskId,
        siteId: task.siteId,
        detail: {
          from: task.status,
          made: after.madeQuantity,
          reason: after.reason,
          at: (after.finishedAt ?? after.startedAt)?.toISOString() ?? null,
        },
      });
      return after;
    });
  }
}

/**
 * When it was finished: never before it was started.
 * @throws Refusal `invalid-input` when the two ticks contradict each other
 */
function finishedAt({ startedAt }: PrepTask, at: Date): Date {
  if (startedAt === null || at >= startedAt) return at;
  if (startedAt.getTime() - at.getTime() <= ROUNDING_MS) return startedAt;
  throw invalid(
    '/minutesAgo',
    'It was started later than that: it cannot have been finished before.',
  );
}

function alreadyMoved(now: PrepTask | null, before: PrepTask): Refusal {
  const status = (now ?? before).status.replace('_', ' ');
  const by = now?.doneBy ? ` by ${now.doneBy}` : '';
  return new Refusal(
    'conflict',
    `This task is ${status} already${by}. Nothing was counted twice.`,
    {
      detail: { status: now?.status ?? before.status, doneBy: now?.doneBy ?? null },
    },
  );
}
