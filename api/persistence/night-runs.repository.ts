import type { NightRun, NightRunsRepository } from '../modules/night-work/index.ts';
import type { Db } from './database.ts';
import type { NightRun as Row } from './generated/client.ts';
import { fromServiceDate, toServiceDate } from './row-values.ts';

const toRun = ({ kind, outcome, date, ...rest }: Row): NightRun => ({
  ...rest,
  kind: kind as NightRun['kind'],
  outcome: outcome as NightRun['outcome'],
  date: toServiceDate(date),
});

/** The record of night work, by which many processes share it out. */
export function createNightRunsRepository(db: Db): NightRunsRepository {
  return {
    async claim({ kind, key, date }, { now, goneBefore, maxAttempts }) {
      // One statement: of any number of processes that ask at once, one gets a row back.
      const taken = await db.$queryRaw<{ attempts: number }[]>`
        INSERT INTO "night_runs" AS run ("kind", "key", "date", "startedAt")
        VALUES (${kind}, ${key}, ${fromServiceDate(date)}::date, ${now})
        ON CONFLICT ("kind", "key", "date") DO UPDATE
        SET "startedAt" = EXCLUDED."startedAt", "endedAt" = NULL, "outcome" = NULL,
            "attempts" = run."attempts" + 1
        WHERE run."attempts" < ${maxAttempts}
          AND (run."outcome" = 'failed' OR (run."outcome" IS NULL AND run."startedAt" < ${goneBefore}))
        RETURNING "attempts"`;
      return taken[0]?.attempts ?? null;
    },
    async end({ kind, key, date }, outcome, detail, now) {
      await db.nightRun.update({
        where: { kind_key_date: { kind, key, date: fromServiceDate(date) } },
        data: { outcome, detail, endedAt: now },
      });
    },
    async since(date) {
      const rows = await db.nightRun.findMany({ where: { date: { gte: fromServiceDate(date) } } });
      return rows.map(toRun);
    },
    async latest(limit) {
      const rows = await db.nightRun.findMany({
        orderBy: [{ startedAt: 'desc' }, { kind: 'asc' }, { key: 'asc' }],
        take: limit,
      });
      return rows.map(toRun);
    },
    async forgetBefore(instant) {
      const answers = await db.idempotencyRecord.deleteMany({
        where: { createdAt: { lt: instant } },
      });
      const runs = await db.nightRun.deleteMany({ where: { startedAt: { lt: instant } } });
      return answers.count + runs.count;
    },
  };
}
