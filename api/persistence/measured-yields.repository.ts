import type {
  MeasuredKind,
  MeasuredStatus,
  MeasuredYieldRow,
  MeasuredYieldsRepository,
  YieldTarget,
} from '../modules/measured-yields/index.ts';
import { pageOf } from '../modules/platform/index.ts';
import type { Db } from './database.ts';
import type { MeasuredYield as Row } from './generated/client.ts';
import { fromServiceDate, toServiceDate } from './row-values.ts';

const toSample = (row: Row): MeasuredYieldRow => ({
  ...row,
  target: row.target as YieldTarget,
  kind: row.kind as MeasuredKind,
  status: row.status as MeasuredStatus,
  measuredOn: toServiceDate(row.measuredOn),
});

/** Weighings of test days. */
export function createMeasuredYieldsRepository(db: Db): MeasuredYieldsRepository {
  const find = async (id: string): Promise<MeasuredYieldRow | null> => {
    const row = await db.measuredYield.findUnique({ where: { id } });
    return row && toSample(row);
  };
  return {
    find,
    async insert({ measuredOn, ...row }) {
      await db.measuredYield.create({ data: { ...row, measuredOn: fromServiceDate(measuredOn) } });
    },
    async ofRecipe(recipeId) {
      const rows = await db.measuredYield.findMany({
        where: { recipeId },
        orderBy: [{ measuredOn: 'asc' }, { id: 'asc' }],
      });
      return rows.map(toSample);
    },
    async pageOfSite(siteId, { limit, after }) {
      const rows = await db.measuredYield.findMany({
        where: { siteId, ...(after === undefined ? {} : { id: { lt: after } }) },
        orderBy: { id: 'desc' },
        take: limit + 1,
      });
      return pageOf(rows.map(toSample), limit);
    },
    async decide(id, decision, rev) {
      const { count } = await db.measuredYield.updateMany({
        where: { id, rev },
        data: { ...decision, rev: { increment: 1 } },
      });
      return count === 0 ? null : find(id);
    },
  };
}
