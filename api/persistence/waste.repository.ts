import type { WasteRepository } from '../modules/waste-expectations/index.ts';
import type { Db } from './database.ts';
import { refuseDuplicates } from './database-errors.ts';
import { fromServiceDate, toServiceDate } from './row-values.ts';

/** What sites expect to throw away, and what they did. An empty item id stands for everything. */
export function createWasteRepository(db: Db): WasteRepository {
  return {
    async statedAt(siteId) {
      const rows = await db.wasteExpectation.findMany({
        where: { siteId },
        orderBy: [{ validFrom: 'desc' }, { id: 'desc' }],
      });
      return rows.map((row) => ({
        ...row,
        itemId: row.itemId === '' ? null : row.itemId,
        validFrom: toServiceDate(row.validFrom),
      }));
    },
    async thrownAway(siteId, from, before) {
      const rows = await db.stockMovement.findMany({
        where: {
          kind: 'wasted',
          at: { gte: from, lt: before },
          lot: { siteId },
          undoneBy: { is: null },
        },
        select: { quantity: true, lot: { select: { itemId: true } } },
      });
      const thrown = new Map<string, number>();
      for (const { quantity, lot } of rows) {
        thrown.set(lot.itemId, (thrown.get(lot.itemId) ?? 0) - quantity);
      }
      return thrown;
    },
    async sold(siteId, from, to) {
      const rows = await db.dishSale.groupBy({
        by: ['dishId'],
        where: { siteId, serviceDate: { gte: fromServiceDate(from), lte: fromServiceDate(to) } },
        _sum: { portions: true },
      });
      return new Map(rows.map((row) => [row.dishId, row._sum.portions ?? 0]));
    },
    async insert({ itemId, validFrom, ...row }) {
      await refuseDuplicates('A figure holds from that date already.', '/validFrom', () =>
        db.wasteExpectation.create({
          data: { ...row, itemId: itemId ?? '', validFrom: fromServiceDate(validFrom) },
        }),
      );
    },
    async hasItem(id) {
      const ingredients = await db.ingredient.count({ where: { id } });
      return ingredients + (await db.recipe.count({ where: { id, kind: 'component' } })) > 0;
    },
  };
}
