import type { LotLink } from '../core/tracing/index.ts';
import type { SentRecord } from '../modules/central-production/index.ts';
import type { TracedLot, TracingRepository } from '../modules/tracing/index.ts';
import type { Db } from './database.ts';
import type { Prisma } from './generated/client.ts';
import { fromJson, toServiceDate } from './row-values.ts';

const MADE = 'prep task';
/** A lot moved from another site names the lot it was taken from. */
const MOVED = 'transfer';
const SOLD = ['sold', 'sale corrected'];
const CODE_MIN = 4;

/** Lots, what they went into and what they came from, over Prisma. */
export function createTracingRepository(db: Db): TracingRepository {
  return {
    async findByCode(code, siteIds, limit) {
      const ends =
        code.length >= CODE_MIN ? [{ id: { endsWith: code, mode: 'insensitive' as const } }] : [];
      const found = await db.stockLot.findMany({
        where: {
          ...(siteIds === 'all' ? {} : { siteId: { in: [...siteIds] } }),
          OR: [
            { supplierLot: { equals: code, mode: 'insensitive' } },
            { supplierLot: { startsWith: code, mode: 'insensitive' } },
            { id: code },
            ...ends,
          ],
        },
        select: { id: true },
        orderBy: [{ madeAt: 'desc' }, { id: 'desc' }],
        take: limit,
      });
      return tracedLots(
        db,
        found.map((lot) => lot.id),
      );
    },
    lots: (ids) => tracedLots(db, ids),
    async onTheWay() {
      const sent = await db.transfer.findMany({
        where: { status: 'sent' },
        select: { sent: true },
      });
      const lots = sent.flatMap((row) =>
        row.sent === null ? [] : fromJson<SentRecord>(row.sent).lots,
      );
      return new Set(lots.map(({ lotId }) => lotId));
    },

    async linksFrom(lotIds) {
      const used = await db.stockMovement.findMany({
        where: { lotId: { in: [...lotIds] }, kind: 'used', taskId: { not: null } },
      });
      const made = await lotsOfTasks(db, { taskIds: used.map((m) => m.taskId ?? '') });
      const moved = await db.stockLot.findMany({
        where: { sourceKind: MOVED, sourceId: { in: [...lotIds] } },
        include: { movements: { orderBy: { at: 'asc' }, take: 1 } },
      });
      return [
        ...used.flatMap((movement) =>
          (made.get(movement.taskId ?? '') ?? []).map((toLotId) => ({
            fromLotId: movement.lotId,
            toLotId,
            quantity: -movement.quantity,
            taskId: movement.taskId,
          })),
        ),
        ...moved.map((lot) => ({
          fromLotId: lot.sourceId ?? '',
          toLotId: lot.id,
          quantity: lot.movements[0]?.quantity ?? lot.quantity,
          taskId: null,
        })),
      ];
    },

    async linksTo(lotIds) {
      const lots = await db.stockLot.findMany({
        where: { id: { in: [...lotIds] } },
        include: { movements: { orderBy: { at: 'asc' }, take: 1 } },
      });
      const made = lots.filter((lot) => lot.sourceKind === MADE && lot.sourceId !== null);
      const used = await db.stockMovement.findMany({
        where: { taskId: { in: made.map((lot) => lot.sourceId ?? '') }, kind: 'used' },
      });
      const links: LotLink[] = made.flatMap((lot) =>
        used
          .filter((movement) => movement.taskId === lot.sourceId)
          .map((movement) => ({
            fromLotId: movement.lotId,
            toLotId: lot.id,
            quantity: -movement.quantity,
            taskId: movement.taskId,
          })),
      );
      for (const lot of lots) {
        if (lot.sourceKind !== MOVED || lot.sourceId === null) continue;
        const quantity = lot.movements[0]?.quantity ?? lot.quantity;
        links.push({ fromLotId: lot.sourceId, toLotId: lot.id, quantity, taskId: null });
      }
      return links;
    },

    async servicesOf(lotIds) {
      const drawn = await db.stockMovement.groupBy({
        by: ['lotId', 'saleId'],
        where: { lotId: { in: [...lotIds] }, kind: { in: SOLD }, saleId: { not: null } },
        _sum: { quantity: true },
      });
      const sales = await db.dishSale.findMany({
        where: { id: { in: drawn.map((row) => row.saleId ?? '') } },
      });
      const byId = new Map(sales.map((sale) => [sale.id, sale]));
      const services = await names(
        db.service.findMany({
          where: { id: { in: sales.map((sale) => sale.serviceId) } },
          select: { id: true, name: true },
        }),
      );
      const dishes = await names(
        db.recipe.findMany({
          where: { id: { in: sales.map((sale) => sale.dishId) } },
          select: { id: true, name: true },
        }),
      );
      const sites = await names(db.site.findMany({ select: { id: true, name: true } }));
      return drawn.flatMap((row) => {
        const sale = byId.get(row.saleId ?? '');
        const quantity = -(row._sum.quantity ?? 0);
        if (!sale || quantity <= 1e-6) return [];
        return [
          {
            lotId: row.lotId,
            saleId: sale.id,
            siteId: sale.siteId,
            siteName: sites.get(sale.siteId) ?? sale.siteId,
            serviceId: sale.serviceId,
            serviceName: services.get(sale.serviceId) ?? sale.serviceId,
            serviceDate: toServiceDate(sale.serviceDate),
            dishId: sale.dishId,
            dishName: dishes.get(sale.dishId) ?? sale.dishId,
            portions: sale.portions,
            quantity,
          },
        ];
      });
    },

    dishesWith: (itemIds) =>
      db.recipe.findMany({
        where: {
          kind: 'dish',
          versions: {
            some: {
              status: 'published',
              lines: {
                some: {
                  OR: [
                    { componentId: { in: [...itemIds] } },
                    { ingredientId: { in: [...itemIds] } },
                  ],
                },
              },
            },
          },
        },
        select: { id: true, name: true },
        orderBy: { name: 'asc' },
      }),
  };
}

