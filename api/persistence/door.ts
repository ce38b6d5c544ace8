import type { Door } from '../modules/access/index.ts';
import type { DayListsRepository } from '../modules/prep/index.ts';
import type { DayListAsk, DayListFound, Role } from '../modules/platform/index.ts';
import type { Database, Value } from './database.ts';
import type { Statement } from './pipelined-reads.ts';

// Who asks, and the list of a day as it is kept: the two things every tablet asks for again and again.
// Statements of their own, straight to the driver, one round trip each or both in one.

interface MarksColumns {
  zone: string | null;
  siteMark: string | null;
  namesMark: string | null;
  /** Not there where only the marks were asked for. */
  body?: string | null;
}

interface SessionColumns {
  id: string;
  csrfToken: string;
  /** Milliseconds since 1970. */
  lastSeen: number;
  expires: number;
  userId: string;
  name: string;
  role: string;
  /** Null for all of them. */
  siteIds: string[] | null;
}

type SessionRow = SessionColumns & MarksColumns;

const SESSION_COLUMNS = `s."id", s."csrfToken", 1000 * date_part('epoch', s."lastSeenAt") AS "lastSeen",
  1000 * date_part('epoch', s."expiresAt") AS "expires", u."id" AS "userId", u."name", u."role",
  CASE WHEN NOT u."allSites" THEN ARRAY(SELECT us."siteId" FROM "user_sites" us
    WHERE us."userId" = u."id") END AS "siteIds"`;
const SESSION_TABLES = `"sessions" s JOIN "users" u ON u."id" = s."userId"`;
const SESSION_IS_LIVE = `s."secretHash" = $1 AND s."expiresAt" > to_timestamp($2::float8)
  AND s."lastSeenAt" > to_timestamp($3::float8) AND u."archivedAt" IS NULL`;

/** The marks alone: a join of six tables costs the server half as much again as these look-ups. */
const marksColumns = (site: string): string =>
  `(SELECT "zone" FROM "sites" WHERE "id" = ${site}) AS "zone",
  (SELECT "mark"::text FROM "list_marks" WHERE "subject" = ${site}) AS "siteMark",
  (SELECT "mark"::text FROM "list_marks" WHERE "subject" = 'names') AS "namesMark"`;

const LIST_COLUMNS = `st."zone", sm."mark"::text AS "siteMark", nm."mark"::text AS "namesMark", k."body"`;
const listTables = (site: string, date: string, form: string): string =>
  `LEFT JOIN "sites" st ON st."id" = ${site}
  LEFT JOIN "list_marks" sm ON sm."subject" = st."id"
  LEFT JOIN "list_marks" nm ON nm."subject" = 'names'
  LEFT JOIN "kept_day_lists" k ON k."siteId" = st."id" AND k."date" = ${date}
    AND k."form" = ${form} AND k."siteMark" = sm."mark" AND k."namesMark" = nm."mark"`;

const SESSION: Statement = {
  name: 'session',
  sql: `SELECT ${SESSION_COLUMNS} FROM ${SESSION_TABLES} WHERE ${SESSION_IS_LIVE}`,
};
const SESSION_AND_MARKS: Statement = {
  name: 'session and marks',
  sql: `SELECT ${SESSION_COLUMNS}, ${marksColumns('$4')}
    FROM ${SESSION_TABLES} WHERE ${SESSION_IS_LIVE}`,
};
const SESSION_AND_LIST: Statement = {
  name: 'session and list',
  sql: `SELECT ${SESSION_COLUMNS}, ${LIST_COLUMNS}
    FROM ${SESSION_TABLES} ${listTables('$4', '$5', '$6')} WHERE ${SESSION_IS_LIVE}`,
};
const MARKS: Statement = { name: 'marks', sql: `SELECT ${marksColumns('$1')}` };
const LIST: Statement = {
  name: 'list',
  sql: `SELECT ${LIST_COLUMNS} FROM (SELECT 1) one ${listTables('$1', '$2', '$3')}`,
};

const toFound = ({ zone, siteMark, namesMark, body }: MarksColumns): DayListFound | null =>
  zone === null
    ? null
    : {
        zone,
        marks:
          siteMark === null || namesMark === null ? null : { site: siteMark, names: namesMark },
        body: body ?? null,
      };

const at = (ms: number): Date => new Date(Math.round(ms));
const MS_PER_S = 1000;

/** Finds who is behind a cookie. */
export function createDoor(database: Pick<Database, 'rows'>): Door {
  const look = (session: readonly Value[], ask: DayListAsk | null): Promise<SessionRow[]> => {
    if (ask === null) return database.rows(SESSION, session, 'small');
    const { siteId, date, form, have } = ask;
    // Whoever has a list mostly has the one that stands.
    return have === null
      ? database.rows(SESSION_AND_LIST, [...session, siteId, date, form], 'large')
      : database.rows(SESSION_AND_MARKS, [...session, siteId], 'small');
  };
  return {
    async find(secretHash, now, idleSince, ask) {
      const times = [now.getTime() / MS_PER_S, idleSince.getTime() / MS_PER_S];
      const [row] = await look([secretHash, ...times], ask);
      if (!row) return null;
      return {
        id: row.id,
        csrfToken: row.csrfToken,
        lastSeenAt: at(row.lastSeen),
        expiresAt: at(row.expires),
        user: { id: row.userId, name: row.name, role: row.role as Role },
        siteIds: row.siteIds?.sort() ?? 'all',
        dayList: ask ? toFound(row) : null,
      };
    },
  };
}

/** Lists of days as written text. */
export function createDayListsRepository(
  database: Pick<Database, 'rows' | 'prisma'>,
): DayListsRepository {
  return {
    async find({ siteId, date, form, have }) {
      const [row] =
        have === null
          ? await database.rows<MarksColumns>(LIST, [siteId, date, form], 'large')
          : await database.rows<MarksColumns>(MARKS, [siteId], 'small');
      return row ? toFound(row) : null;
    },
    keep: ({ siteId, date, form }, { site, names }, body, forgetBefore) =>
      database.prisma.$transaction(async (tx) => {
        await tx.keptDayList.deleteMany({ where: { siteId, date: { lt: forgetBefore } } });
        // Only while the marks it was read under still stand: otherwise it may be of two moments.
        const kept = await tx.$executeRaw`
          INSERT INTO "kept_day_lists" ("siteId", "date", "form", "siteMark", "namesMark", "body")
          SELECT ${siteId}, ${date}, ${form}, ${site}::uuid, ${names}::uuid, ${body}
          WHERE EXISTS (SELECT FROM "list_marks" WHERE "subject" = ${siteId} AND "mark" = ${site}::uuid)
            AND EXISTS (SELECT FROM "list_marks" WHERE "subject" = 'names' AND "mark" = ${names}::uuid)
          ON CONFLICT ("siteId", "date") DO UPDATE SET "form" = EXCLUDED."form",
            "siteMark" = EXCLUDED."siteMark", "namesMark" = EXCLUDED."namesMark",
            "body" = EXCLUDED."body"`;
        return kept === 1;
      }),
  };
}
