import type { AttemptsRepository, SessionsRepository } from '../modules/access/index.ts';
import type { Db } from './database.ts';

/** Sessions; who is behind one is found by `door.ts`. */
export function createSessionsRepository(db: Db): SessionsRepository {
  return {
    async insert(session) {
      await db.session.create({ data: { ...session, lastSeenAt: session.createdAt } });
    },
    async touch(id, at) {
      await db.session.updateMany({ where: { id }, data: { lastSeenAt: at } });
    },
    async deleteBySecret(secretHash) {
      await db.session.deleteMany({ where: { secretHash } });
    },
    async deleteOfUser(userId) {
      await db.session.deleteMany({ where: { userId } });
    },
    async deleteExpired(now, idleSince) {
      await db.session.deleteMany({
        where: { OR: [{ expiresAt: { lte: now } }, { lastSeenAt: { lte: idleSince } }] },
      });
    },
  };
}

/** Sign-in attempts in windows; one statement adds and reads, so that replicas count together. */
export function createAttemptsRepository(db: Db): AttemptsRepository {
  return {
    async add(key, now, windowMs) {
      const cutoff = new Date(now.getTime() - windowMs);
      const [row] = await db.$queryRaw<{ attempts: number; windowStart: Date }[]>`
        INSERT INTO "sign_in_attempts" AS a ("key", "windowStart", "attempts")
        VALUES (${key}, ${now}, 1)
        ON CONFLICT ("key") DO UPDATE SET
          "attempts" = CASE WHEN a."windowStart" <= ${cutoff} THEN 1 ELSE a."attempts" + 1 END,
          "windowStart" = CASE WHEN a."windowStart" <= ${cutoff} THEN ${now} ELSE a."windowStart" END
        RETURNING "attempts", "windowStart"`;
      if (!row) throw new Error('An attempt could not be counted.');
      return row;
    },
    async peek(key, now, windowMs) {
      const row = await db.signInAttempt.findUnique({ where: { key } });
      if (!row || row.windowStart.getTime() <= now.getTime() - windowMs) {
        return { attempts: 0, windowStart: now };
      }
      return { attempts: row.attempts, windowStart: row.windowStart };
    },
    async clear(keys) {
      await db.signInAttempt.deleteMany({ where: { key: { in: [...keys] } } });
    },
    async deleteBefore(at) {
      await db.signInAttempt.deleteMany({ where: { windowStart: { lt: at } } });
    },
  };
}
