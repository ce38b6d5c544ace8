import type { z } from 'zod';
import { beginNowFrom, sectionOrder, type PlannedTask } from '../../core/planning/index.ts';
import type { IngredientNeedRow, PrepPlan, PrepTask } from './prep.ports.ts';
import type { PlanSchema, PrepListSchema, TaskSchema } from './prep.schema.ts';
import type { FridgeNow, PrepList } from './read-list.ts';
import { waitsFor } from './waits-for.ts';

// Maps plans to the wire. Amounts stay in the base unit and unrounded: the page decides how to show them.

type Names = PrepList['names'];
type TaskBody = z.infer<typeof TaskSchema>;

const UNIT = { g: 'g', ml: 'mL', each: '{each}' } as const;
const instant = (minutes: number): string => new Date(minutes * 60_000).toISOString();

/** Said on every list: what the figures cannot decide. */
export const SAFETY_NOTICE =
  'Use-by and cooling figures help, and never replace, your food-safety plan, local codes and licensed practice. When in doubt, throw it out.';

function named(names: Names, id: string) {
  return { id, name: names.get(id)?.name ?? id };
}

function amount(names: Names, id: string, value: number) {
  return { value, unit: UNIT[names.get(id)?.baseUnit ?? 'each'] };
}

/** What a plan takes from a lot, with what the lot holds now: it may be eaten, thrown away or held since. */
export function stockUse(
  use: PrepPlan['summary']['stockUses'][number],
  names: Names,
  { lots }: FridgeNow,
) {
  const now = lots.get(use.lotId);
  return {
    lotId: use.lotId,
    item: named(names, use.itemId),
    amount: amount(names, use.itemId, use.quantity),
    useBy: instant(use.useByMin),
    left: amount(names, use.itemId, now?.quantity ?? 0),
    held: now?.held ?? false,
  };
}

export function toTaskBody(
  task: PrepTask,
  names: Names,
  versionNumbers: ReadonlyMap<string, number>,
  stockUses: PrepPlan['summary']['stockUses'] = [],
  fridge: FridgeNow = { lots: new Map(), heldTasks: new Set() },
  runIdOf: (task: PrepTask) => string = runIdFromNode,
): TaskBody {
  const of = (value: number) => amount(names, task.recipeId, value);
  const runId = runIdOf(task);
  return {
    id: task.id,
    siteId: task.siteId,
    planId: task.planId,
    component: named(names, task.recipeId),
    version: { id: task.versionId, number: versionNumbers.get(task.versionId) ?? null },
    station: task.station,
    makeDate: task.makeDate,
    startBy: task.startBy.toISOString(),
    readyBy: task.readyBy.toISOString(),
    useBy: task.useBy.toISOString(),
    batches: task.batches,
    makings: task.makings,
    toMake: { amount: of(task.quantity), node: task.quantityNode },
    needed: of(task.neededQuantity),
    neededNode: task.neededNode,
    batchesNode: task.batchesNode,
    neededFor: task.neededFor.map((need) => ({
      kind: need.kind,
      label: need.label,
      serviceDate: need.serviceDate,
      at: instant(need.atMin),
      amount: of(need.quantity),
    })),
    useFirst: stockUses
      .filter((use) => use.usedBy.kind === 'batch' && use.usedBy.id === runId)
      .map((use) => stockUse(use, names, fridge)),
    status: task.status,
    cautions: [...task.cautions],
    changed:
      task.changedAt === null
        ? null
        : {
            at: task.changedAt.toISOString(),
            from: task.previousQuantity === null ? null : of(task.previousQuantity),
          },
    held: fridge.heldTasks.has(task.id),
    made: task.madeQuantity === null ? null : of(task.madeQuantity),
    startedAt: task.startedAt?.toISOString() ?? null,
    finishedAt: task.finishedAt?.toISOString() ?? null,
    doneBy: task.doneBy,
    reason: task.reason,
    rev: task.rev,
  };
}

/** A planned run's id is the stem of its nodes (see core/planning). */
function runIdFromNode(task: PrepTask): PlannedTask['id'] {
  return task.batchesNode.replace(/:batches(-chosen)?$/, '');
}

