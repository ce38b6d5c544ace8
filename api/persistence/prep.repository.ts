import type { ExplanationGraph } from '../core/explanation/index.ts';
import type {
  IngredientNeedRow,
  NamedItem,
  PlanSummary,
  PrepPlan,
  PrepRepository,
  PrepTask,
  TaskStatus,
} from '../modules/prep/index.ts';
import type { Db } from './database.ts';
import type {
  IngredientNeed as NeedRow,
  PrepPlan as PlanRow,
  PrepTask as TaskRow,
} from './generated/client.ts';
import { fromJson, fromServiceDate, toJson, toServiceDate } from './row-values.ts';
import { inChunks } from './chunks.ts';

const toPlan = (row: PlanRow): PrepPlan => ({
  id: row.id,
  siteId: row.siteId,
  fromDate: toServiceDate(row.fromDate),
  toDate: toServiceDate(row.toDate),
  status: row.status as PrepPlan['status'],
  workedOutAt: row.workedOutAt,
  summary: fromJson<PlanSummary>(row.summary),
});

const toTask = (row: TaskRow): PrepTask => ({
  ...row,
  makeDate: toServiceDate(row.makeDate),
  status: row.status as TaskStatus,
  neededFor: fromJson<PrepTask['neededFor']>(row.neededFor),
});

const toNeed = (row: NeedRow): IngredientNeedRow => ({
  ...row,
  needDate: toServiceDate(row.needDate),
});

const taskData = (task: PrepTask) => ({
  ...task,
  makeDate: fromServiceDate(task.makeDate),
  neededFor: toJson(task.neededFor),
  cautions: [...task.cautions],
});

const byStart = [{ startBy: 'asc' }, { station: 'asc' }, { id: 'asc' }] as const;

