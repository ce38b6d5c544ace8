import type {
  AccessRepository,
  ApiToken,
  AuditReader,
  GroupSettingsRepository,
  TokensRepository,
  User,
  UserInput,
  UsersRepository,
  UserWithHash,
} from '../modules/access/index.ts';
import { pageOf, type Role } from '../modules/platform/index.ts';
import type { Db } from './database.ts';
import { refuseDuplicates } from './database-errors.ts';
import type { ApiToken as ApiTokenRow, Prisma } from './generated/client.ts';
import { fromJson, toJson } from './row-values.ts';
import { createAttemptsRepository, createSessionsRepository } from './session.repository.ts';

const withSites = { sites: { select: { siteId: true }, orderBy: { siteId: 'asc' } } } as const;
type UserRow = Prisma.UserGetPayload<{ include: typeof withSites }>;

const toUser = (row: UserRow): User => ({
  id: row.id,
  email: row.email,
  name: row.name,
  role: row.role as Role,
  siteIds: row.allSites ? 'all' : row.sites.map((s) => s.siteId),
  archived: row.archivedAt !== null,
  rev: row.rev,
});
const toUserWithHash = (row: UserRow): UserWithHash => ({
  ...toUser(row),
  passwordHash: row.passwordHash,
});

const toToken = (row: ApiTokenRow): ApiToken => ({
  id: row.id,
  name: row.name,
  role: row.role as Role,
  siteIds: row.allSites ? 'all' : row.siteIds,
  createdBy: row.createdBy,
  createdAt: row.createdAt,
  expiresAt: row.expiresAt ?? row.createdAt,
  revokedAt: row.revokedAt,
  lastUsedAt: row.lastUsedAt,
});

const userData = ({ email, name, role, siteIds }: UserInput) => ({
  email,
  name,
  role,
  allSites: siteIds === 'all',
});
const siteRows = ({ siteIds }: UserInput) =>
  siteIds === 'all' ? [] : siteIds.map((siteId) => ({ siteId }));

function createUsersRepository(db: Db): UsersRepository {
  const emailTaken = 'Somebody signs in with this email already.';
  const find = async (id: string) => db.user.findUnique({ where: { id }, include: withSites });
  return {
    async page({ limit, after }, { archived }) {
      const rows = await db.user.findMany({
        where: {
          ...(archived ? {} : { archivedAt: null }),
          ...(after === undefined ? {} : { id: { gt: after } }),
        },
        include: withSites,
        orderBy: { id: 'asc' },
        take: limit + 1,
      });
      return pageOf(rows.map(toUser), limit);
    },
    count: () => db.user.count(),
    async find(id) {
      const row = await find(id);
      return row && toUser(row);
    },
    async findWithHash(id) {
      const row = await find(id);
      return row && toUserWithHash(row);
    },
    async findActiveByEmail(email) {
      const row = await db.user.findFirst({
        where: { email, archivedAt: null },
        include: withSites,
      });
      return row && toUserWithHash(row);
    },
    insert: (id, input, passwordHash) =>
      refuseDuplicates(emailTaken, '/email', async () =>
        toUser(
          await db.user.create({
            data: { id, ...userData(input), passwordHash, sites: { create: siteRows(input) } },
            include: withSites,
          }),
        ),
      ),
    update: (id, input, rev) =>
      refuseDuplicates(emailTaken, '/email', async () => {
        const saved = await db.user.updateMany({
          where: { id, rev },
          data: { ...userData(input), rev: { increment: 1 } },
        });
        if (saved.count === 0) return null;
        await db.userSite.deleteMany({ where: { userId: id } });
        await db.userSite.createMany({
          data: siteRows(input).map((row) => ({ userId: id, ...row })),
        });
        const row = await find(id);
        return row && toUser(row);
      }),
    async setArchived(id, archived, rev, at) {
      const saved = await db.user.updateMany({
        where: { id, rev },
        data: { archivedAt: archived ? at : null, rev: { increment: 1 } },
      });
      const row = saved.count === 0 ? null : await find(id);
      return row && toUser(row);
    },
    async setPasswordHash(id, passwordHash) {
      await db.user.updateMany({ where: { id }, data: { passwordHash } });
    },
    async lockAdmins() {
      const rows = await db.$queryRaw<{ id: string }[]>`
        SELECT "id" FROM "users" WHERE "role" = 'admin' AND "archivedAt" IS NULL
        ORDER BY "id" FOR UPDATE`;
      return rows.map((row) => row.id);
    },
    async unknownSites(siteIds) {
      const known = await db.site.findMany({
        where: { id: { in: [...siteIds] } },
        select: { id: true },
      });
      const ids = new Set(known.map((site) => site.id));
      return siteIds.filter((id) => !ids.has(id));
    },
  };
}

