import type { ExplanationGraph } from '../core/explanation/index.ts';
import type { Order, OrderFilter, OrdersRepository } from '../modules/orders/index.ts';
import { pageOf } from '../modules/platform/index.ts';
import type { Db } from './database.ts';
import type { Prisma } from './generated/client.ts';
import { fromJson, fromServiceDate, toDecimalString, toJson, toServiceDate } from './row-values.ts';

const withLines = { lines: { orderBy: { id: 'asc' } } } as const;
type OrderRow = Prisma.OrderGetPayload<{ include: { lines: true } }>;

const toOrder = (row: OrderRow): Order => ({
  id: row.id,
  number: row.number,
  supplierId: row.supplierId,
  siteId: row.siteId,
  deliveryDate: toServiceDate(row.deliveryDate),
  cutoffAt: row.cutoffAt,
  status: row.status as Order['status'],
  currency: row.currency,
  total: toDecimalString(row.total),
  planId: row.planId,
  approvedAt: row.approvedAt,
  notes: row.notes,
  rev: row.rev,
  lines: row.lines.map(({ orderId: _order, ...line }) => ({
    ...line,
    unitPrice: toDecimalString(line.unitPrice),
  })),
});

function whereOf(filter: OrderFilter): Prisma.OrderWhereInput {
  return {
    ...(filter.siteIds === 'all' ? {} : { siteId: { in: [...filter.siteIds] } }),
    AND: {
      ...(filter.siteId === undefined ? {} : { siteId: filter.siteId }),
      ...(filter.supplierId === undefined ? {} : { supplierId: filter.supplierId }),
      ...(filter.status === undefined ? {} : { status: filter.status }),
      ...(filter.deliveryDate === undefined
        ? {}
        : { deliveryDate: fromServiceDate(filter.deliveryDate) }),
      ...(filter.from === undefined && filter.to === undefined
        ? {}
        : {
            AND: {
              deliveryDate: {
                ...(filter.from === undefined ? {} : { gte: fromServiceDate(filter.from) }),
                ...(filter.to === undefined ? {} : { lte: fromServiceDate(filter.to) }),
              },
            },
          }),
    },
  };
}

/** Orders with their lines and explanation, over Prisma. */
export function createOrdersRepository(db: Db): OrdersRepository {
  return {
    async page({ limit, after }, filter) {
      const rows = await db.order.findMany({
        where: { ...whereOf(filter), ...(after === undefined ? {} : { id: { gt: after } }) },
        include: withLines,
        orderBy: { id: 'asc' },
        take: limit + 1,
      });
      return pageOf(rows.map(toOrder), limit);
    },
    async matching(filter) {
      const rows = await db.order.findMany({
        where: whereOf(filter),
        include: withLines,
        orderBy: [{ deliveryDate: 'asc' }, { supplierId: 'asc' }, { siteId: 'asc' }],
      });
      return rows.map(toOrder);
    },
    async find(id) {
      const row = await db.order.findUnique({ where: { id }, include: withLines });
      return row && toOrder(row);
    },
    async insert({ lines, deliveryDate, notes, ...order }) {
      await db.order.create({
        data: {
          ...order,
          deliveryDate: fromServiceDate(deliveryDate),
          notes: [...notes],
          lines: { create: lines.map((line) => ({ ...line })) },
        },
      });
    },
    async deleteProposed(siteId) {
      const rows = await db.order.findMany({
        where: { siteId, status: 'proposed' },
        select: { id: true },
      });
      const ids = rows.map((row) => row.id);
      await db.explanation.deleteMany({ where: { subjectKind: 'order', subjectId: { in: ids } } });
      await db.order.deleteMany({ where: { id: { in: ids } } });
    },
    async saveProposed({ id, rev, total, notes, lines }) {
      const moved = await db.order.updateMany({
        where: { id, rev, status: 'proposed' },
        data: { total, notes: [...notes], rev: { increment: 1 } },
      });
      if (moved.count === 0) return false;
      for (const line of lines) {
        const { packs, changedByHand, unitPrice, surplusQuantity } = line;
        await db.orderLine.update({
          where: { id: line.id },
          data: { packs, changedByHand, unitPrice, surplusQuantity },
        });
      }
      return true;
    },
    async cancel(id, rev, notes) {
      const moved = await db.order.updateMany({
        where: { id, rev, status: { in: ['proposed', 'approved', 'sent'] } },
        data: { status: 'cancelled', notes: [...notes], rev: { increment: 1 } },
      });
      return moved.count === 1;
    },
    async approve(id, rev, supplierId, by, at) {
      // One approval at a time for a supplier, so that its numbers have no gap and no repeat.
      await db.$queryRaw`SELECT pg_advisory_xact_lock(hashtext(${supplierId}))::text`;
      const last = await db.order.aggregate({ where: { supplierId }, _max: { number: true } });
      const moved = await db.order.updateMany({
        where: { id, rev, status: 'proposed' },
        data: {
          status: 'approved',
          number: (last._max.number ?? 0) + 1,
          approvedBy: by,
          approvedAt: at,
          rev: { increment: 1 },
        },
      });
      return moved.count === 1;
    },
    async saveExplanation(id, orderId, graph) {
      await db.explanation.create({
        data: { id, subjectKind: 'order', subjectId: orderId, nodes: toJson(graph.nodes) },
      });
    },
    async explanation(orderId) {
      const row = await db.explanation.findUnique({
        where: { subjectKind_subjectId: { subjectKind: 'order', subjectId: orderId } },
      });
      return row && { nodes: fromJson<ExplanationGraph['nodes'][number][]>(row.nodes) };
    },
    ingredientLots: (siteId) =>
      db.stockLot.findMany({
        where: {
          siteId,
          itemKind: 'ingredient',
          archivedAt: null,
          heldReason: null,
          quantity: { gt: 0 },
        },
        select: { id: true, itemId: true, quantity: true, useBy: true },
        orderBy: [{ useBy: 'asc' }, { id: 'asc' }],
      }),
  };
}
