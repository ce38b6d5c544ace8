import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fillWorkingKitchen } from '../../helpers/working-kitchen.ts';
import { SITE } from '../../helpers/demo-site.ts';
import { chefOf, LEAD, startTestApp, type TestApp } from '../../helpers/test-app.ts';

// A list that is kept as text is good while its marks stand, and triggers change the marks. So every table,
// and every column, that a list is read from must have a trigger; and each trigger must be needed.

const TODAY = '2026-03-10';
let test: TestApp;

beforeAll(async () => {
  test = await startTestApp();
  await fillWorkingKitchen(test);
});
afterAll(() => test.close());

const run = (text: string): Promise<number> => test.database.prisma.$executeRawUnsafe(text);
const sql = <Row>(text: string): Promise<Row[]> =>
  test.database.prisma.$queryRawUnsafe<Row[]>(text);

interface Trigger {
  readonly table: string;
  readonly name: string;
  /** The trigger as the database writes it out. */
  readonly text: string;
}
const triggers = (): Promise<Trigger[]> =>
  sql<Trigger>(`SELECT c.relname::text AS "table", t.tgname::text AS "name",
      pg_get_triggerdef(t.oid) AS "text"
    FROM pg_trigger t JOIN pg_class c ON c.oid = t.tgrelid JOIN pg_proc p ON p.oid = t.tgfoid
    WHERE p.proname IN ('mark_names', 'mark_lists_of_site') ORDER BY 1, 2`);

/** The statements that work out the list of a day. */
async function statements(): Promise<readonly string[]> {
  const seen: string[] = [];
  test.database.watchQueries((query) => seen.push(query.sql));
  await test.services.prep.list(LEAD, SITE, TODAY);
  await expect.poll(() => seen.some((text) => text.includes('recipe_versions'))).toBe(true);
  test.database.watchQueries(() => undefined);
  return seen;
}

const tablesIn = (text: string): string[] =>
  [...text.matchAll(/\b(?:FROM|JOIN)\s+(?:"public"\.)?"(\w+)"/gi)].map(([, table]) => table ?? '');

describe('what the list of a day is read from', () => {
  it('has in every table a trigger for rows that change and one for rows that go', async () => {
    const tables = new Set((await statements()).flatMap(tablesIn));
    expect([...tables].sort()).toEqual(
      expect.arrayContaining(['prep_plans', 'prep_tasks', 'recipes', 'sites']),
    );
    const there = await triggers();
    for (const table of tables) {
      const own = there.filter((one) => one.table === table).map(({ text }) => text);
      for (const event of ['UPDATE', 'DELETE']) {
        const found = own.some((text) => /(?:AFTER )(.*?) ON /.exec(text)?.[1]?.includes(event));
        expect(found, `${table} has a trigger AFTER ${event}`).toBe(true);
      }
    }
  });

  it('has in every column that is read a word in the condition of its trigger, where it has one', async () => {
    const seen = await statements();
    for (const { table, text } of await triggers()) {
      const condition = / WHEN \((.*)\) EXECUTE /.exec(text)?.[1];
      if (condition === undefined) continue;
      const columns = (
        await sql<{ name: string }>(
          `SELECT column_name::text AS name FROM information_schema.columns WHERE table_name = '${table}'`,
        )
      ).map(({ name }) => name);
      const read = new Set(
        seen
          .filter((one) => tablesIn(one).includes(table))
          .flatMap((one) => [...one.matchAll(/"(\w+)"/g)].map(([, name]) => name ?? ''))
          .filter((name) => name !== 'id' && columns.includes(name)),
      );
      expect(read.size, `columns read of ${table}`).toBeGreaterThan(0);
      for (const column of read) {
        expect(condition, `the trigger of ${table}`).toMatch(new RegExp(`\\b${column}\\b`));
      }
    }
  });
});