function createTokensRepository(db: Db): TokensRepository {
  return {
    async insert(id, { name, role, siteIds, expiresAt }, secretHash, createdBy, at) {
      const row = await db.apiToken.create({
        data: {
          id,
          name,
          role,
          allSites: siteIds === 'all',
          siteIds: siteIds === 'all' ? [] : [...siteIds],
          expiresAt,
          secretHash,
          createdBy,
          createdAt: at,
        },
      });
      return toToken(row);
    },
    async page({ limit, after }) {
      const rows = await db.apiToken.findMany({
        where: after === undefined ? {} : { id: { gt: after } },
        orderBy: { id: 'asc' },
        take: limit + 1,
      });
      return pageOf(rows.map(toToken), limit);
    },
    async find(id) {
      const row = await db.apiToken.findUnique({ where: { id } });
      return row && toToken(row);
    },
    async findLive(secretHash, now) {
      const row = await db.apiToken.findFirst({
        where: { secretHash, revokedAt: null, expiresAt: { gt: now } },
      });
      return row && toToken(row);
    },
    async revoke(id, at) {
      const [row] = await db.apiToken.updateManyAndReturn({
        where: { id, revokedAt: null },
        data: { revokedAt: at },
      });
      return row ? toToken(row) : null;
    },
    async touch(id, at) {
      await db.apiToken.updateMany({ where: { id }, data: { lastUsedAt: at } });
    },
  };
}

function createGroupSettingsRepository(db: Db): GroupSettingsRepository {
  return {
    async insert(key, value) {
      const made = await db.groupSetting.createMany({
        data: [{ key, value: toJson(value) }],
        skipDuplicates: true,
      });
      return made.count === 1;
    },
    async put(key, value) {
      await db.groupSetting.upsert({
        where: { key },
        create: { key, value: toJson(value) },
        update: { value: toJson(value) },
      });
    },
    async find(key) {
      return (await db.groupSetting.findUnique({ where: { key } }))?.value ?? null;
    },
    async deleteByPrefix(prefix) {
      await db.groupSetting.deleteMany({ where: { key: { startsWith: prefix } } });
    },
  };
}

function createAuditReader(db: Db): AuditReader {
  return {
    async page({ limit, after }, filter) {
      const rows = await db.auditEvent.findMany({
        where: { ...filter, ...(after === undefined ? {} : { id: { lt: after } }) },
        orderBy: { id: 'desc' },
        take: limit + 1,
      });
      return pageOf(
        rows.map(({ detail, ...row }) => ({
          ...row,
          detail: detail === null ? null : fromJson<Record<string, unknown>>(detail),
        })),
        limit,
      );
    },
  };
}

/** People, sessions, keys, sign-in attempts, group settings and the audit trail, over Prisma. */
export function createAccessRepository(db: Db): AccessRepository {
  return {
    users: createUsersRepository(db),
    sessions: createSessionsRepository(db),
    tokens: createTokensRepository(db),
    attempts: createAttemptsRepository(db),
    settings: createGroupSettingsRepository(db),
    auditLines: createAuditReader(db),
  };
}
