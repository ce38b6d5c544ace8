import type {
  GoodsCarry,
  JointPurchase,
  JointPurchasesRepository,
} from '../modules/orders/index.ts';
import type { Db } from './database.ts';
import type { GoodsCarry as CarryRow, JointPurchase as PurchaseRow } from './generated/client.ts';
import {
  fromJson,
  fromOptionalDate,
  fromServiceDate,
  toDecimalString,
  toJson,
  toNullableJson,
  toOptionalDate,
  toServiceDate,
} from './row-values.ts';

const toPurchase = (row: PurchaseRow): JointPurchase => ({
  ...row,
  status: row.status as JointPurchase['status'],
  choice: row.choice as JointPurchase['choice'],
  separateCost: toDecimalString(row.separateCost),
  togetherCost: toDecimalString(row.togetherCost),
  saving: toDecimalString(row.saving),
  inputs: fromJson<JointPurchase['inputs']>(row.inputs),
  plans: fromJson<JointPurchase['plans']>(row.plans),
});

const toCarry = ({ createdAt: _at, ...row }: CarryRow): GoodsCarry => ({
  ...row,
  tripDate: toServiceDate(row.tripDate),
  usableFrom: toServiceDate(row.usableFrom),
  useBy: toOptionalDate(row.useBy),
  uses: fromJson<GoodsCarry['uses']>(row.uses),
  status: row.status as GoodsCarry['status'],
  carried: row.carried === null ? null : fromJson<GoodsCarry['carried']>(row.carried),
});

/** Joint purchases and the goods carried on by them, over Prisma. */
export function createJointPurchasesRepository(db: Db): JointPurchasesRepository {
  return {
    async latest(limit) {
      const rows = await db.jointPurchase.findMany({ orderBy: { id: 'desc' }, take: limit });
      return rows.map(toPurchase);
    },
    async find(id) {
      const row = await db.jointPurchase.findUnique({ where: { id } });
      return row && toPurchase(row);
    },
    async insert(purchase) {
      await db.jointPurchase.create({
        data: {
          ...purchase,
          siteIds: [...purchase.siteIds],
          inputs: toJson(purchase.inputs),
          plans: toJson(purchase.plans),
        },
      });
    },
    async decide(id, rev, decision) {
      const moved = await db.jointPurchase.updateMany({
        where: { id, rev, status: 'proposed' },
        data: { ...decision, rev: { increment: 1 } },
      });
      return moved.count === 1;
    },
    async carries({ siteIds, statuses, purchaseId }) {
      const rows = await db.goodsCarry.findMany({
        where: {
          ...(siteIds === 'all'
            ? {}
            : {
                OR: [{ fromSiteId: { in: [...siteIds] } }, { toSiteId: { in: [...siteIds] } }],
              }),
          ...(statuses === undefined ? {} : { status: { in: [...statuses] } }),
          ...(purchaseId === undefined ? {} : { jointPurchaseId: purchaseId }),
        },
        orderBy: [{ tripDate: 'asc' }, { id: 'asc' }],
      });
      return rows.map(toCarry);
    },
    async findCarry(id) {
      const row = await db.goodsCarry.findUnique({ where: { id } });
      return row && toCarry(row);
    },
    async insertCarries(carries) {
      await db.goodsCarry.createMany({
        data: carries.map((carry) => ({
          ...carry,
          tripDate: fromServiceDate(carry.tripDate),
          usableFrom: fromServiceDate(carry.usableFrom),
          useBy: fromOptionalDate(carry.useBy),
          uses: toJson(carry.uses),
          carried: toNullableJson(carry.carried),
        })),
      });
    },
    async changeCarry(id, rev, { uses, carried, ...rest }) {
      const moved = await db.goodsCarry.updateMany({
        where: { id, rev },
        data: {
          ...rest,
          ...(uses === undefined ? {} : { uses: toJson(uses) }),
          ...(carried === undefined ? {} : { carried: toNullableJson(carried) }),
          rev: { increment: 1 },
        },
      });
      return moved.count === 1;
    },
  };
}
