import type { PreOrderRow } from '../modules/forecasts/index.ts';
import type { PreOrder, PreOrdersRepository } from '../modules/pre-orders/index.ts';
import type { Db } from './database.ts';
import type { PreOrder as Row, PreOrderLine as LineRow } from './generated/client.ts';
import { fromServiceDate, toServiceDate } from './row-values.ts';

const withLines = { lines: { orderBy: { dishId: 'asc' } } } as const;

const toPreOrder = ({ lines, serviceDate, ...row }: Row & { lines: LineRow[] }): PreOrder => ({
  ...row,
  serviceDate: toServiceDate(serviceDate),
  lines: lines.map(({ dishId, portions }) => ({ dishId, portions })),
});

const between = (siteId: string, from: string, to: string) => ({
  siteId,
  removedAt: null,
  serviceDate: { gte: fromServiceDate(from), lte: fromServiceDate(to) },
});

/** The standing pre-orders of a site as forecasts and plans read them. */
export async function preOrderRows(
  db: Db,
  siteId: string,
  from: string,
  to: string,
): Promise<readonly PreOrderRow[]> {
  const rows = await db.preOrder.findMany({
    where: between(siteId, from, to),
    include: withLines,
    orderBy: [{ serviceDate: 'asc' }, { id: 'asc' }],
  });
  return rows.map(toPreOrder);
}

/** Parties that ordered beforehand. */
export function createPreOrdersRepository(db: Db): PreOrdersRepository {
  const find = async (id: string): Promise<PreOrder | null> => {
    const row = await db.preOrder.findUnique({ where: { id }, include: withLines });
    return row && toPreOrder(row);
  };
  return {
    find,
    async ofSite(siteId, from, to) {
      const rows = await db.preOrder.findMany({
        where: between(siteId, from, to),
        include: withLines,
        orderBy: [{ serviceDate: 'asc' }, { id: 'asc' }],
      });
      return rows.map(toPreOrder);
    },
    async insert({ lines, serviceDate, ...order }) {
      await db.preOrder.create({
        data: {
          ...order,
          serviceDate: fromServiceDate(serviceDate),
          lines: { create: lines.map((line) => ({ ...line })) },
        },
      });
    },
    async update(id, { lines, serviceDate, ...input }, rev) {
      const { count } = await db.preOrder.updateMany({
        where: { id, rev, removedAt: null },
        data: { ...input, serviceDate: fromServiceDate(serviceDate), rev: { increment: 1 } },
      });
      if (count === 0) return null;
      await db.preOrderLine.deleteMany({ where: { preOrderId: id } });
      await db.preOrderLine.createMany({
        data: lines.map((line) => ({ preOrderId: id, ...line })),
      });
      return find(id);
    },
    async remove(id, at) {
      const { count } = await db.preOrder.updateMany({
        where: { id, removedAt: null },
        data: { removedAt: at },
      });
      return count === 1;
    },
    async dishNames(ids) {
      const rows = await db.recipe.findMany({
        where: { id: { in: [...ids] }, kind: 'dish', archivedAt: null },
        select: { id: true, name: true },
      });
      return new Map(rows.map((row) => [row.id, row.name]));
    },
  };
}
