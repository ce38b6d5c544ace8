import { pageOf } from '../modules/platform/index.ts';
import type {
  Pack,
  PackPrice,
  PackToSave,
  PriceColumns,
  Supplier,
  SupplierInput,
  SuppliersRepository,
} from '../modules/suppliers/index.ts';
import { inChunks } from './chunks.ts';
import type { Db } from './database.ts';
import { refuseDuplicates } from './database-errors.ts';
import type {
  Pack as PackRow,
  PackPrice as PriceRow,
  Supplier as SupplierRow,
  SupplierSite as SupplierSiteRow,
} from './generated/client.ts';
import { fromServiceDate, toDecimalString, toNullableJson, toServiceDate } from './row-values.ts';

/** Three parameters a row stay far under the database's limit. */
const PRICES_AT_ONCE = 500;

const withSites = { sites: { orderBy: { siteId: 'asc' } } } as const;
const withPrices = {
  supplier: { select: { currency: true } },
  prices: { orderBy: [{ validFrom: 'desc' as const }, { minPacks: 'asc' as const }] },
};

const toSupplier = (
  row: SupplierRow & { readonly sites: readonly SupplierSiteRow[] },
): Supplier => ({
  id: row.id,
  name: row.name,
  zone: row.zone,
  currency: row.currency,
  deliveryWeekdays: row.deliveryWeekdays,
  cutoff: { daysBefore: row.cutoffDaysBefore, time: row.cutoffTime },
  leadDays: row.leadDays,
  minimumOrder: toDecimalString(row.minimumOrder),
  deliveryCharge: toDecimalString(row.deliveryCharge),
  freeDeliveryFrom: row.freeDeliveryFrom === null ? null : toDecimalString(row.freeDeliveryFrom),
  minimumPacks: row.minimumPacks,
  holidays: row.holidays.map(toServiceDate),
  workingWeekdays: row.workingWeekdays,
  arrivesBy: row.arrivesBy,
  usableAfterDays: row.usableAfterDays,
  email: row.email,
  phone: row.phone,
  addressLines: row.addressLines,
  gln: row.gln,
  accountNumber: row.accountNumber,
  language: row.language as Supplier['language'],
  siteIds: row.sites.map((site) => site.siteId),
  archived: row.archivedAt !== null,
  rev: row.rev,
});

const toPrice = (row: PriceRow): PackPrice => ({
  id: row.id,
  validFrom: toServiceDate(row.validFrom),
  minPacks: row.minPacks,
  amount: toDecimalString(row.amount),
  source: row.source,
});

const toPack = (
  row: PackRow & {
    readonly prices: readonly PriceRow[];
    readonly supplier: { readonly currency: string };
  },
): Pack => ({
  id: row.id,
  supplierId: row.supplierId,
  ingredientId: row.ingredientId,
  name: row.name,
  sku: row.sku,
  gtin: row.gtin,
  content: { value: row.value, unit: row.unit },
  quantityBase: row.quantity,
  minPacks: row.minPacks,
  maxPacks: row.maxPacks,
  shelfLifeDays: row.shelfLifeDays,
  isDefault: row.isDefault,
  outOfStock: row.outOfStock,
  backOn: row.backOn === null ? null : toServiceDate(row.backOn),
  currency: row.supplier.currency,
  prices: row.prices.map(toPrice),
  archived: row.archivedAt !== null,
  rev: row.rev,
});

const supplierColumns = (input: SupplierInput) => ({
  name: input.name,
  zone: input.zone,
  currency: input.currency,
  deliveryWeekdays: [...input.deliveryWeekdays],
  cutoffDaysBefore: input.cutoff.daysBefore,
  cutoffTime: input.cutoff.time,
  leadDays: input.leadDays,
  minimumOrder: input.minimumOrder,
  deliveryCharge: input.deliveryCharge,
  freeDeliveryFrom: input.freeDeliveryFrom,
  minimumPacks: input.minimumPacks,
  holidays: input.holidays.map(fromServiceDate),
  workingWeekdays: [...input.workingWeekdays],
  arrivesBy: input.arrivesBy,
  usableAfterDays: input.usableAfterDays,
  email: input.email,
  phone: input.phone,
  addressLines: [...input.addressLines],
  gln: input.gln,
  accountNumber: input.accountNumber,
  language: input.language,
});

const packColumns = (pack: PackToSave) => ({
  ingredientId: pack.ingredientId,
  name: pack.name,
  sku: pack.sku,
  gtin: pack.gtin,
  value: pack.content.value,
  unit: pack.content.unit,
  quantity: pack.quantityBase,
  minPacks: pack.minPacks,
  maxPacks: pack.maxPacks,
  shelfLifeDays: pack.shelfLifeDays,
  isDefault: pack.isDefault,
  outOfStock: pack.outOfStock,
  backOn: pack.backOn === null ? null : fromServiceDate(pack.backOn),
});

const bump = { rev: { increment: 1 } } as const;
const archiving = (archived: boolean, at: Date) => ({ archivedAt: archived ? at : null, ...bump });