export function toPlanBody(plan: PrepPlan, names: Names): z.infer<typeof PlanSchema> {
  const { services, portions, shortages, warnings, taskIds, tight = [], solution } = plan.summary;
  return {
    id: plan.id,
    siteId: plan.siteId,
    fromDate: plan.fromDate,
    toDate: plan.toDate,
    status: plan.status,
    workedOutAt: plan.workedOutAt.toISOString(),
    services: services.map((service) => ({
      slotId: service.slotId,
      serviceId: service.serviceId,
      name: service.name,
      serviceDate: service.serviceDate,
      startsAt: service.startsAt,
      booked: service.booked,
      covers: {
        expected: service.coversMean,
        low: service.coversLow,
        high: service.coversHigh,
        lowNode: service.coversLowNode,
        highNode: service.coversHighNode,
        node: service.coversNode,
        method: service.method,
        forecastId: service.forecastId ?? null,
        overrideId: service.overrideId ?? null,
      },
      portions: portions
        .filter((p) => p.serviceSlotId === service.slotId)
        .map((p) => ({ dish: named(names, p.dishId), portions: p.portions, node: p.node })),
    })),
    shortages: shortages.map((short) => ({
      item: named(names, short.itemId),
      amount: amount(names, short.itemId, short.quantity),
      serviceDate: short.serviceDate,
      at: instant(short.atMin),
      neededBy: short.neededBy,
      reason: short.reason,
      message: short.message,
      node: short.node,
    })),
    warnings: [...warnings],
    tight: tight.map((run) => ({
      item: named(names, run.itemId),
      kind: run.kind,
      dueAt: instant(run.dueMin),
      lateMin: run.lateMin,
      lacks: run.by,
      equipmentKind: run.equipmentKind ?? null,
      message: run.message,
    })),
    solution: solution
      ? {
          method: solution.method,
          costMin: solution.costMin,
          handsMin: solution.handsMin ?? null,
          boundMin: solution.boundMin,
          gapFraction: solution.gap,
        }
      : null,
    taskIds: [...taskIds],
  };
}

export function toPrepListBody(list: PrepList): z.infer<typeof PrepListSchema> {
  const { plan, names, date } = list;
  const body = toPlanBody(plan, names);
  const dayOf = (minutes: number): string =>
    new Intl.DateTimeFormat('en-CA', { timeZone: list.zone }).format(new Date(minutes * 60_000));
  return {
    site: { id: list.siteId, zone: list.zone },
    date,
    plan: { id: plan.id, workedOutAt: body.workedOutAt },
    services: body.services.filter((service) => service.serviceDate === date),
    tasks: sectionOrder(list.tasks).map((task) => ({
      ...toTaskBody(task, names, list.versionNumbers, plan.summary.stockUses, list.fridge),
      beginNowFrom: beginNowFrom(task).toISOString(),
      waitsFor: waitsFor(task, list.tasks, runIdFromNode).map((before) => ({
        taskId: before.id,
        component: named(names, before.recipeId),
        readyBy: before.readyBy.toISOString(),
        started: before.status === 'started',
      })),
    })),
    useFirst: plan.summary.stockUses
      .filter((use) => dayOf(use.usedBy.atMin) === date)
      .map((use) => ({
        ...stockUse(use, names, list.fridge),
        usedBy: use.usedBy.label,
        at: instant(use.usedBy.atMin),
      })),
    shortages: body.shortages.filter((short) => short.serviceDate === date),
    tight: body.tight.filter((run) => dayOf(Date.parse(run.dueAt) / 60_000) === date),
    solution: body.solution,
    throwAway: plan.summary.leftUnused
      .filter((lot) => dayOf(lot.useByMin) <= date)
      .map((lot) => ({
        lotId: lot.lotId,
        item: named(names, lot.itemId),
        amount: amount(names, lot.itemId, lot.quantity),
        useBy: instant(lot.useByMin),
      })),
    warnings: body.warnings,
    notice: SAFETY_NOTICE,
  };
}

export function toNeedsBody(planId: string, rows: readonly IngredientNeedRow[], names: Names) {
  return {
    planId,
    items: rows.map((row) => ({
      ingredient: named(names, row.ingredientId),
      needDate: row.needDate,
      at: row.at.toISOString(),
      amount: amount(names, row.ingredientId, row.quantity),
      certain: amount(names, row.ingredientId, row.certainQuantity),
      drivenBy: row.drivenBy === null ? null : named(names, row.drivenBy),
      node: row.node,
    })),
  };
}