async function names(
  rows: Promise<readonly { readonly id: string; readonly name: string }[]>,
): Promise<ReadonlyMap<string, string>> {
  return new Map((await rows).map(({ id, name }) => [id, name]));
}

async function lotsOfTasks(
  db: Db,
  { taskIds }: { readonly taskIds: readonly string[] },
): Promise<ReadonlyMap<string, readonly string[]>> {
  const lots = await db.stockLot.findMany({
    where: { sourceKind: MADE, sourceId: { in: [...new Set(taskIds)] }, archivedAt: null },
    select: { id: true, sourceId: true },
    orderBy: { id: 'asc' },
  });
  const byTask = new Map<string, string[]>();
  for (const { id, sourceId } of lots) {
    const own = byTask.get(sourceId ?? '') ?? [];
    own.push(id);
    byTask.set(sourceId ?? '', own);
  }
  return byTask;
}

const WITH_MOVEMENTS = { movements: true } satisfies Prisma.StockLotInclude;

async function tracedLots(db: Db, ids: readonly string[]): Promise<TracedLot[]> {
  const rows = await db.stockLot.findMany({
    where: { id: { in: [...ids] } },
    include: WITH_MOVEMENTS,
    orderBy: [{ madeAt: 'desc' }, { id: 'desc' }],
  });
  const itemIds = rows.map((row) => row.itemId);
  const select = { id: true, name: true, baseUnit: true } as const;
  const items = new Map(
    [
      ...(await db.recipe.findMany({ where: { id: { in: itemIds } }, select })),
      ...(await db.ingredient.findMany({ where: { id: { in: itemIds } }, select })),
    ].map((item) => [item.id, item]),
  );
  const sites = await names(db.site.findMany({ select: { id: true, name: true } }));
  const suppliers = await supplierNames(db, rows);
  return rows.map((row) => {
    const item = items.get(row.itemId);
    const sum = (...kinds: readonly string[]): number =>
      row.movements
        .filter((movement) => kinds.includes(movement.kind))
        .reduce((total, movement) => total + movement.quantity, 0);
    const [first, ...later] = [...row.movements].sort((a, b) => a.id.localeCompare(b.id));
    const counted = later
      .filter((movement) => movement.kind === 'counted')
      .reduce((total, movement) => total + movement.quantity, 0);
    return {
      id: row.id,
      siteId: row.siteId,
      siteName: sites.get(row.siteId) ?? row.siteId,
      itemKind: row.itemKind as TracedLot['itemKind'],
      itemId: row.itemId,
      itemName: item?.name ?? row.itemId,
      baseUnit: (item?.baseUnit ?? 'each') as TracedLot['baseUnit'],
      madeAt: row.madeAt,
      useBy: row.useBy,
      sourceKind: row.sourceKind,
      supplierLot: row.supplierLot,
      supplierName: suppliers.get(row.id) ?? null,
      heldReason: row.heldReason,
      left: row.quantity,
      came: first?.quantity ?? row.quantity,
      used: 0 - sum('used'),
      sold: 0 - sum(...SOLD),
      wasted: 0 - sum('wasted', 'waste-undone'),
      sent: 0 - sum('sent'),
      unexplained: Math.max(0, 0 - counted),
    };
  });
}

/** The supplier of a lot that came with a delivery. */
async function supplierNames(
  db: Db,
  lots: readonly {
    readonly id: string;
    readonly sourceKind: string;
    readonly sourceId: string | null;
  }[],
): Promise<ReadonlyMap<string, string>> {
  const delivered = lots.filter((lot) => lot.sourceKind === 'received' && lot.sourceId !== null);
  if (delivered.length === 0) return new Map();
  const deliveries = await db.delivery.findMany({
    where: { id: { in: delivered.map((lot) => lot.sourceId ?? '') } },
    select: { id: true, orderId: true },
  });
  const orders = await db.order.findMany({
    where: { id: { in: deliveries.map((delivery) => delivery.orderId) } },
    select: { id: true, supplierId: true },
  });
  const suppliers = await names(
    db.supplier.findMany({
      where: { id: { in: orders.map((order) => order.supplierId) } },
      select: { id: true, name: true },
    }),
  );
  const supplierOf = new Map(orders.map((order) => [order.id, suppliers.get(order.supplierId)]));
  const orderOf = new Map(deliveries.map((delivery) => [delivery.id, delivery.orderId]));
  return new Map(
    delivered.flatMap((lot) => {
      const name = supplierOf.get(orderOf.get(lot.sourceId ?? '') ?? '');
      return name === undefined ? [] : [[lot.id, name] as const];
    }),
  );
}