/** Suppliers, packs and prices. Updates return null when the revision is not current. */
export function createSuppliersRepository(db: Db): SuppliersRepository {
  const nameTaken = 'There is a supplier of that name already.';
  const skuTaken = 'This supplier has a pack with that article number already.';

  const find = async (id: string): Promise<Supplier | null> => {
    const row = await db.supplier.findUnique({ where: { id }, include: withSites });
    return row && toSupplier(row);
  };
  const findPack = async (id: string): Promise<Pack | null> => {
    const row = await db.pack.findUnique({ where: { id }, include: withPrices });
    return row && toPack(row);
  };
  const setSites = async (supplierId: string, siteIds: readonly string[]): Promise<void> => {
    await db.supplierSite.deleteMany({ where: { supplierId } });
    await db.supplierSite.createMany({ data: siteIds.map((siteId) => ({ supplierId, siteId })) });
  };

  return {
    find,
    findPack,
    async page({ limit, after }, archived) {
      const rows = await db.supplier.findMany({
        where: {
          ...(archived ? {} : { archivedAt: null }),
          ...(after === undefined ? {} : { id: { gt: after } }),
        },
        include: withSites,
        orderBy: { id: 'asc' },
        take: limit + 1,
      });
      return pageOf(rows.map(toSupplier), limit);
    },
    async all() {
      const rows = await db.supplier.findMany({ include: withSites, orderBy: { id: 'asc' } });
      return rows.map(toSupplier);
    },
    insert: (id, input) =>
      refuseDuplicates(nameTaken, '/name', async () => {
        await db.supplier.create({ data: { id, ...supplierColumns(input) } });
        await setSites(id, input.siteIds);
        return written(await find(id));
      }),
    update: (id, input, rev) =>
      refuseDuplicates(nameTaken, '/name', async () => {
        const { count } = await db.supplier.updateMany({
          where: { id, rev },
          data: { ...supplierColumns(input), ...bump },
        });
        if (count === 0) return null;
        await setSites(id, input.siteIds);
        return find(id);
      }),
    async setArchived(id, archived, rev, at) {
      const data = archiving(archived, at);
      const { count } = await db.supplier.updateMany({ where: { id, rev }, data });
      return count === 0 ? null : find(id);
    },

    async packPage({ limit, after }, { archived, supplierId, ingredientId }) {
      const rows = await db.pack.findMany({
        where: {
          ...(archived ? {} : { archivedAt: null }),
          ...(after === undefined ? {} : { id: { gt: after } }),
          ...(supplierId === undefined ? {} : { supplierId }),
          ...(ingredientId === undefined ? {} : { ingredientId }),
        },
        include: withPrices,
        orderBy: { id: 'asc' },
        take: limit + 1,
      });
      return pageOf(rows.map(toPack), limit);
    },
    async packsWithPrices() {
      const rows = await db.pack.findMany({
        where: { archivedAt: null, supplier: { archivedAt: null } },
        include: withPrices,
        orderBy: { id: 'asc' },
      });
      return rows.map(toPack);
    },
    async findPackBySku(supplierId, sku) {
      const row = await db.pack.findUnique({
        where: { supplierId_sku: { supplierId, sku } },
        include: withPrices,
      });
      return row && toPack(row);
    },
    async defaultPacksOf(ingredientId) {
      const rows = await db.pack.findMany({
        where: { ingredientId, isDefault: true, archivedAt: null },
        include: withPrices,
        orderBy: { id: 'asc' },
      });
      return rows.map(toPack);
    },
    insertPack: (id, supplierId, pack) =>
      refuseDuplicates(skuTaken, '/sku', async () =>
        toPack(
          await db.pack.create({
            data: { id, supplierId, ...packColumns(pack) },
            include: withPrices,
          }),
        ),
      ),
    updatePack: (id, pack, rev) =>
      refuseDuplicates(skuTaken, '/sku', async () => {
        const { count } = await db.pack.updateMany({
          where: { id, rev },
          data: { ...packColumns(pack), ...bump },
        });
        return count === 0 ? null : findPack(id);
      }),
    async setPackArchived(id, archived, rev, at) {
      const data = archiving(archived, at);
      const { count } = await db.pack.updateMany({ where: { id, rev }, data });
      return count === 0 ? null : findPack(id);
    },
    insertPrice: (id, packId, { validFrom, ...price }) =>
      refuseDuplicates('This pack has a price from that day on already.', '/validFrom', async () =>
        toPrice(
          await db.packPrice.create({
            data: { id, packId, validFrom: fromServiceDate(validFrom), ...price },
          }),
        ),
      ),
    async putPrices(prices) {
      for (const some of inChunks(prices, PRICES_AT_ONCE)) {
        await db.packPrice.deleteMany({
          where: {
            OR: some.map(({ packId, price: { validFrom, minPacks } }) => ({
              packId,
              minPacks,
              validFrom: fromServiceDate(validFrom),
            })),
          },
        });
        await db.packPrice.createMany({
          data: some.map(({ id, packId, price: { validFrom, ...price } }) => ({
            id,
            packId,
            validFrom: fromServiceDate(validFrom),
            ...price,
          })),
        });
      }
    },
    async priceColumns(supplierId) {
      const row = await db.supplier.findUnique({
        where: { id: supplierId },
        select: { priceColumns: true },
      });
      return (row?.priceColumns as PriceColumns | null | undefined) ?? null;
    },
    async setPriceColumns(supplierId, columns) {
      await db.supplier.update({
        where: { id: supplierId },
        data: { priceColumns: toNullableJson(columns) },
      });
    },
    deletePrice: async (packId, id) =>
      (await db.packPrice.deleteMany({ where: { id, packId } })).count === 1,
  };
}

function written<T>(row: T | null): T {
  if (row === null) throw new Error('A row just written was not found.');
  return row;
}
