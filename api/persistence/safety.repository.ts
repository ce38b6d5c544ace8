import type { Breach, Reading, SafetyRepository, TaskSubject } from '../modules/safety/index.ts';
import type { Db } from './database.ts';
import type {
  PrepTask as TaskRow,
  SafetyBreach as BreachRow,
  TemperatureReading as ReadingRow,
} from './generated/client.ts';
import { fromJson, toJson, toServiceDate } from './row-values.ts';

const toReading = (row: ReadingRow): Reading => ({ ...row, kind: row.kind as Reading['kind'] });
const toBreach = (row: BreachRow): Breach => ({
  ...row,
  kind: row.kind as Breach['kind'],
  ruleSet: row.ruleSet as Breach['ruleSet'],
  judgement: fromJson<Breach['judgement']>(row.judgement),
  correction: row.correction as Breach['correction'],
  decision: row.decision as Breach['decision'],
});
const OLDEST_FIRST = [{ at: 'asc' }, { id: 'asc' }] as const;
const HOT_STEPS = ['cook', 'bake'];

/** Temperatures, breaches and what they are of, over Prisma. */
export function createSafetyRepository(db: Db): SafetyRepository {
  const subjects = async (tasks: readonly TaskRow[]): Promise<TaskSubject[]> => {
    const versions = await db.recipeVersion.findMany({
      where: { id: { in: [...new Set(tasks.map((task) => task.versionId))] } },
      include: {
        recipe: { select: { name: true } },
        steps: { select: { kind: true, cooling: true } },
      },
    });
    const byId = new Map(versions.map((version) => [version.id, version]));
    return tasks.map((task) => {
      const version = byId.get(task.versionId);
      const steps = version?.steps ?? [];
      return {
        taskId: task.id,
        siteId: task.siteId,
        name: version?.recipe.name ?? task.recipeId,
        makeDate: toServiceDate(task.makeDate),
        status: task.status,
        startedAt: task.startedAt,
        finishedAt: task.finishedAt,
        cools: steps.some((step) => step.cooling),
        course: steps.some((step) => HOT_STEPS.includes(step.kind)) ? 'cooked' : 'ambient',
      };
    });
  };
  return {
    async taskSubject(taskId) {
      const task = await db.prepTask.findUnique({ where: { id: taskId } });
      return task ? ((await subjects([task]))[0] ?? null) : null;
    },
    async coolingTasks(siteId, since) {
      const tasks = await db.prepTask.findMany({
        where: {
          siteId,
          startedAt: { gte: since },
          status: { in: ['started', 'done', 'part_done'] },
        },
        orderBy: [{ startedAt: 'asc' }, { id: 'asc' }],
      });
      return (await subjects(tasks)).filter((subject) => subject.cools);
    },
    async lotsMadeBy(taskId) {
      const lots = await db.stockLot.findMany({
        where: { sourceKind: 'prep task', sourceId: taskId, archivedAt: null },
        select: { id: true, heldReason: true },
        orderBy: { id: 'asc' },
      });
      return lots.map(({ id, heldReason }) => ({ id, held: heldReason !== null }));
    },
    async readingsOf(of) {
      return (
        await db.temperatureReading.findMany({ where: { ...of }, orderBy: [...OLDEST_FIRST] })
      ).map(toReading);
    },
    async readingsOfTasks(taskIds) {
      return (
        await db.temperatureReading.findMany({
          where: { taskId: { in: [...taskIds] } },
          orderBy: [...OLDEST_FIRST],
        })
      ).map(toReading);
    },
    async findReading(id) {
      const row = await db.temperatureReading.findUnique({ where: { id } });
      return row && toReading(row);
    },
    insertReading: async (reading) => void (await db.temperatureReading.create({ data: reading })),
    strikeReading: async (id, struck) =>
      (await db.temperatureReading.updateMany({ where: { id, struckAt: null }, data: struck }))
        .count === 1,
    async breachesOf(of) {
      const lot = 'lotId' in of ? await db.stockLot.findUnique({ where: { id: of.lotId } }) : null;
      const task = lot?.sourceKind === 'prep task' ? lot.sourceId : null;
      const rows = await db.safetyBreach.findMany({
        where: task === null ? { ...of } : { OR: [{ ...of }, { taskId: task }] },
        orderBy: [{ foundAt: 'asc' }, { id: 'asc' }],
      });
      return rows.map(toBreach);
    },
    async openBreaches(siteId) {
      const rows = await db.safetyBreach.findMany({
        where: { siteId, decision: null },
        orderBy: [{ foundAt: 'asc' }, { id: 'asc' }],
      });
      return rows.map(toBreach);
    },
    async findBreach(id) {
      const row = await db.safetyBreach.findUnique({ where: { id } });
      return row && toBreach(row);
    },
    insertBreach: async (breach) =>
      void (await db.safetyBreach.create({
        data: { ...breach, judgement: toJson(breach.judgement) },
      })),
    changeBreach: async (id, rev, change) =>
      (
        await db.safetyBreach.updateMany({
          where: { id, rev, decision: null },
          data: { ...change, rev: { increment: 1 } },
        })
      ).count === 1,
  };
}
