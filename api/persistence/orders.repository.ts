import type { ExplanationGraph } from '../core/explanation/index.ts';
import type {
  ApprovalLimitsRepository,
  Delivery,
  KeptOrderRun,
  Order,
  OrderFilter,
  OrderInvoice,
  OrdersRepository,
} from '../modules/orders/index.ts';
import { pageOf } from '../modules/platform/index.ts';
import type { Db } from './database.ts';
import { refuseDuplicates } from './database-errors.ts';
import type { Prisma } from './generated/client.ts';
import {
  fromJson,
  fromServiceDate,
  toDecimalString,
  toJson,
  toNullableJson,
  toServiceDate,
} from './row-values.ts';

const OPEN_ALREADY =
  'There is an open order for this delivery already. Change that one, or take the next delivery.';
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
  deliveryCharge: toDecimalString(row.deliveryCharge),
  planId: row.planId,
  choice: row.choice === null ? null : fromJson<Order['choice']>(row.choice),
  lastRefresh: row.lastRefresh === null ? null : fromJson<Order['lastRefresh']>(row.lastRefresh),
  history: fromJson<Order['history']>(row.history),
  approvedBy: row.approvedBy,
  approvedAt: row.approvedAt,
  sentAt: row.sentAt,
  supplierRef: row.supplierRef,
  notes: row.notes,
  rev: row.rev,
  lines: row.lines.map(({ orderId: _order, uses, ...line }) => ({
    ...line,
    unitPrice: toDecimalString(line.unitPrice),
    uses: uses === null ? [] : fromJson<Order['lines'][number]['uses']>(uses),
  })),
});

const headOf = ({ lines: _lines, ...order }: Order) => ({
  ...order,
  deliveryDate: fromServiceDate(order.deliveryDate),
  method: order.choice?.method ?? null,
  gap: order.choice?.gap ?? null,
  choice: toNullableJson(order.choice),
  lastRefresh: toNullableJson(order.lastRefresh),
  history: toJson(order.history),
  notes: [...order.notes],
});

const lineOf = (line: Order['lines'][number]) => ({ ...line, uses: toJson(line.uses) });

function whereOf(filter: OrderFilter): Prisma.OrderWhereInput {
  const { siteIds, siteId, supplierId, status, statuses, deliveryDate, from, to } = filter;
  const dated = from !== undefined || to !== undefined;
  return {
    AND: [
      siteIds === 'all' ? {} : { siteId: { in: [...siteIds] } },
      siteId === undefined ? {} : { siteId },
      supplierId === undefined ? {} : { supplierId },
      status === undefined ? {} : { status },
      statuses === undefined ? {} : { status: { in: [...statuses] } },
      deliveryDate === undefined ? {} : { deliveryDate: fromServiceDate(deliveryDate) },
      !dated
        ? {}
        : {
            deliveryDate: {
              ...(from === undefined ? {} : { gte: fromServiceDate(from) }),
              ...(to === undefined ? {} : { lte: fromServiceDate(to) }),
            },
          },
    ],
  };
}

type DeliveryRow = Prisma.DeliveryGetPayload<object>;
const toDelivery = (row: DeliveryRow): Delivery => ({
  ...row,
  date: toServiceDate(row.date),
  lines: fromJson<Delivery['lines']>(row.lines),
  findings: fromJson<Delivery['findings']>(row.findings),
});

type InvoiceRow = Prisma.OrderInvoiceGetPayload<object>;
const toInvoice = (row: InvoiceRow): OrderInvoice => ({
  ...row,
  date: toServiceDate(row.date),
  lines: fromJson<OrderInvoice['lines']>(row.lines),
  deliveryCharge: toDecimalString(row.deliveryCharge),
  findings: fromJson<OrderInvoice['findings']>(row.findings),
  creditDue: toDecimalString(row.creditDue),
});

