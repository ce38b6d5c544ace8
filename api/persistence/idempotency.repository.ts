import { Refusal, type KeyedRequest, type MadeThing } from '../modules/platform/index.ts';
import type { Database, Db } from './database.ts';
import { Prisma } from './generated/client.ts';
import { fromJson, toJson } from './row-values.ts';

/** Keys and first answers of creating requests. Structurally an http/idempotency store. */
export function createIdempotencyStore(database: Database) {
  const table = database.prisma.idempotencyRecord;
  return {
    async take(
      actorId: string,
      key: string,
      requestHash: string,
      now: Date,
      staleBefore: Date,
    ): Promise<
      | 'taken'
      | {
          readonly requestHash: string;
          readonly answer: { status: number; body: unknown; location: string | null } | null;
          readonly landedAt: Date | null;
          readonly made: readonly MadeThing[];
        }
    > {
      for (;;) {
        const made = await table.createMany({
          data: [{ actorId, key, requestHash, createdAt: now }],
          skipDuplicates: true,
        });
        if (made.count === 1) return 'taken';
        // A request that died with its work undone must not block its own repeat for ever.
        const taken = await table.updateMany({
          where: {
            ...{ actorId, key, requestHash },
            ...{ status: null, landedAt: null, createdAt: { lt: staleBefore } },
          },
          data: { createdAt: now },
        });
        if (taken.count === 1) return 'taken';
        const row = await table.findUnique({ where: { actorId_key: { actorId, key } } });
        // Freed in between by the one that held it: take it like anybody else.
        if (!row) continue;
        return {
          requestHash: row.requestHash,
          landedAt: row.landedAt,
          made: row.made === null ? [] : fromJson<MadeThing[]>(row.made),
          answer:
            row.status === null
              ? null
              : { status: row.status, body: row.responseBody, location: row.location },
        };
      }
    },
    async keep(
      actorId: string,
      key: string,
      answer: { status: number; body: unknown; location: string | null },
    ): Promise<void> {
      await table.update({
        where: { actorId_key: { actorId, key } },
        data: {
          status: answer.status,
          responseBody: answer.body === null ? Prisma.JsonNull : toJson(answer.body),
          location: answer.location,
        },
      });
    },
    async forget(actorId: string, key: string, evenIfDone: boolean): Promise<void> {
      await table.deleteMany({
        where: { actorId, key, status: null, ...(evenIfDone ? {} : { landedAt: null }) },
      });
    },
  };
}

/** Writes what a keyed request made beside its mark, in the transaction that made it. */
export async function markMade(db: Db, { actorId, key, made }: KeyedRequest): Promise<void> {
  await db.idempotencyRecord.updateMany({ where: { actorId, key }, data: { made: toJson(made) } });
}

/**
 * Marks a keyed request as done, in the transaction of its work.
 * @throws Refusal `still-in-progress` when a later try has taken the key over meanwhile
 */
export async function markLanded(db: Db, request: KeyedRequest): Promise<void> {
  const { actorId, key, takenAt } = request;
  const { count } = await db.idempotencyRecord.updateMany({
    where: { actorId, key, createdAt: takenAt },
    data: { landedAt: request.now() },
  });
  if (count === 1) return;
  throw new Refusal(
    'still-in-progress',
    'This took so long that a repeat of it is being worked on instead.',
  );
}
