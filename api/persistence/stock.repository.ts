import type { BaseUnit } from '../core/quantity/index.ts';
import { measuresOf } from '../modules/ingredients/index.ts';
import { pageOf, type NewId } from '../modules/platform/index.ts';
import type {
  ItemKind,
  ItemRef,
  LotFilter,
  NewStockLot,
  StockCount,
  StockItem,
  StockLot,
  StockMovement,
  StockRepository,
  WasteLine,
} from '../modules/stock/index.ts';
import { inChunks } from './chunks.ts';
import type { Db } from './database.ts';
import type {
  Prisma,
  StockCount as CountRow,
  StockLot as LotRow,
  StockMovement as MovementRow,
} from './generated/client.ts';
import { createIngredientsRepository } from './ingredients.repository.ts';
import { fromJson, toNullableJson } from './row-values.ts';

const CHUNK = 1_000;

const toLot = ({ archivedAt, createdAt: _createdAt, useByReasons, ...row }: LotRow): StockLot => ({
  ...row,
  useByReasons:
    useByReasons === null ? null : fromJson<NonNullable<StockLot['useByReasons']>>(useByReasons),
  itemKind: row.itemKind as ItemKind,
  archived: archivedAt !== null,
});
const toMovement = (row: MovementRow): StockMovement => ({ ...row });
const WITH_ITEM = {
  lot: { select: { itemKind: true, itemId: true } },
  undoneBy: { select: { at: true } },
} as const;
const toWasteLine = ({
  lot,
  undoneBy,
  ...row
}: MovementRow & {
  readonly lot: Pick<LotRow, 'itemKind' | 'itemId'>;
  readonly undoneBy: Pick<MovementRow, 'at'> | null;
}): WasteLine => ({
  ...toMovement(row),
  itemId: lot.itemId,
  itemKind: lot.itemKind as ItemKind,
  takenBackAt: undoneBy?.at ?? null,
});
const lotData = ({ useByReasons, ...lot }: NewStockLot) => ({
  ...lot,
  useByReasons: toNullableJson(useByReasons),
});
const toCount = (row: CountRow): StockCount => ({ ...row, itemKind: row.itemKind as ItemKind });

const STATE: Readonly<Record<LotFilter['state'], (now: Date) => Prisma.StockLotWhereInput>> = {
  usable: (now) => ({ quantity: { gt: 0 }, heldReason: null, useBy: { gt: now } }),
  in_date: (now) => ({ quantity: { gt: 0 }, useBy: { gt: now } }),
  expired: (now) => ({ quantity: { gt: 0 }, useBy: { lte: now } }),
  held: () => ({ quantity: { gt: 0 }, heldReason: { not: null } }),
  used_up: () => ({ quantity: { lte: 0 } }),
  on_hand: () => ({ quantity: { gt: 0 } }),
};
const FIRST_EXPIRING: Prisma.StockLotOrderByWithRelationInput[] = [{ useBy: 'asc' }, { id: 'asc' }];

