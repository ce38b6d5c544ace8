import type {
  BacktestSettings,
  BacktestsRepository,
  KeptBacktest,
} from '../modules/backtests/index.ts';
import type { Db } from './database.ts';
import { fromJson, toJson } from './row-values.ts';

/** Tests of the forecast with their results. */
export function createBacktestsRepository(db: Db): BacktestsRepository {
  return {
    insert: async ({ settings, result, ...rest }) =>
      void (await db.backtest.create({
        data: { ...rest, settings: toJson(settings), result: toJson(result) },
      })),
    async find(id) {
      const row = await db.backtest.findUnique({ where: { id } });
      return (
        row && {
          ...row,
          settings: fromJson<BacktestSettings>(row.settings),
          result: fromJson<KeptBacktest['result']>(row.result),
        }
      );
    },
    async ofSite(siteId, serviceId, most) {
      const rows = await db.backtest.findMany({
        where: { siteId, ...(serviceId === null ? {} : { serviceId }) },
        omit: { result: true },
        orderBy: [{ ranAt: 'desc' }, { id: 'desc' }],
        take: most,
      });
      return rows.map((row) => ({ ...row, settings: fromJson<BacktestSettings>(row.settings) }));
    },
    async keepNewest(serviceId, count) {
      const old = await db.backtest.findMany({
        where: { serviceId },
        select: { id: true },
        orderBy: [{ ranAt: 'desc' }, { id: 'desc' }],
        skip: count,
      });
      await db.backtest.deleteMany({ where: { id: { in: old.map(({ id }) => id) } } });
    },
  };
}