describe('a trigger', () => {
  /** A change that the list must show, by the table it is made in. */
  const CHANGES: Readonly<Record<string, string>> = {
    ingredients_mark_names: `UPDATE "ingredients" SET "name" = "name" || ' x'`,
    ingredients_gone_mark_names: `DELETE FROM "ingredients" WHERE "id" = 'ing_unused'`,
    prep_plans_mark_lists: `UPDATE "prep_plans" SET "workedOutAt" = now() WHERE "siteId" = '${SITE}'`,
    prep_tasks_mark_lists: `UPDATE "prep_tasks" SET "station" = 'x' WHERE "siteId" = '${SITE}'`,
    recipe_versions_mark_names: `UPDATE "recipe_versions" SET "number" = "number" + 50`,
    recipe_versions_gone_mark_names: `DELETE FROM "recipe_versions" WHERE "id" = 'ver_unused'`,
    recipes_mark_names: `UPDATE "recipes" SET "name" = "name" || ' x'`,
    recipes_gone_mark_names: `DELETE FROM "recipes" WHERE "id" = 'rcp_unused'`,
    sites_mark_lists: `UPDATE "sites" SET "zone" = 'Europe/London' WHERE "id" = '${SITE}'`,
    stock_lots_mark_lists: `UPDATE "stock_lots" SET "heldReason" = 'x' WHERE "siteId" = '${SITE}'`,
    stock_lots_gone_mark_lists: `DELETE FROM "stock_lots" WHERE "id" = 'lot_unused'`,
  };
  const UNDO: Readonly<Record<string, string>> = {
    sites_mark_lists: `UPDATE "sites" SET "zone" = 'Europe/Rome' WHERE "id" = '${SITE}'`,
  };
  const marks = async (): Promise<string> =>
    JSON.stringify(await sql(`SELECT "subject", "mark"::text FROM "list_marks" ORDER BY 1`));
  const ask = () => test.as(chefOf(SITE)).get(`/v1/sites/${SITE}/prep-list?date=${TODAY}`);

  beforeAll(async () => {
    const { prisma } = test.database;
    await prisma.ingredient.create({ data: { id: 'ing_unused', name: 'Sorrel', baseUnit: 'g' } });
    await prisma.recipe.create({
      data: {
        ...{ id: 'rcp_unused', kind: 'component', name: 'Sorrel syrup', baseUnit: 'g' },
        ...{ station: 'stove' },
      },
    });
    await prisma.stockLot.create({
      data: {
        ...{ id: 'lot_unused', siteId: SITE, itemKind: 'ingredient', itemId: 'ing_unused' },
        ...{ quantity: 1, sourceKind: 'found' },
        ...{ madeAt: new Date('2026-03-09T00:00:00Z'), useBy: new Date('2026-03-20T00:00:00Z') },
      },
    });
    const { id, recipeId, ...version } = await prisma.recipeVersion.findUniqueOrThrow({
      where: { id: 'ver_curd' },
    });
    await prisma.recipeVersion.create({
      data: { ...version, id: `${id.slice(0, 4)}unused`, recipeId, number: 9, status: 'draft' },
    });
  });

  it('is known to this test with a change that it is for, and there is no other', async () => {
    expect((await triggers()).map(({ name }) => name).sort()).toEqual(Object.keys(CHANGES).sort());
  });

  it.each(Object.keys(CHANGES))('is what notices the change: %s', async (name) => {
    const table = (await triggers()).find((one) => one.name === name)?.table ?? '';
    const change = CHANGES[name] ?? '';
    await ask().expect(200);
    const before = await marks();
    await run(`ALTER TABLE "${table}" DISABLE TRIGGER "${name}"`);
    try {
      // Without the trigger nobody would notice: the mark stands, and so does the kept list.
      await inTransactionTakenBack(change, async (db) => {
        const rows = await db.$queryRawUnsafe(
          `SELECT "subject", "mark"::text FROM "list_marks" ORDER BY 1`,
        );
        expect(JSON.stringify(rows)).toBe(before);
      });
    } finally {
      await run(`ALTER TABLE "${table}" ENABLE TRIGGER "${name}"`);
    }
    const had = await ask().expect(200);
    await run(change);
    expect(await marks()).not.toBe(before);
    const after = await ask().set('if-none-match', String(had.headers.etag)).expect(200);
    expect(after.headers.etag).not.toBe(had.headers.etag);
    if (UNDO[name] !== undefined) await run(UNDO[name]);
  });

  class TakenBack extends Error {}
  type Inside = Pick<TestApp['database']['prisma'], '$queryRawUnsafe'>;
  async function inTransactionTakenBack(
    change: string,
    look: (db: Inside) => Promise<void>,
  ): Promise<void> {
    await test.database.prisma
      .$transaction(async (db) => {
        await db.$executeRawUnsafe(change);
        await look(db);
        throw new TakenBack();
      })
      .catch((error: unknown) => {
        if (!(error instanceof TakenBack)) throw error;
      });
  }
});
