import type { AfterwardsRepository, PlanView } from '../modules/afterwards/index.ts';
import type { PlanSummary } from '../modules/prep/index.ts';
import type { Db } from './database.ts';
import { fromJson, fromServiceDate, toServiceDate } from './row-values.ts';

const MADE = ['made', 'undone'];
const MOVED = ['used', 'wasted', 'sent', 'came'];

/** What happened to stock and tasks over some days, over Prisma. */
export function createAfterwardsRepository(db: Db): AfterwardsRepository {
  return {
    async stockFacts({ siteId, from, before, fromDate, toDate }) {
      const lot = { siteId, itemKind: 'component' };
      const rows = await db.stockMovement.findMany({
        // What was written off and taken back was never waste.
        where: {
          at: { gte: from, lt: before },
          kind: { in: [...MADE, ...MOVED] },
          lot,
          NOT: { kind: 'wasted', undoneBy: { isNot: null } },
        },
        select: {
          kind: true,
          quantity: true,
          reason: true,
          lot: { select: { itemId: true, sourceKind: true } },
        },
      });
      const sales = await db.dishSale.findMany({
        where: {
          siteId,
          serviceDate: { gte: fromServiceDate(fromDate), lte: fromServiceDate(toDate) },
        },
        select: { id: true },
      });
      const sold = await db.stockMovement.findMany({
        where: { saleId: { in: sales.map((sale) => sale.id) }, lot },
        select: { quantity: true, lot: { select: { itemId: true } } },
      });
      const counts = await db.stockCount.findMany({
        where: { siteId, itemKind: 'component', countedAt: { gte: from, lt: before } },
        select: { itemId: true, drift: true },
      });
      const of = (...kinds: readonly string[]) => rows.filter((row) => kinds.includes(row.kind));
      return {
        // Taking back what was made goes out as 'undone'; what comes back as 'undone' was an input.
        made: of(...MADE)
          .filter((row) => row.kind === 'made' || row.quantity < 0)
          .map((row) => ({ itemId: row.lot.itemId, quantity: row.quantity })),
        used: of('used').map((row) => ({ itemId: row.lot.itemId, quantity: -row.quantity })),
        // What was taken back comes in as 'sent' and is no longer counted.
        sent: of('sent').map((row) => ({ itemId: row.lot.itemId, quantity: -row.quantity })),
        came: of('came').map((row) => ({ itemId: row.lot.itemId, quantity: row.quantity })),
        sold: sold.map((row) => ({ itemId: row.lot.itemId, quantity: -row.quantity })),
        wasted: of('wasted').map((row) => ({
          itemId: row.lot.itemId,
          quantity: -row.quantity,
          reason: row.reason?.split(':')[0] ?? 'other',
        })),
        drift: counts.map((count) => ({ itemId: count.itemId, quantity: count.drift })),
      };
    },
    async tasks({ siteId, fromDate, toDate }) {
      const rows = await db.prepTask.findMany({
        where: {
          siteId,
          status: { not: 'dropped' },
          makeDate: { gte: fromServiceDate(fromDate), lte: fromServiceDate(toDate) },
        },
        orderBy: { id: 'asc' },
      });
      return rows.map((row) => ({
        itemId: row.recipeId,
        status: row.status,
        planned: row.quantity,
        needed: row.neededQuantity,
        made: row.madeQuantity,
        reason: row.reason,
      }));
    },
    async planTimes({ siteId, fromDate, toDate, before }) {
      const rows = await db.prepPlan.findMany({
        where: {
          siteId,
          workedOutAt: { lt: before },
          fromDate: { lte: fromServiceDate(toDate) },
          toDate: { gte: fromServiceDate(fromDate) },
        },
        select: { id: true, workedOutAt: true, fromDate: true, toDate: true },
        orderBy: [{ workedOutAt: 'asc' }, { id: 'asc' }],
      });
      return rows.map((row) => ({
        ...row,
        fromDate: toServiceDate(row.fromDate),
        toDate: toServiceDate(row.toDate),
      }));
    },
    async plans(ids) {
      const rows = await db.prepPlan.findMany({ where: { id: { in: [...ids] } } });
      return rows.map((row): PlanView => {
        const { shortages, leftUnused } = fromJson<PlanSummary>(row.summary);
        return {
          id: row.id,
          workedOutAt: row.workedOutAt,
          fromDate: toServiceDate(row.fromDate),
          toDate: toServiceDate(row.toDate),
          short: (shortages ?? []).map(({ itemId, reason, quantity, serviceDate }) => ({
            itemId,
            reason,
            quantity,
            serviceDate,
          })),
          unused: (leftUnused ?? []).map(({ itemId, quantity, useByMin }) => ({
            itemId,
            quantity,
            useByMin,
          })),
        };
      });
    },
    async soldOut({ siteId, fromDate, toDate }) {
      const rows = await db.dishSale.findMany({
        where: {
          siteId,
          soldOutAt: { not: null },
          serviceDate: { gte: fromServiceDate(fromDate), lte: fromServiceDate(toDate) },
        },
        orderBy: [{ serviceDate: 'asc' }, { id: 'asc' }],
      });
      const dishes = await db.recipe.findMany({
        where: { id: { in: rows.map((row) => row.dishId) } },
        select: { id: true, name: true },
      });
      const services = await db.service.findMany({
        where: { siteId },
        select: { id: true, name: true },
      });
      const nameOf = new Map([...dishes, ...services].map(({ id, name }) => [id, name]));
      return rows.flatMap((row) =>
        row.soldOutAt === null
          ? []
          : [
              {
                dishName: nameOf.get(row.dishId) ?? row.dishId,
                serviceName: nameOf.get(row.serviceId) ?? row.serviceId,
                serviceDate: toServiceDate(row.serviceDate),
                soldOutAt: row.soldOutAt,
              },
            ],
      );
    },
    async components(ids) {
      const rows = await db.recipe.findMany({
        where: { id: { in: [...ids] }, kind: 'component' },
        select: { id: true, name: true, baseUnit: true },
      });
      return rows.map((row) => ({ ...row, baseUnit: row.baseUnit as 'g' | 'ml' | 'each' }));
    },
  };
}
