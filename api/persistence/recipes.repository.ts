import { pageOf, type NewId } from '../modules/platform/index.ts';
import type {
  Recipe,
  RecipeKind,
  RecipesRepository,
  RecipeVersion,
  VersionMove,
  VersionToSave,
} from '../modules/recipes/index.ts';
import type { Db } from './database.ts';
import { refuseDuplicates } from './database-errors.ts';
import type { Recipe as RecipeRow } from './generated/client.ts';
import { toVersion, versionColumns, withContents } from './recipe-version-rows.ts';
import { fromOptionalDate, fromServiceDate, toJson } from './row-values.ts';

const taken = 'There is a recipe of that name already.';
/** Any number of our own: replicas and transactions agree on it. */
const PUBLISHING_LOCK = 72_401;
const bump = { rev: { increment: 1 } } as const;

const toRecipe = (row: RecipeRow): Recipe => ({
  id: row.id,
  kind: row.kind as RecipeKind,
  name: row.name,
  baseUnit: row.baseUnit as Recipe['baseUnit'],
  station: row.station,
  archived: row.archivedAt !== null,
  rev: row.rev,
});

/** Recipes and their versions. Updates return null when the revision is not current. */
export function createRecipesRepository(db: Db, newId: NewId): RecipesRepository {
  const find = async (id: string): Promise<Recipe | null> => {
    const row = await db.recipe.findUnique({ where: { id } });
    return row && toRecipe(row);
  };
  const findVersion = async (id: string): Promise<RecipeVersion | null> => {
    const row = await db.recipeVersion.findUnique({ where: { id }, include: withContents });
    return row && toVersion(row);
  };
  const writeContents = async (versionId: string, version: VersionToSave): Promise<void> => {
    await db.recipeLine.createMany({
      data: version.lines.map(({ amount, yields, siteMay, ...line }, position) => ({
        id: newId('line'),
        versionId,
        position,
        ...line,
        ...amount,
        ...(yields.length === 0 ? {} : { yields: toJson(yields) }),
        siteMay: [...siteMay],
      })),
    });
    await db.recipeStep.createMany({
      data: version.steps.map(({ equipment, yields, siteMay, ...step }, position) => ({
        id: newId('step'),
        versionId,
        position,
        ...step,
        equipmentKind: equipment?.kind ?? null,
        equipmentAmount: equipment?.amount ?? null,
        ...(yields.length === 0 ? {} : { yields: toJson(yields) }),
        siteMay: [...siteMay],
      })),
    });
    await db.recipeByProduct.createMany({
      data: version.byProducts.map(({ amount, ...byProduct }) => ({
        id: newId('byp'),
        versionId,
        ...byProduct,
        ...amount,
      })),
    });
  };
  const clearContents = async (versionId: string): Promise<void> => {
    await db.recipeLine.deleteMany({ where: { versionId } });
    await db.recipeStep.deleteMany({ where: { versionId } });
    await db.recipeByProduct.deleteMany({ where: { versionId } });
  };

  return {
    find,
    findVersion,
    async page({ limit, after }, { archived, kind, search }) {
      const rows = await db.recipe.findMany({
        where: {
          ...(archived ? {} : { archivedAt: null }),
          ...(kind === undefined ? {} : { kind }),
          ...(after === undefined ? {} : { id: { gt: after } }),
          ...(search === undefined ? {} : { name: { contains: search, mode: 'insensitive' } }),
        },
        orderBy: { id: 'asc' },
        take: limit + 1,
      });
      return pageOf(rows.map(toRecipe), limit);
    },
    all: async () => (await db.recipe.findMany({ orderBy: { id: 'asc' } })).map(toRecipe),
    insert: (id, input) =>
      refuseDuplicates(taken, '/name', async () =>
        toRecipe(await db.recipe.create({ data: { id, ...input } })),
      ),
    update: (id, input, rev) =>
      refuseDuplicates(taken, '/name', async () => {
        const { count } = await db.recipe.updateMany({
          where: { id, rev },
          data: { ...input, ...bump },
        });
        return count === 0 ? null : find(id);
      }),
    async setArchived(id, archived, rev, at) {
      const { count } = await db.recipe.updateMany({
        where: { id, rev },
        data: { archivedAt: archived ? at : null, ...bump },
      });
      return count === 0 ? null : find(id);
    },

    async versionsOf(recipeId) {
      const rows = await db.recipeVersion.findMany({
        where: { recipeId },
        include: withContents,
        orderBy: { number: 'desc' },
      });
      return rows.map(toVersion);
    },
    async newestVersions() {
      const rows = await db.recipeVersion.findMany({
        where: { status: { not: 'withdrawn' }, recipe: { archivedAt: null } },
        orderBy: [{ recipeId: 'asc' }, { number: 'desc' }],
        distinct: ['recipeId'],
        include: withContents,
      });
      return rows.map(toVersion);
    },
    insertVersion: (id, recipeId, version, { number, by, at }) =>
      refuseDuplicates('Somebody else began a version just now; try again.', '', async () => {
        await db.recipeVersion.create({
          data: {
            id,
            recipeId,
            number,
            status: 'draft',
            createdBy: by,
            createdAt: at,
            ...versionColumns(version),
          },
        });
        await writeContents(id, version);
        return written(await findVersion(id));
      }),
    async updateVersion(id, version, rev) {
      const { count } = await db.recipeVersion.updateMany({
        where: { id, rev },
        data: { ...versionColumns(version), ...bump },
      });
      if (count === 0) return null;
      await clearContents(id);
      await writeContents(id, version);
      return findVersion(id);
    },
    async keepRevision({ id, rev, ...version }, savedBy, savedAt) {
      const content = toJson(JSON.parse(JSON.stringify(version)));
      await db.draftRevision.create({ data: { versionId: id, rev, content, savedBy, savedAt } });
    },
    async revisionsFrom(versionId, rev) {
      const rows = await db.draftRevision.findMany({
        where: { versionId, rev: { gte: rev } },
        orderBy: { rev: 'asc' },
      });
      return rows.map((row) => ({ ...row, content: row.content as unknown as VersionToSave }));
    },
    async moveVersion(id, move, rev) {
      const { count } = await db.recipeVersion.updateMany({
        where: { id, rev },
        data: { ...moveColumns(move), ...bump },
      });
      return count === 0 ? null : findVersion(id);
    },
    async lockPublishing() {
      await db.$queryRaw`SELECT 1 FROM (SELECT pg_advisory_xact_lock(${PUBLISHING_LOCK})) AS held`;
    },
    deleteVersion: async (id, rev) =>
      (await db.recipeVersion.deleteMany({ where: { id, rev, status: 'draft' } })).count === 1,
    async publishedGraphRows(onOrBefore) {
      const rows = await db.recipeVersion.findMany({
        where: {
          firstServiceDate: {
            not: null,
            ...(onOrBefore === undefined ? {} : { lte: fromServiceDate(onOrBefore) }),
          },
          OR: [{ status: 'published' }, { status: 'withdrawn', withdrawnFrom: { not: null } }],
        },
        include: withContents,
        orderBy: [{ recipeId: 'asc' }, { firstServiceDate: 'asc' }],
      });
      const recipes = await db.recipe.findMany({ orderBy: { id: 'asc' } });
      return { recipes: recipes.map(toRecipe), versions: rows.map(toVersion) };
    },
  };
}

function moveColumns({ firstServiceDate, withdrawnFrom, ...move }: VersionMove) {
  return {
    ...move,
    ...(firstServiceDate === undefined
      ? {}
      : { firstServiceDate: fromOptionalDate(firstServiceDate) }),
    ...(withdrawnFrom === undefined ? {} : { withdrawnFrom: fromOptionalDate(withdrawnFrom) }),
  };
}

function written<T>(row: T | null): T {
  if (row === null) throw new Error('A row just written was not found.');
  return row;
}