/** Lots, their movements, counts and waste, over Prisma. */
export function createStockRepository(db: Db, newId: NewId): StockRepository {
  return {
    lockSite: async (siteId) =>
      void (await db.$queryRaw`SELECT pg_advisory_xact_lock(hashtext(${siteId}))::text`),

    async lotPage(siteId, { state, itemKind, itemId }, { limit, after }, now) {
      const last =
        after === undefined ? null : await db.stockLot.findUnique({ where: { id: after } });
      const rows = await db.stockLot.findMany({
        where: {
          AND: [
            {
              siteId,
              archivedAt: null,
              ...(itemKind === undefined ? {} : { itemKind }),
              ...(itemId === undefined ? {} : { itemId }),
            },
            STATE[state](now),
            last === null
              ? {}
              : {
                  OR: [{ useBy: { gt: last.useBy } }, { useBy: last.useBy, id: { gt: last.id } }],
                },
          ],
        },
        orderBy: FIRST_EXPIRING,
        take: limit + 1,
      });
      return pageOf(rows.map(toLot), limit);
    },
    async findLot(id) {
      const row = await db.stockLot.findUnique({ where: { id } });
      return row && toLot(row);
    },
    async movementsOf(lotId) {
      const rows = await db.stockMovement.findMany({
        where: { lotId },
        orderBy: [{ at: 'asc' }, { id: 'asc' }],
      });
      return rows.map(toMovement);
    },
    async lotsOf(siteId, { itemKind, itemId }) {
      const rows = await db.stockLot.findMany({
        where: { siteId, itemKind, itemId, archivedAt: null, quantity: { gt: 0 } },
        orderBy: FIRST_EXPIRING,
      });
      return rows.map(toLot);
    },
    async usableLots(siteId) {
      const rows = await db.stockLot.findMany({
        where: { siteId, archivedAt: null, heldReason: null, quantity: { gt: 0 } },
        orderBy: FIRST_EXPIRING,
      });
      return rows.map(toLot);
    },

    async insertLots(entries) {
      for (const chunk of inChunks(entries, CHUNK)) {
        await db.stockLot.createMany({ data: chunk.map(({ lot }) => lotData(lot)) });
        await db.stockMovement.createMany({
          data: chunk.map(({ lot, movement }) => ({ ...movement, lotId: lot.id })),
        });
      }
    },
    async move(lotId, movement) {
      // The condition keeps a lot from going below zero whoever else takes from it.
      const moved = await db.stockLot.updateMany({
        where: { id: lotId, archivedAt: null, quantity: { gte: -movement.quantity } },
        data: { quantity: { increment: movement.quantity }, rev: { increment: 1 } },
      });
      if (moved.count === 0) return false;
      await db.stockMovement.create({ data: { ...movement, lotId } });
      return true;
    },
    async setHeld(lotId, reason, movement) {
      const changed = await db.stockLot.updateMany({
        where: { id: lotId, archivedAt: null, heldReason: reason === null ? { not: null } : null },
        data: { heldReason: reason, rev: { increment: 1 } },
      });
      if (changed.count === 0) return false;
      await db.stockMovement.create({ data: { ...movement, lotId } });
      return true;
    },

    async openBreachOf(lotId) {
      const lot = await db.stockLot.findUnique({ where: { id: lotId } });
      const taskId = lot?.sourceKind === 'prep task' ? lot.sourceId : null;
      const found = await db.safetyBreach.findFirst({
        where: {
          decision: null,
          OR: [{ lotId }, ...(taskId === null ? [] : [{ taskId }])],
        },
        select: { id: true },
        orderBy: { id: 'asc' },
      });
      return found?.id ?? null;
    },

    async insertCounts(counts) {
      await db.stockCount.createMany({ data: [...counts] });
    },
    async countPage(siteId, filter, { limit, after }) {
      const rows = await db.stockCount.findMany({
        where: { siteId, ...filter, ...(after === undefined ? {} : { id: { lt: after } }) },
        orderBy: { id: 'desc' },
        take: limit + 1,
      });
      return pageOf(rows.map(toCount), limit);
    },
    async wastePage(siteId, { from, before }, { limit, after }) {
      const rows = await db.stockMovement.findMany({
        where: {
          kind: 'wasted',
          lot: { siteId },
          at: {
            ...(from === undefined ? {} : { gte: from }),
            ...(before === undefined ? {} : { lt: before }),
          },
          ...(after === undefined ? {} : { id: { lt: after } }),
        },
        include: WITH_ITEM,
        orderBy: { id: 'desc' },
        take: limit + 1,
      });
      return pageOf(rows.map(toWasteLine), limit);
    },
    async wasteLines(siteId, ids) {
      const rows = await db.stockMovement.findMany({
        where: { id: { in: [...ids] }, kind: 'wasted', lot: { siteId } },
        include: WITH_ITEM,
        orderBy: { id: 'asc' },
      });
      return rows.map(toWasteLine);
    },
    async countedSince(siteId, { itemKind, itemId }, at) {
      const where = { siteId, itemKind, itemId, countedAt: { gt: at } };
      return (await db.stockCount.findFirst({ where, select: { id: true } })) !== null;
    },

    async items(refs) {
      return [...(await ingredients(db, newId, refs)), ...(await components(db, refs))];
    },
  };
}

const idsOf = (refs: readonly ItemRef[], kind: ItemKind) => [
  ...new Set(refs.filter((ref) => ref.itemKind === kind).map((ref) => ref.itemId)),
];

async function ingredients(db: Db, newId: NewId, refs: readonly ItemRef[]): Promise<StockItem[]> {
  const ids = idsOf(refs, 'ingredient');
  if (ids.length === 0) return [];
  const found = await createIngredientsRepository(db, newId).findMany(ids);
  return found.map((ingredient) => ({
    itemKind: 'ingredient',
    itemId: ingredient.id,
    name: ingredient.name,
    measures: measuresOf(ingredient),
  }));
}

/** Components are read by the newest published wording: its piece weight and density. */
async function components(db: Db, refs: readonly ItemRef[]): Promise<StockItem[]> {
  const ids = idsOf(refs, 'component');
  if (ids.length === 0) return [];
  const rows = await db.recipe.findMany({
    where: { id: { in: ids }, kind: 'component' },
    include: {
      versions: {
        where: { status: 'published' },
        orderBy: { firstServiceDate: 'desc' },
        take: 1,
        select: { pieceMassG: true, densityGPerMl: true },
      },
    },
  });
  return rows.map(({ id, name, baseUnit, versions: [version] }) => ({
    itemKind: 'component',
    itemId: id,
    name,
    measures: {
      name,
      baseUnit: baseUnit as BaseUnit,
      household: [],
      ...(typeof version?.pieceMassG === 'number' ? { pieceMassG: version.pieceMassG } : {}),
      ...(typeof version?.densityGPerMl === 'number'
        ? { densityGPerMl: version.densityGPerMl }
        : {}),
    },
  }));
}
