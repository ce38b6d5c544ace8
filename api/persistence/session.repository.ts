import type {
  AttemptsRepository,
  LiveSession,
  SessionsRepository,
} from '../modules/access/index.ts';
import type { Role } from '../modules/platform/index.ts';
import type { Db } from './database.ts';

interface SessionRow {
  id: string;
  csrfToken: string;
  lastSeenAt: Date;
  expiresAt: Date;
  userId: string;
  name: string;
  role: string;
  allSites: boolean;
  siteIds: string[];
}

/** Sessions: one query finds the session, the person and their sites. */
export function createSessionsRepository(db: Db): SessionsRepository {
  return {
    async insert(session) {
      await db.session.create({ data: { ...session, lastSeenAt: session.createdAt } });
    },
    async findLive(secretHash, now, idleSince): Promise<LiveSession | null> {
      const [row] = await db.$queryRaw<SessionRow[]>`
        SELECT s."id", s."csrfToken", s."lastSeenAt", s."expiresAt",
               u."id" AS "userId", u."name", u."role", u."allSites",
               ARRAY(SELECT us."siteId" FROM "user_sites" us WHERE us."userId" = u."id"
                     ORDER BY us."siteId") AS "siteIds"
        FROM "sessions" s JOIN "users" u ON u."id" = s."userId"
        WHERE s."secretHash" = ${secretHash} AND s."expiresAt" > ${now}
          AND s."lastSeenAt" > ${idleSince} AND u."archivedAt" IS NULL`;
      if (!row) return null;
      return {
        id: row.id,
        csrfToken: row.csrfToken,
        lastSeenAt: row.lastSeenAt,
        expiresAt: row.expiresAt,
        user: { id: row.userId, name: row.name, role: row.role as Role },
        siteIds: row.allSites ? 'all' : row.siteIds,
      };
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
