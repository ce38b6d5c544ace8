import { invalid, notFound, Refusal, requireSite } from '../platform/index.ts';
import type { Actor, Clock, NewId, UnitOfWork } from '../platform/index.ts';
import { lineYield, trimYields } from './plan-recipes.ts';
import type { PlanningData, VersionRow } from './planning-data.ports.ts';
import type { PrepRepository, PrepTask, PrepWork } from './prep.ports.ts';

/** A yield this many times the planned amount is a slip of the finger, not a good day. */
const PLAUSIBLE_TIMES = 3;
/** How long a tick can be taken back. */
const UNDO_WITHIN_MS = 4 * 60 * 60_000;

export interface FinishReport {
  /** What was really made, base units. */
  readonly madeQuantity: number;
  /** Part of the task only: the rest stays to be made. */
  readonly partial: boolean;
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

  async start(actor: Actor, taskId: string): Promise<PrepTask> {
    return this.#change(actor, taskId, async (prep, task, now) => {
      const moved = await prep.moveTask(taskId, ['to_do'], {
        status: 'started',
        startedAt: now,
        doneBy: actor.name,
      });
      if (!moved) throw alreadyMoved(await prep.findTask(taskId), task);
    });
  }

  /** @throws Refusal `out-of-range` for an implausible amount, `conflict` when it is done already */
  async finish(actor: Actor, taskId: string, report: FinishReport): Promise<PrepTask> {
    return this.#change(actor, taskId, async (prep, task, now, data) => {
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
      const moved = await prep.moveTask(taskId, ['to_do', 'started'], {
        status: report.partial ? 'part_done' : 'done',
        startedAt: task.startedAt ?? now,
        finishedAt: now,
        madeQuantity: report.madeQuantity,
        doneBy: actor.name,
      });
      if (!moved) throw alreadyMoved(await prep.findTask(taskId), task);
      await this.#book(prep, task, report.madeQuantity, now, data, actor);
    });
  }

  async abandon(actor: Actor, taskId: string, reason: string): Promise<PrepTask> {
    return this.#change(actor, taskId, async (prep, task, now) => {
      const moved = await prep.moveTask(taskId, ['to_do', 'started'], {
        status: 'abandoned',
        finishedAt: now,
        reason,
        doneBy: actor.name,
      });
      if (!moved) throw alreadyMoved(await prep.findTask(taskId), task);
    });
  }

  /** Takes a tick back within four hours, while nothing of what it made has been used. */
  async undo(actor: Actor, taskId: string): Promise<PrepTask> {
    return this.#change(actor, taskId, async (prep, task, now) => {
      if (task.status === 'to_do') {
        throw new Refusal(
          'conflict',
          'This task has not been started: there is nothing to take back.',
        );
      }
      const since = task.finishedAt ?? task.startedAt;
      if (since && now.getTime() - since.getTime() > UNDO_WITHIN_MS) {
        throw new Refusal(
          'conflict',
          'This was ticked more than four hours ago. Correct the stock by counting instead.',
        );
      }
      const undone = await prep.undoTask(taskId, () => this.#deps.newId('mov'), actor.id, now);
      if (!undone) {
        throw new Refusal(
          'conflict',
          'Some of it has been used already. Correct the stock by counting instead.',
        );
      }
      await prep.moveTask(taskId, [task.status], {
        status: 'to_do',
        startedAt: null,
        finishedAt: null,
        madeQuantity: null,
        doneBy: null,
        reason: null,
      });
    });
  }

  async #change(
    actor: Actor,
    taskId: string,
    act: (prep: PrepRepository, task: PrepTask, now: Date, data: PlanningData) => Promise<void>,
  ): Promise<PrepTask> {
    const now = this.#deps.clock.now();
    return this.#deps.work.run(async ({ prep, planningData, audit }) => {
      const task = await prep.findTask(taskId);
      if (!task) throw notFound('task', taskId);
      requireSite(actor, task.siteId);
      if (task.status === 'dropped') {
        throw new Refusal(
          'conflict',
          'The plan was worked out again and does without this task. Look at the new list.',
          {
            detail: { taskId },
          },
        );
      }
      await prep.lockSite(task.siteId);
      const day = now.toISOString().slice(0, 10);
      const data = await planningData.load(task.siteId, day, day);
      if (!data) throw notFound('site', task.siteId);
      await act(prep, task, now, data);
      const after = await prep.findTask(taskId);
      if (!after) throw notFound('task', taskId);
      await audit.append({
        actor,
        action: `task ${after.status}`,
        subjectKind: 'prep task',
        subjectId: taskId,
        siteId: task.siteId,
        detail: { from: task.status, made: after.madeQuantity },
      });
      return after;
    });
  }

  /** New lots for what was made and its by-products; components and parts used come off the shelf. */
  async #book(
    prep: PrepRepository,
    task: PrepTask,
    made: number,
    now: Date,
    data: PlanningData,
    actor: Actor,
  ): Promise<void> {
    const version = data.versions.find((v) => v.versionId === task.versionId);
    if (!version) throw notFound('recipe version', task.versionId);
    const batches = made / version.outputQuantity;
    const inputsUseBy = await this.#takeInputs(prep, task, { version, batches, data }, now, actor);
    const useBy = (shelfLifeMin: number): Date =>
      new Date(Math.min(now.getTime() + shelfLifeMin * 60_000, inputsUseBy));
    const outputs = [
      { itemId: version.recipeId, quantity: made, shelfLifeMin: version.shelfLifeMin },
      ...version.byProducts.map((by) => ({
        itemId: by.componentId,
        quantity: by.quantity * batches,
        shelfLifeMin: by.shelfLifeMin,
      })),
    ];
    for (const output of outputs) {
      await prep.insertLot(
        {
          id: this.#deps.newId('lot'),
          siteId: task.siteId,
          itemKind: 'component',
          itemId: output.itemId,
          quantity: output.quantity,
          madeAt: now,
          useBy: useBy(output.shelfLifeMin),
          sourceKind: 'prep task',
          sourceId: task.id,
        },
        this.#deps.newId('mov'),
        actor.id,
        task.id,
      );
    }
  }

  /**
   * Takes what the recipe used from stock, first-expiring first; what the record does not hold was
   * there all the same, and the next count says so.
   * @returns the earliest use-by of the chilled components used, ms: what was made does not outlive
   *          them unless it was cooked again
   */
  async #takeInputs(
    prep: PrepRepository,
    task: PrepTask,
    made: { readonly version: VersionRow; readonly batches: number; readonly data: PlanningData },
    now: Date,
    actor: Actor,
  ): Promise<number> {
    const { version, batches } = made;
    const trimOf = trimYields(made.data);
    const started = Math.ceil(batches - 1e-9);
    const cookedAgain = version.steps.some((step) => step.kind === 'bake' || step.kind === 'cook');
    let earliest = Infinity;
    for (const line of version.lines) {
      const itemId = line.componentId ?? line.ingredientId;
      if (itemId === null) continue;
      let left = (line.quantity / lineYield(line, trimOf)) * (line.perBatch ? started : batches);
      for (const lot of await prep.lotsOf(task.siteId, itemId)) {
        if (left <= 1e-9) break;
        if (lot.useBy < now) continue;
        const taken = await prep.takeFromLot({
          lotId: lot.id,
          quantity: left,
          kind: 'used',
          movementId: this.#deps.newId('mov'),
          actorId: actor.id,
          taskId: task.id,
          at: now,
        });
        left -= taken;
        if (taken > 0 && line.componentId !== null && !cookedAgain) {
          earliest = Math.min(earliest, lot.useBy.getTime());
        }
      }
    }
    return earliest;
  }
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
