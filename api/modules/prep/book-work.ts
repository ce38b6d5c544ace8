import { ruleSetOf, useByOf, type InputUseBy, type Storage } from '../../core/safety/index.ts';
import { notFound, orRefuse } from '../platform/index.ts';
import type { Actor, NewId } from '../platform/index.ts';
import { lineYield, trimYields, taskVersion } from './plan-recipes.ts';
import type { PlanningData, VersionRow } from './planning-data.ports.ts';
import type { PrepRepository, PrepTask } from './prep.ports.ts';

/** A task that was carried out. */
export interface DoneWork {
  readonly task: PrepTask;
  /** Base units really made. */
  readonly made: number;
  /** When it was really finished. */
  readonly at: Date;
  /** A limit was not kept while it was made: the lots are held back. */
  readonly heldReason: string | null;
}

const MS_PER_MIN = 60_000;
const HELD_REASON_LENGTH = 200;
const HOT_STEPS = ['bake', 'cook'];

/**
 * Writes work into stock: what the recipe used comes off the shelf, first-expiring first, and new
 * lots are made of the component and its by-products, each with its use-by and why.
 */
export async function bookWork(
  prep: PrepRepository,
  newId: NewId,
  actor: Actor,
  data: PlanningData,
  work: DoneWork,
): Promise<void> {
  const version = taskVersion(data, work.task);
  if (!version) throw notFound('recipe version', work.task.versionId);
  const batches = work.made / version.outputQuantity;
  const inputs = await takeInputs(prep, newId, actor, data, { work, version, batches });
  const useByFor = (shelfLifeMin: number, storage: Storage) =>
    orRefuse(
      useByOf({
        madeAtMin: work.at.getTime() / MS_PER_MIN,
        shelfLifeMin,
        storage,
        rules: ruleSetOf(data.site.ruleSet),
        zone: data.site.zone,
        inputs,
        cookedAfter: version.steps.some((step) => HOT_STEPS.includes(step.kind)),
      }),
    );
  const outputs = [
    { itemId: version.recipeId, quantity: work.made, ...version },
    ...version.byProducts.map((by) => ({
      ...by,
      itemId: by.componentId,
      quantity: by.quantity * batches,
    })),
  ];
  for (const { itemId, quantity, shelfLifeMin, storage } of outputs) {
    const useBy = useByFor(shelfLifeMin, storage);
    await prep.insertLot(
      {
        id: newId('lot'),
        siteId: work.task.siteId,
        itemKind: 'component',
        itemId,
        quantity,
        madeAt: work.at,
        useBy: new Date(Math.round(useBy.useByMin * MS_PER_MIN)),
        sourceKind: 'prep task',
        sourceId: work.task.id,
        heldReason: work.heldReason?.slice(0, HELD_REASON_LENGTH) ?? null,
        useByReasons: useBy.reasons,
      },
      newId('mov'),
      actor.id,
      work.task.id,
    );
  }
}

/**
 * Takes what the recipe used from stock, first-expiring first; held lots and those past their use-by
 * at the time are left alone. What the record does not hold was there all the same, and the next
 * count says so.
 * @returns the use-by of every lot something was taken from
 */
async function takeInputs(
  prep: PrepRepository,
  newId: NewId,
  actor: Actor,
  data: PlanningData,
  made: { readonly work: DoneWork; readonly version: VersionRow; readonly batches: number },
): Promise<readonly InputUseBy[]> {
  const { work, version, batches } = made;
  const trimOf = trimYields(data);
  const names = new Map([...data.recipes, ...data.ingredients].map(({ id, name }) => [id, name]));
  const started = Math.ceil(batches - 1e-9);
  const inputs: InputUseBy[] = [];
  for (const line of version.lines) {
    const itemId = line.componentId ?? line.ingredientId;
    if (itemId === null) continue;
    let left = (line.quantity / lineYield(line, trimOf)) * (line.perBatch ? started : batches);
    for (const lot of await prep.lotsOf(work.task.siteId, itemId)) {
      if (left <= 1e-9) break;
      if (lot.useBy <= work.at) continue;
      const taken = await prep.takeFromLot({
        lotId: lot.id,
        quantity: left,
        kind: 'used',
        movementId: newId('mov'),
        actorId: actor.id,
        taskId: work.task.id,
        at: work.at,
      });
      left -= taken;
      if (taken <= 0) continue;
      inputs.push({
        name: names.get(itemId) ?? itemId,
        lotId: lot.id,
        useByMin: lot.useBy.getTime() / MS_PER_MIN,
      });
    }
  }
  return inputs;
}
