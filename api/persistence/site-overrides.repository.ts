import type {
  OverrideKind,
  OverrideStatus,
  SiteOverride,
  SiteOverridesRepository,
} from '../modules/recipes/index.ts';
import type { Db } from './database.ts';
import type { SiteOverride as Row } from './generated/client.ts';
import { fromOptionalDate, fromServiceDate, toOptionalDate, toServiceDate } from './row-values.ts';

const toOverride = (row: Row): SiteOverride => ({
  ...row,
  what: row.what as OverrideKind,
  status: row.status as OverrideStatus,
  fromDate: toServiceDate(row.fromDate),
  endsBefore: toOptionalDate(row.endsBefore),
});

/** What sites do otherwise than the group's recipes. */
export function createSiteOverridesRepository(db: Db): SiteOverridesRepository {
  const find = async (id: string): Promise<SiteOverride | null> => {
    const row = await db.siteOverride.findUnique({ where: { id } });
    return row && toOverride(row);
  };
  return {
    find,
    async standing(siteId) {
      const rows = await db.siteOverride.findMany({
        where: { status: 'standing', ...(siteId === undefined ? {} : { siteId }) },
        orderBy: { id: 'asc' },
      });
      return rows.map(toOverride);
    },
    async list(of) {
      const rows = await db.siteOverride.findMany({ where: of, orderBy: { id: 'desc' } });
      return rows.map(toOverride);
    },
    async insert({ fromDate, endsBefore, allergens, ...row }) {
      await db.siteOverride.create({
        data: {
          ...row,
          allergens: [...allergens],
          fromDate: fromServiceDate(fromDate),
          endsBefore: fromOptionalDate(endsBefore),
        },
      });
    },
    async change(id, { fromDate, endsBefore, ...change }, rev) {
      const { count } = await db.siteOverride.updateMany({
        where: { id, rev },
        data: {
          ...change,
          ...(fromDate === undefined ? {} : { fromDate: fromServiceDate(fromDate) }),
          ...(endsBefore === undefined ? {} : { endsBefore: fromOptionalDate(endsBefore) }),
          rev: { increment: 1 },
        },
      });
      return count === 0 ? null : find(id);
    },
  };
}
