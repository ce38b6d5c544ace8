import type {
  Contract,
  ContractInput,
  SupplyGap,
  SupplyGapInput,
  SupplyTermsRepository,
} from '../modules/supply-terms/index.ts';
import type { Db } from './database.ts';
import type { SupplyContract as ContractRow, SupplyGap as GapRow } from './generated/client.ts';
import { fromOptionalDate, fromServiceDate, toOptionalDate, toServiceDate } from './row-values.ts';

const toGap = ({ createdAt: _at, ...row }: GapRow): SupplyGap => ({
  ...row,
  kind: row.kind as SupplyGap['kind'],
  fromDate: toServiceDate(row.fromDate),
  toDate: toOptionalDate(row.toDate),
});

const toContract = ({ createdAt: _at, ...row }: ContractRow): Contract => ({
  ...row,
  fromDate: toServiceDate(row.fromDate),
  toDate: toOptionalDate(row.toDate),
});

const gapData = ({ packId, ingredientId, kind, fromDate, toDate, note }: SupplyGapInput) => ({
  packId,
  ingredientId,
  kind,
  fromDate: fromServiceDate(fromDate),
  toDate: fromOptionalDate(toDate),
  note,
});

const contractData = (input: ContractInput) => ({
  siteId: input.siteId,
  supplierId: input.supplierId,
  ingredientId: input.ingredientId,
  category: input.category,
  fromDate: fromServiceDate(input.fromDate),
  toDate: fromOptionalDate(input.toDate),
  note: input.note,
});

/** Gaps of suppliers, contracts of sites and substitutes of ingredients, over Prisma. */
export function createSupplyTermsRepository(db: Db): SupplyTermsRepository {
  return {
    async gaps({ from, supplierId }) {
      const rows = await db.supplyGap.findMany({
        where: {
          ...(supplierId === undefined ? {} : { supplierId }),
          ...(from === undefined
            ? {}
            : { OR: [{ toDate: null }, { toDate: { gte: fromServiceDate(from) } }] }),
        },
        orderBy: [{ fromDate: 'asc' }, { id: 'asc' }],
      });
      return rows.map(toGap);
    },
    async findGap(id) {
      const row = await db.supplyGap.findUnique({ where: { id } });
      return row && toGap(row);
    },
    async insertGap(gap) {
      const { id, supplierId, enteredBy } = gap;
      await db.supplyGap.create({ data: { id, supplierId, enteredBy, ...gapData(gap) } });
    },
    async updateGap(id, input, rev) {
      const data = { ...gapData(input), rev: { increment: 1 } };
      return (await db.supplyGap.updateMany({ where: { id, rev }, data })).count === 1;
    },
    removeGap: async (id) => (await db.supplyGap.deleteMany({ where: { id } })).count === 1,

    async contracts({ siteIds, supplierId }) {
      const rows = await db.supplyContract.findMany({
        where: {
          ...(siteIds === 'all' ? {} : { siteId: { in: [...siteIds] } }),
          ...(supplierId === undefined ? {} : { supplierId }),
        },
        orderBy: [{ fromDate: 'asc' }, { id: 'asc' }],
      });
      return rows.map(toContract);
    },
    async findContract(id) {
      const row = await db.supplyContract.findUnique({ where: { id } });
      return row && toContract(row);
    },
    async insertContract(contract) {
      const { id, enteredBy } = contract;
      await db.supplyContract.create({ data: { id, enteredBy, ...contractData(contract) } });
    },
    async updateContract(id, input, rev) {
      const data = { ...contractData(input), rev: { increment: 1 } };
      return (await db.supplyContract.updateMany({ where: { id, rev }, data })).count === 1;
    },
    removeContract: async (id) =>
      (await db.supplyContract.deleteMany({ where: { id } })).count === 1,

    async substitutesOf(ingredientIds) {
      const rows = await db.ingredientSubstitute.findMany({
        where: { ingredientId: { in: [...ingredientIds] } },
        orderBy: [{ createdAt: 'asc' }, { id: 'asc' }],
      });
      return rows.map(({ id: _id, createdAt: _at, ...row }) => row);
    },
    async putSubstitute(id, input) {
      const { ingredientId, substituteId, ...data } = input;
      await db.ingredientSubstitute.upsert({
        where: { ingredientId_substituteId: { ingredientId, substituteId } },
        create: { id, ...input },
        update: { ...data, rev: { increment: 1 } },
      });
    },
    async removeSubstitute(ingredientId, substituteId) {
      const where = { ingredientId, substituteId };
      return (await db.ingredientSubstitute.deleteMany({ where })).count === 1;
    },
  };
}
