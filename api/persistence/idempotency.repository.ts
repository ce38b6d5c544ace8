import type { Database } from './database.ts';
import { Prisma } from './generated/client.ts';
import { toJson } from './row-values.ts';

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
        }
    > {
      const made = await table.createMany({
        data: [{ actorId, key, requestHash, createdAt: now }],
        skipDuplicates: true,
      });
      if (made.count === 1) return 'taken';
      // A request that died without an answer must not block its own repeat for ever.
      const taken = await table.updateMany({
        where: { actorId, key, requestHash, status: null, createdAt: { lt: staleBefore } },
        data: { createdAt: now },
      });
      if (taken.count === 1) return 'taken';
      const row = await table.findUnique({ where: { actorId_key: { actorId, key } } });
      if (!row) return 'taken';
      return {
        requestHash: row.requestHash,
        answer:
          row.status === null
            ? null
            : { status: row.status, body: row.responseBody, location: row.location },
      };
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
    async forget(actorId: string, key: string): Promise<void> {
      await table.deleteMany({ where: { actorId, key, status: null } });
    },
  };
}
