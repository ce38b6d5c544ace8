import type { LabelsRepository } from '../modules/labels/index.ts';
import type { Db } from './database.ts';

/** Who made a lot and how it is kept, over Prisma. */
export function createLabelsRepository(db: Db): LabelsRepository {
  return {
    async makingOf(lotId) {
      const lot = await db.stockLot.findUnique({ where: { id: lotId } });
      if (!lot) return { preparedBy: null, storage: null };
      const task =
        lot.sourceKind === 'prep task' && lot.sourceId !== null
          ? await db.prepTask.findUnique({ where: { id: lot.sourceId } })
          : null;
      const version = task
        ? await db.recipeVersion.findUnique({
            where: { id: task.versionId },
            include: { byProducts: true },
          })
        : await db.recipeVersion.findFirst({
            where: {
              recipeId: lot.itemId,
              status: 'published',
              firstServiceDate: { lte: lot.madeAt },
            },
            include: { byProducts: true },
            orderBy: { firstServiceDate: 'desc' },
          });
      const byProduct = version?.byProducts.find((by) => by.componentId === lot.itemId);
      return {
        preparedBy: task?.doneBy ?? null,
        storage: byProduct?.storage ?? version?.storage ?? null,
      };
    },
    async lotsOfTask(taskId) {
      const task = await db.prepTask.findUnique({ where: { id: taskId } });
      const lots = await db.stockLot.findMany({
        where: { sourceKind: 'prep task', sourceId: taskId, archivedAt: null },
        orderBy: { id: 'asc' },
      });
      const isMain = (itemId: string): number => (itemId === task?.recipeId ? 0 : 1);
      return lots.sort((a, b) => isMain(a.itemId) - isMain(b.itemId)).map((lot) => lot.id);
    },
  };
}
