import { describe, expect, it } from 'vitest';
import { readMigrations } from '../../api/persistence/migrate.ts';
import { breaksOlderVersion } from './migration-rules.ts';

// While a newer version migrates, the older one still reads and writes the same tables. So a
// migration only adds; what is no longer used goes one version later.

const BEFORE_FIRST_RELEASE =
  'made before anything was released: no older version served over these tables';

/** Statements that break the rule and stay, each with its reason. New ones need a better reason. */
const EXCEPTIONS = new Map<string, string>(
  [
    '20261125101810_prep_tasks: prep_tasks: drops the column explanationNode',
    '20261125101810_prep_tasks: prep_tasks: drops the column position',
    '20261125101810_prep_tasks: prep_tasks: drops the column usesLots',
    '20261125101810_prep_tasks: prep_tasks: adds batchesNode, which older inserts leave out',
    '20261125101810_prep_tasks: prep_tasks: adds explainedIn, which older inserts leave out',
    '20261125101810_prep_tasks: prep_tasks: adds neededQuantity, which older inserts leave out',
    '20261125101810_prep_tasks: prep_tasks: adds quantityNode, which older inserts leave out',
    '20261125101810_prep_tasks: prep_tasks: adds useBy, which older inserts leave out',
    '20261125103919_sign_in_attempts_and_append_only_audit: audit_events: adds a trigger',
    '20261125152039_order_life: deliveries: changes the column date',
    '20261125152039_order_life: deliveries: adds a constraint that older rows may break',
    '20261125225547_one_open_order: orders: adds a unique index that older writes may break',
  ].map((what) => [what, BEFORE_FIRST_RELEASE]),
);
for (const what of [
  ...['prep_plans', 'prep_tasks', 'sites', 'recipes', 'ingredients'].map(
    (table) => `20261126035509_kept_day_lists: ${table}`,
  ),
  '20261126091153_mark_version_numbers: recipe_versions',
  '20261126164500_mark_lots_on_lists: stock_lots',
]) {
  EXCEPTIONS.set(
    `${what}: adds a trigger`,
    'it writes to a table of its own only, and must also see what an older version writes',
  );
}
for (const what of [
  'adds a unique index that older writes may break',
  'adds a constraint that older rows may break',
]) {
  EXCEPTIONS.set(
    `20261126085821_waste_taken_back: stock_movements: ${what}`,
    'it is over a column that is added empty with it: older rows and older writes leave it empty',
  );
}

describe('a migration', () => {
  it('holds no statement that breaks the version that still serves', () => {
    const found = readMigrations().flatMap(({ name, sql }) =>
      breaksOlderVersion(sql).map((what) => `${name}: ${what}`),
    );
    expect(found.filter((what) => !EXCEPTIONS.has(what))).toEqual([]);
    // Nor does the list of exceptions hold what is not there.
    expect([...EXCEPTIONS.keys()].filter((what) => !found.includes(what))).toEqual([]);
  });

  it.each([
    ['DROP TABLE "sites";', ['sites: drops the table']],
    ['ALTER TABLE "sites" RENAME TO "houses";', ['sites: renames']],
    ['ALTER TABLE "sites" RENAME COLUMN "gln" TO "code";', ['sites: renames']],
    ['ALTER TABLE "sites" DROP COLUMN "gln";', ['sites: drops the column gln']],
    [
      'ALTER TABLE "sites" ADD COLUMN "x" INT NOT NULL;',
      ['sites: adds x, which older inserts leave out'],
    ],
    ['ALTER TABLE "sites" ALTER COLUMN "gln" SET NOT NULL;', ['sites: changes the column gln']],
    ['ALTER TABLE "sites" ALTER COLUMN "gln" TYPE INT;', ['sites: changes the column gln']],
    [
      'ALTER TABLE "sites" ALTER COLUMN "gln" SET DATA TYPE INT;',
      ['sites: changes the column gln'],
    ],
    ['ALTER TABLE "sites" ALTER COLUMN "gln" DROP DEFAULT;', ['sites: changes the column gln']],
    [
      'CREATE UNIQUE INDEX "u" ON "sites" ("gln");',
      ['sites: adds a unique index that older writes may break'],
    ],
    [
      'ALTER TABLE "sites" ADD CONSTRAINT "c" CHECK ("gln" <> \'\');',
      ['sites: adds a constraint that older rows may break'],
    ],
    ['TRUNCATE "sites";', ['sites: empties the table']],
    ['DELETE FROM "sites";', ['sites: deletes rows']],
    [
      'CREATE TRIGGER "t" BEFORE UPDATE ON "sites" EXECUTE FUNCTION f();',
      ['sites: adds a trigger'],
    ],
    ['CREATE INDEX CONCURRENTLY "i" ON "sites" ("gln");', ['cannot run in a transaction']],
    ['VACUUM "sites";', ['not a statement that is known to be safe: VACUUM "sites"']],
  ])('would be refused with %s', (sql, expected) => {
    expect(breaksOlderVersion(sql)).toEqual(expected);
  });

  it('may add tables with whatever they need, columns with a default or empty, indexes', () => {
    const sql = `
      -- CreateTable
      CREATE TABLE "notes" ("id" TEXT NOT NULL, "text" TEXT NOT NULL, CONSTRAINT "p" PRIMARY KEY ("id"));
      CREATE UNIQUE INDEX "u" ON "notes"("text");
      ALTER TABLE "notes" ADD CONSTRAINT "f" FOREIGN KEY ("id") REFERENCES "sites"("id");
      ALTER TABLE "sites" ADD COLUMN "a" TEXT, ADD COLUMN "b" DECIMAL(12,4) NOT NULL DEFAULT 0;
      ALTER TABLE "sites" ALTER COLUMN "gln" DROP NOT NULL, ALTER COLUMN "gln" SET DEFAULT '';
      CREATE INDEX "i" ON "sites"("gln");
      UPDATE "sites" SET "a" = 'x; y' WHERE "a" IS NULL;`;
    expect(breaksOlderVersion(sql)).toEqual([]);
  });
});