/** Orders with their lines, explanation, deliveries and invoices, over Prisma. */
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
    insert: (order) =>
      refuseDuplicates(OPEN_ALREADY, '/deliveryDate', async () => {
        const lines = { create: order.lines.map(lineOf) };
        await db.order.create({ data: { ...headOf(order), lines } });
      }),
    async save(order, rev) {
      const { id, ...head } = headOf(order);
      const moved = await refuseDuplicates(OPEN_ALREADY, '/deliveryDate', () =>
        db.order.updateMany({ where: { id, rev }, data: head }),
      );
      if (moved.count === 0) return false;
      await db.orderLine.deleteMany({
        where: { orderId: id, id: { notIn: order.lines.map((line) => line.id) } },
      });
      for (const line of order.lines) {
        const { id: lineId, ...data } = lineOf(line);
        await db.orderLine.upsert({
          where: { id: lineId },
          create: { id: lineId, orderId: id, ...data },
          update: data,
        });
      }
      return true;
    },
    async remove(id) {
      await db.explanation.deleteMany({ where: { subjectKind: 'order', subjectId: id } });
      await db.order.deleteMany({ where: { id, number: null } });
    },
    async nextNumber(supplierId) {
      // One approval at a time for a supplier, so that its numbers have no gap and no repeat.
      await db.$queryRaw`SELECT pg_advisory_xact_lock(hashtext(${supplierId}))::text`;
      const last = await db.order.aggregate({ where: { supplierId }, _max: { number: true } });
      return (last._max.number ?? 0) + 1;
    },
    async saveExplanation(id, orderId, graph) {
      const nodes = toJson(graph.nodes);
      await db.explanation.upsert({
        where: { subjectKind_subjectId: { subjectKind: 'order', subjectId: orderId } },
        create: { id, subjectKind: 'order', subjectId: orderId, nodes },
        update: { nodes },
      });
    },
    async explanation(orderId) {
      const row = await db.explanation.findUnique({
        where: { subjectKind_subjectId: { subjectKind: 'order', subjectId: orderId } },
      });
      return row && { nodes: fromJson<ExplanationGraph['nodes'][number][]>(row.nodes) };
    },
    async saveRun({ siteId, ...run }) {
      const data = {
        ...run,
        shortfalls: toJson(run.shortfalls),
        additions: toJson(run.additions),
        warnings: [...run.warnings],
      };
      await db.orderRun.upsert({
        where: { siteId },
        create: { siteId, ...data },
        update: data,
      });
    },
    async lastRuns(siteIds) {
      const rows = await db.orderRun.findMany({
        where: siteIds === 'all' ? {} : { siteId: { in: [...siteIds] } },
        orderBy: { siteId: 'asc' },
      });
      return rows.map((row) => ({
        ...row,
        // Runs kept before dishes were named say nothing of them.
        shortfalls: fromJson<KeptOrderRun['shortfalls']>(row.shortfalls).map((short) => ({
          ...{ whole: false, dishes: [] },
          ...short,
        })),
        additions: fromJson<KeptOrderRun['additions']>(row.additions),
      }));
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

    async insertDelivery(delivery) {
      await db.delivery.create({
        data: {
          ...delivery,
          date: fromServiceDate(delivery.date),
          lines: toJson(delivery.lines),
          findings: toJson(delivery.findings),
        },
      });
    },
    async deliveriesOf(orderIds) {
      if (orderIds.length === 0) return [];
      const rows = await db.delivery.findMany({
        where: { orderId: { in: [...orderIds] } },
        orderBy: [{ receivedAt: 'asc' }, { id: 'asc' }],
      });
      return rows.map(toDelivery);
    },
    async insertInvoice(invoice) {
      await db.orderInvoice.create({
        data: {
          ...invoice,
          date: fromServiceDate(invoice.date),
          lines: toJson(invoice.lines),
          findings: toJson(invoice.findings),
        },
      });
    },
    async invoicesOf(orderId) {
      const rows = await db.orderInvoice.findMany({
        where: { orderId },
        orderBy: [{ enteredAt: 'asc' }, { id: 'asc' }],
      });
      return rows.map(toInvoice);
    },

    async groupName() {
      const rows = await db.groupSetting.findMany({
        where: { key: { in: ['group-name', 'demo'] } },
      });
      for (const key of ['group-name', 'demo']) {
        const value = rows.find((row) => row.key === key)?.value;
        if (typeof value === 'string') return value;
        const named = fromJson<{ name?: unknown } | null>(value ?? null);
        if (typeof named?.name === 'string') return named.name;
      }
      return null;
    },
  };
}

/** Who may approve how much, over Prisma. */
export function createApprovalLimitsRepository(db: Db): ApprovalLimitsRepository {
  const read = async (where: Prisma.ApprovalLimitWhereInput) => {
    const rows = await db.approvalLimit.findMany({
      where,
      orderBy: [{ subject: 'asc' }, { currency: 'asc' }],
    });
    return rows.map(({ id, subject, currency, amount }) => ({
      id,
      subject,
      currency,
      amount: toDecimalString(amount),
    }));
  };
  return {
    all: () => read({}),
    of: (subjects) => read({ subject: { in: [...subjects] } }),
    async put({ id, subject, currency, amount }) {
      await db.approvalLimit.upsert({
        where: { subject_currency: { subject, currency } },
        create: { id, subject, currency, amount },
        update: { amount, rev: { increment: 1 } },
      });
    },
    remove: async (id) => (await db.approvalLimit.deleteMany({ where: { id } })).count === 1,
  };
}