/** Plans, tasks, their explanation, and the stock that tasks make and use. */
export function createPrepRepository(db: Db): PrepRepository {
  return {
    async currentPlan(siteId) {
      const row = await db.prepPlan.findFirst({
        where: { siteId, status: 'current' },
        orderBy: { workedOutAt: 'desc' },
      });
      return row && toPlan(row);
    },
    async plan(id) {
      const row = await db.prepPlan.findUnique({ where: { id } });
      return row && toPlan(row);
    },
    lockSite: async (siteId) =>
      void (await db.$queryRaw`SELECT pg_advisory_xact_lock(hashtext(${siteId}))::text`),
    async stockAndCovers(siteId, from) {
      const lots = await db.stockLot.findMany({
        where: { siteId, quantity: { gt: 0 }, archivedAt: null },
        select: { id: true, quantity: true, useBy: true, heldReason: true },
        orderBy: { id: 'asc' },
      });
      const ahead = { siteId, serviceDate: { gte: fromServiceDate(from) } };
      const standing = { ...ahead, removedAt: null };
      // Snapshots are only ever added; the others are taken back by marking them.
      const counts = [
        await db.coversSnapshot.count({ where: ahead }),
        await db.coversEvent.count({ where: ahead }),
        await db.coversEvent.count({ where: standing }),
        await db.coversOverride.count({ where: ahead }),
        await db.coversOverride.count({ where: standing }),
        await db.preOrder.count({ where: ahead }),
        await db.preOrder.count({ where: standing }),
      ];
      const preOrders = await db.preOrder.aggregate({ where: ahead, _sum: { rev: true } });
      return JSON.stringify([lots, counts, preOrders._sum.rev]);
    },
    insertPlan: async ({ fromDate, toDate, summary, ...plan }, inputsHash) =>
      void (await db.prepPlan.create({
        data: {
          ...plan,
          fromDate: fromServiceDate(fromDate),
          toDate: fromServiceDate(toDate),
          status: 'current',
          summary: toJson(summary),
          inputsHash,
        },
      })),
    supersedeOthers: async (siteId, currentId) =>
      void (await db.prepPlan.updateMany({
        where: { siteId, status: 'current', id: { not: currentId } },
        data: { status: 'superseded' },
      })),
    saveExplanation: async (id, planId, graph) =>
      void (await db.explanation.create({
        data: { id, subjectKind: 'prep plan', subjectId: planId, nodes: toJson(graph.nodes) },
      })),
    async explanation(planId) {
      const row = await db.explanation.findUnique({
        where: { subjectKind_subjectId: { subjectKind: 'prep plan', subjectId: planId } },
      });
      return row && { nodes: fromJson<ExplanationGraph['nodes'][number][]>(row.nodes) };
    },

    async openTasks(siteId, from) {
      const rows = await db.prepTask.findMany({
        where: {
          siteId,
          OR: [
            {
              makeDate: { gte: fromServiceDate(from) },
              status: { not: 'dropped' },
              plan: { status: 'current' },
            },
            // What somebody has begun goes on until it is ticked, whatever plan it was begun in.
            { status: 'started' },
          ],
        },
        orderBy: [...byStart],
      });
      return rows.map(toTask);
    },
    async tasksOn(siteId, date, alsoBegunBefore) {
      const rows = await db.prepTask.findMany({
        where: {
          siteId,
          OR: [
            { makeDate: fromServiceDate(date), status: { not: 'dropped' } },
            ...(alsoBegunBefore
              ? [{ makeDate: { lt: fromServiceDate(date) }, status: 'started' }]
              : []),
          ],
        },
        orderBy: [...byStart],
      });
      return rows.map(toTask);
    },
    async tasksBetween(siteId, from, to) {
      const rows = await db.prepTask.findMany({
        where: {
          siteId,
          makeDate: { gte: fromServiceDate(from), lte: fromServiceDate(to) },
          status: { not: 'dropped' },
        },
        orderBy: [...byStart],
      });
      return rows.map(toTask);
    },
    async findTask(id) {
      const row = await db.prepTask.findUnique({ where: { id } });
      return row && toTask(row);
    },
    async insertTasks(tasks) {
      for (const chunk of inChunks(tasks, 200)) {
        await db.prepTask.createMany({ data: chunk.map(taskData) });
      }
    },
    replaceTask: async (task) =>
      void (await db.prepTask.update({ where: { id: task.id }, data: taskData(task) })),
    moveTask: async (id, from, change) =>
      (
        await db.prepTask.updateMany({
          where: { id, status: { in: [...from] } },
          data: { ...change, rev: { increment: 1 } },
        })
      ).count === 1,

    siteOf: (id) => db.site.findUnique({ where: { id }, select: { name: true, zone: true } }),
    itemsOf: (ids) =>
      db.$queryRaw<NamedItem[]>`
        SELECT "id", "name", "baseUnit" FROM "recipes" WHERE "id" = ANY(${[...new Set(ids)]})
        UNION ALL
        SELECT "id", "name", "baseUnit" FROM "ingredients" WHERE "id" = ANY(${[...new Set(ids)]})`,
    async versionNumbers(versionIds) {
      const rows = await db.recipeVersion.findMany({
        where: { id: { in: [...new Set(versionIds)] } },
        select: { id: true, number: true },
      });
      return new Map(rows.map(({ id, number }) => [id, number]));
    },
    async frozenAmong(recipeIds) {
      const rows = await db.recipeVersion.findMany({
        where: {
          ...{ recipeId: { in: [...recipeIds] }, recipe: { archivedAt: null } },
          ...{ status: 'published', firstServiceDate: { not: null }, storage: 'frozen' },
        },
        select: { recipeId: true },
      });
      return new Set(rows.map(({ recipeId }) => recipeId));
    },

    async insertNeeds(needs) {
      for (const chunk of inChunks(needs, 500)) {
        await db.ingredientNeed.createMany({
          data: chunk.map((need) => ({ ...need, needDate: fromServiceDate(need.needDate) })),
        });
      }
    },
    async needsOfPlan(planId) {
      const rows = await db.ingredientNeed.findMany({
        where: { planId },
        orderBy: [{ needDate: 'asc' }, { id: 'asc' }],
      });
      return rows.map(toNeed);
    },

    async insertLot(lot, movementId, actorId, taskId) {
      await db.stockLot.create({ data: { ...lot, useByReasons: toJson(lot.useByReasons) } });
      await db.stockMovement.create({
        data: {
          id: movementId,
          lotId: lot.id,
          kind: 'made',
          quantity: lot.quantity,
          at: lot.madeAt,
          actorId,
          taskId,
        },
      });
    },
    async lotsNow(lotIds) {
      if (lotIds.length === 0) return new Map();
      const lots = await db.stockLot.findMany({
        where: { id: { in: [...new Set(lotIds)] }, archivedAt: null },
        select: { id: true, quantity: true, heldReason: true },
      });
      return new Map(
        lots.map(({ id, quantity, heldReason }) => [id, { quantity, held: heldReason !== null }]),
      );
    },
    async heldTasks(taskIds) {
      if (taskIds.length === 0) return new Set();
      const lots = await db.stockLot.findMany({
        where: {
          ...{ sourceKind: 'prep task', sourceId: { in: [...taskIds] } },
          ...{ archivedAt: null, heldReason: { not: null }, quantity: { gt: 0 } },
        },
        select: { sourceId: true },
      });
      return new Set(lots.flatMap(({ sourceId }) => sourceId ?? []));
    },
    lotsOf: (siteId, itemId) =>
      db.stockLot.findMany({
        where: { siteId, itemId, archivedAt: null, heldReason: null, quantity: { gt: 0 } },
        select: { id: true, quantity: true, useBy: true },
        orderBy: [{ useBy: 'asc' }, { id: 'asc' }],
      }),
    async takeFromLot({ lotId, quantity, kind, movementId, actorId, taskId, at }) {
      const lot = await db.stockLot.findUnique({ where: { id: lotId } });
      const taken = Math.min(quantity, lot?.quantity ?? 0);
      if (taken <= 0) return 0;
      // The condition keeps a lot from going below zero when two tasks take from it at once.
      const moved = await db.stockLot.updateMany({
        where: { id: lotId, quantity: { gte: taken } },
        data: { quantity: { decrement: taken }, rev: { increment: 1 } },
      });
      if (moved.count === 0) return 0;
      await db.stockMovement.create({
        data: { id: movementId, lotId, kind, quantity: -taken, at, actorId, taskId },
      });
      return taken;
    },
    async undoTask(taskId, movementId, actorId, at) {
      const made = await db.stockLot.findMany({
        where: { sourceKind: 'prep task', sourceId: taskId, archivedAt: null },
        include: { movements: true },
      });
      if (made.some((lot) => lot.movements.some((m) => m.kind !== 'made' && m.quantity !== 0))) {
        return 'used';
      }
      if (made.some((lot) => lot.heldReason !== null)) return 'held';
      for (const lot of made) {
        await db.stockLot.update({
          where: { id: lot.id },
          data: { quantity: 0, archivedAt: at, rev: { increment: 1 } },
        });
        await db.stockMovement.create({
          data: {
            id: movementId(),
            lotId: lot.id,
            kind: 'undone',
            quantity: -lot.quantity,
            at,
            actorId,
            taskId,
          },
        });
      }
      const used = await db.stockMovement.findMany({ where: { taskId, kind: 'used' } });
      for (const movement of used) {
        await db.stockLot.update({
          where: { id: movement.lotId },
          data: { quantity: { increment: -movement.quantity }, rev: { increment: 1 } },
        });
        await db.stockMovement.update({
          where: { id: movement.id },
          data: { kind: 'used, taken back' },
        });
        await db.stockMovement.create({
          data: {
            id: movementId(),
            lotId: movement.lotId,
            kind: 'undone',
            quantity: -movement.quantity,
            at,
            actorId,
            taskId,
          },
        });
      }
      return 'undone';
    },
  };
}
