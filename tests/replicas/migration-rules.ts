// Reads a migration statement by statement and says what in it an older version, which still reads
// and writes the same tables, would stumble over.

/** Splits SQL at its semicolons, leaving alone those in texts, names and $$ bodies. */
function statementsOf(sql: string): readonly string[] {
  const parts =
    sql.match(/--[^\n]*|\$\$[\s\S]*?\$\$|'(?:[^']|'')*'|"[^"]*"|;|[^-$'";]+|[\s\S]/g) ?? [];
  const statements: string[] = [];
  let now = '';
  for (const part of parts) {
    if (part.startsWith('--')) continue;
    if (part === ';') {
      statements.push(now);
      now = '';
    } else now += part;
  }
  return [...statements, now].map((one) => one.replace(/\s+/g, ' ').trim()).filter(Boolean);
}

/** Splits the actions of an ALTER TABLE at the commas between them. */
function actionsOf(text: string): readonly string[] {
  const actions = [''];
  let depth = 0;
  for (const part of text.match(/'(?:[^']|'')*'|"[^"]*"|[\s\S]/g) ?? []) {
    if (part === '(' || part === '[') depth += 1;
    if (part === ')' || part === ']') depth -= 1;
    if (part === ',' && depth === 0) actions.push('');
    else actions[actions.length - 1] += part;
  }
  return actions.map((action) => action.trim());
}

const ADD_COLUMN = /^ADD (?:COLUMN )?(?!CONSTRAINT)"?(\w+)"? /i;

function faultOfAction(action: string): string | null {
  const [, added] = ADD_COLUMN.exec(action) ?? [];
  if (added !== undefined) {
    const needed = /NOT NULL/i.test(action) && !/DEFAULT/i.test(action);
    return needed ? `adds ${added}, which older inserts leave out` : null;
  }
  if (/^ADD CONSTRAINT/i.test(action)) return 'adds a constraint that older rows may break';
  const [, dropped] = /^DROP COLUMN (?:IF EXISTS )?"?(\w+)"?/i.exec(action) ?? [];
  if (dropped !== undefined) return `drops the column ${dropped}`;
  const [, changed, how = ''] = /^ALTER COLUMN "?(\w+)"? (.*)$/i.exec(action) ?? [];
  if (changed !== undefined) {
    return /^(DROP NOT NULL|SET DEFAULT)/i.test(how) ? null : `changes the column ${changed}`;
  }
  if (/^RENAME/i.test(action)) return 'renames';
  if (/^DROP CONSTRAINT/i.test(action)) return null;
  return `not known to be safe: ${action}`;
}

/** Statements about one table, and what is wrong with them unless the migration made the table. */
const ABOUT_A_TABLE: readonly (readonly [pattern: RegExp, fault: string | null])[] = [
  [/^DROP TABLE (?:IF EXISTS )?"?(\w+)"?/i, 'drops the table'],
  [/^TRUNCATE (?:TABLE )?"?(\w+)"?/i, 'empties the table'],
  [/^DELETE FROM "?(\w+)"?/i, 'deletes rows'],
  [/^UPDATE "?(\w+)"?/i, null],
  [/^INSERT INTO "?(\w+)"?/i, null],
  [/^CREATE UNIQUE INDEX .*? ON "?(\w+)"?/i, 'adds a unique index that older writes may break'],
  [/^CREATE INDEX .*? ON "?(\w+)"?/i, null],
  [/^CREATE TRIGGER .*? ON "?(\w+)"?/i, 'adds a trigger'],
];
const ALWAYS_SAFE = /^(CREATE TABLE|CREATE FUNCTION|DROP INDEX)/i;

/** @returns what an older version would stumble over, as `table: what`; empty when nothing is */
export function breaksOlderVersion(sql: string): readonly string[] {
  const faults: string[] = [];
  const own = new Set<string>();
  for (const statement of statementsOf(sql)) {
    const [, created] = /^CREATE TABLE (?:IF NOT EXISTS )?"?(\w+)"?/i.exec(statement) ?? [];
    if (created !== undefined) own.add(created);
    if (/\bCONCURRENTLY\b/i.test(statement)) {
      faults.push('cannot run in a transaction');
      continue;
    }
    if (ALWAYS_SAFE.test(statement)) continue;
    const [, altered, actions = ''] = /^ALTER TABLE "?(\w+)"? (.*)$/i.exec(statement) ?? [];
    if (altered !== undefined) {
      if (own.has(altered)) continue;
      for (const action of actionsOf(actions)) {
        const fault = faultOfAction(action);
        if (fault !== null) faults.push(`${altered}: ${fault}`);
      }
      continue;
    }
    const known = ABOUT_A_TABLE.find(([pattern]) => pattern.test(statement));
    if (!known) {
      faults.push(`not a statement that is known to be safe: ${statement}`);
      continue;
    }
    const table = known[0].exec(statement)?.[1] ?? '';
    if (known[1] !== null && !own.has(table)) faults.push(`${table}: ${known[1]}`);
  }
  return faults;
}
