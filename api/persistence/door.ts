import type { Door } from '../modules/access/index.ts';
import type { DayListsRepository } from '../modules/prep/index.ts';
import type { DayListAsk, DayListFound, Role } from '../modules/platform/index.ts';
import type { AnswerSize, Database, Value } from './database.ts';

// Who asks, and the list of a day as it is kept: the two things every tablet asks for again and again.
// Statements of their own, straight to the driver, one round trip each or both in one.

interface ListColumns {
  zone: string | null;
  siteMark: string | null;
  namesMark: string | null;
  body: string | null;
}

interface SessionText {
  id: string;
  csrfToken: string;
  /** Seconds since 1970. */
  lastSeen: number;
  expires: number;
  userId: string;
  name: string;
  role: string;
  allSites: boolean;
  siteIds: string[];
}

type SessionRow = ListColumns & { session: string };

/** As one text, which costs the driver less to read than nine columns. */
const SESSION_COLUMNS = `json_build_object('id', s."id", 'csrfToken', s."csrfToken",
  'lastSeen', date_part('epoch', s."lastSeenAt"), 'expires', date_part('epoch', s."expiresAt"),
  'userId', u."id", 'name', u."name", 'role', u."role", 'allSites', u."allSites",
  'siteIds', CASE WHEN u."allSites" THEN '{}' ELSE ARRAY(SELECT us."siteId" FROM "user_sites" us
    WHERE us."userId" = u."id") END)::text AS "session"`;
const SESSION_TABLES = `"sessions" s JOIN "users" u ON u."id" = s."userId"`;
const SESSION_IS_LIVE = `s."secretHash" = $1 AND s."expiresAt" > $2::timestamptz
  AND s."lastSeenAt" > $3::timestamptz AND u."archivedAt" IS NULL`;

/** The list's own columns and tables; its parameters begin after `first`. */
function listParts(first: number): { columns: string; tables: string } {
  const [site, date, form, haveSite, haveNames] = [1, 2, 3, 4, 5].map((i) => `$${first + i}`);
  return {
    columns: `st."zone", sm."mark"::text AS "siteMark", nm."mark"::text AS "namesMark",
      CASE WHEN sm."mark"::text = ${haveSite}::text AND nm."mark"::text = ${haveNames}::text
        THEN NULL ELSE k."body" END AS "body"`,
    tables: `LEFT JOIN "sites" st ON st."id" = ${site}
      LEFT JOIN "list_marks" sm ON sm."subject" = st."id"
      LEFT JOIN "list_marks" nm ON nm."subject" = 'names'
      LEFT JOIN "kept_day_lists" k ON k."siteId" = st."id" AND k."date" = ${date}
        AND k."form" = ${form} AND k."siteMark" = sm."mark" AND k."namesMark" = nm."mark"`,
  };
}

const listValues = ({ siteId, date, form, have }: DayListAsk): Value[] => [
  ...[siteId, date, form],
  ...[have?.site ?? null, have?.names ?? null],
];

/** Whoever has a list mostly has the one that stands, and is sent none. */
const sizeOf = ({ have }: DayListAsk): AnswerSize => (have === null ? 'large' : 'small');

const toFound = ({ zone, siteMark, namesMark, body }: ListColumns): DayListFound | null =>
  zone === null
    ? null
    : {
        zone,
        marks:
          siteMark === null || namesMark === null ? null : { site: siteMark, names: namesMark },
        body,
      };

const withSession = listParts(3);
const alone = listParts(0);
const SESSION = `SELECT ${SESSION_COLUMNS} FROM ${SESSION_TABLES} WHERE ${SESSION_IS_LIVE}`;
const SESSION_AND_LIST = `SELECT ${SESSION_COLUMNS}, ${withSession.columns}
  FROM ${SESSION_TABLES} ${withSession.tables} WHERE ${SESSION_IS_LIVE}`;
const LIST = `SELECT ${alone.columns} FROM (SELECT 1) one ${alone.tables}`;

const at = (seconds: number): Date => new Date(Math.round(seconds * 1000));

/** Finds who is behind a cookie. */
export function createDoor(database: Pick<Database, 'rows'>): Door {
  return {
    async find(secretHash, now, idleSince, ask) {
      const values = [secretHash, now.toISOString(), idleSince.toISOString()];
      const [row] = ask
        ? await database.rows<SessionRow>(
            'session and list',
            SESSION_AND_LIST,
            [...values, ...listValues(ask)],
            sizeOf(ask),
          )
        : await database.rows<SessionRow>('session', SESSION, values, 'small');
      if (!row) return null;
      const session = JSON.parse(row.session) as SessionText;
      return {
        id: session.id,
        csrfToken: session.csrfToken,
        lastSeenAt: at(session.lastSeen),
        expiresAt: at(session.expires),
        user: { id: session.userId, name: session.name, role: session.role as Role },
        siteIds: session.allSites ? 'all' : session.siteIds.sort(),
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
    async find(ask) {
      const [row] = await database.rows<ListColumns>('list', LIST, listValues(ask), sizeOf(ask));
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
