import { execFile } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { promisify } from 'node:util';
import { gunzipSync, gzipSync } from 'node:zlib';
import { parse } from 'csv-parse/sync';
import { afterAll, beforeAll, describe, expect, inject, it } from 'vitest';
import { openSqlSession } from '../../api/persistence/backup/sql-session.ts';
import { openDatabase, type Database } from '../../api/persistence/database.ts';
import { readMigrations } from '../../api/persistence/migrate.ts';
import { fingerprintOf } from '../helpers/database-fingerprint.ts';
import { onServer, withDatabase } from '../helpers/database-template.ts';
import { startTestApp } from '../helpers/test-app.ts';
import { fillWorkingKitchen } from '../helpers/working-kitchen.ts';

// The commands as a person runs them, over a folder or a database of their own.
const ROOT = path.join(import.meta.dirname, '..', '..');
const run = promisify(execFile);
const folder = mkdtempSync(path.join(os.tmpdir(), 'tamis-backup-'));
const template = inject('databaseTemplate');
let made = 0;
const databases: string[] = [];

interface Place {
  readonly dataDir: string;
  readonly databaseUrl: string | null;
}
/** An empty place for a database of the kind under test, or an embedded one where asked. */
async function emptyPlace(embedded = template.kind === 'embedded'): Promise<Place> {
  made += 1;
  const dataDir = path.join(folder, `data-${made}`);
  if (embedded || template.kind === 'embedded') return { dataDir, databaseUrl: null };
  const name = `tamis_backup_${process.pid}_${made}`;
  await onServer(template.adminUrl, (client) => client.query(`CREATE DATABASE ${name}`));
  databases.push(name);
  return { dataDir, databaseUrl: withDatabase(template.adminUrl, name) };
}
async function command(place: Place, ...args: string[]): Promise<{ code: number; said: string }> {
  try {
    const { stdout } = await run(
      process.execPath,
      ['--import', 'tsx', 'api/persistence/backup/commands.ts', ...args],
      {
        cwd: ROOT,
        env: {
          ...process.env,
          DATA_DIR: place.dataDir,
          DATABASE_URL: place.databaseUrl ?? '',
        },
      },
    );
    return { code: 0, said: stdout };
  } catch (error) {
    const { code, stderr } = error as { code: number; stderr: string };
    return { code, said: stderr };
  }
}
async function look<T>(place: Place, at: (database: Database) => Promise<T>): Promise<T> {
  const database = await openDatabase(place);
  try {
    return await at(database);
  } finally {
    await database.close();
  }
}
/** Of everything but the record of migrations, which has ids of its own. */
const fingerprint = (place: Place) =>
  look(place, async (database) =>
    (await fingerprintOf(database)())
      .split('\n')
      .filter((line) => !line.startsWith('_prisma_migrations'))
      .join('\n'),
  );

let kitchen: Place;
let before: string;
const file = path.join(folder, 'kitchen.backup');

beforeAll(async () => {
  kitchen = await emptyPlace();
  const test = await startTestApp(undefined, await openDatabase(kitchen));
  await fillWorkingKitchen(test);
  const { prisma } = test.database;
  await prisma.ingredient.update({
    where: { id: 'ing_butter' },
    // What a text, a number and an instant can be at their edges.
    data: { note: 'Łódź, 30 % “fett”\n\t{"table": "x"} \\', shelfLifeDays: 0 },
  });
  await prisma.recipeLine.updateMany({ data: { quantity: 0.1 + 0.2 } });
  await test.close();
  before = await fingerprint(kitchen);
}, 120_000);
afterAll(async () => {
  if (template.kind === 'postgresql') {
    for (const name of databases) {
      await onServer(template.adminUrl, (client) =>
        client.query(`DROP DATABASE IF EXISTS ${name} WITH (FORCE)`),
      );
    }
  }
  rmSync(folder, { recursive: true, force: true });
});

describe('a backup', () => {
  it('restored into an empty database is the same, to the last bit, and the service starts over it', async () => {
    const copied = await command(kitchen, 'backup', file);
    expect(copied).toMatchObject({ code: 0 });
    expect(copied.said).toMatch(/^Copied: [1-9]\d+ rows of [1-9]\d tables/);
    expect(statSync(file).mode & 0o777).toBe(0o600);
    const place = await emptyPlace();
    const back = await command(place, 'restore', file);
    expect(back).toEqual({ code: 0, said: copied.said.replace('Copied', 'Restored') });
    expect(await fingerprint(place)).toBe(before);
    expect(await fingerprint(kitchen)).toBe(before);
    const test = await startTestApp(undefined, await openDatabase(place));
    await test.anonymous.get('/readyz').expect(200);
    await test.close();
  }, 120_000);

  it('goes from a server into an embedded folder and the other way', async () => {
    const place = await emptyPlace(true);
    expect(await command(place, 'restore', file)).toMatchObject({ code: 0 });
    const rows = (at: Place) =>
      look(at, async ({ prisma }) => [
        await prisma.prepTask.count(),
        await prisma.orderLine.count(),
        await prisma.ingredient.findUnique({ where: { id: 'ing_butter' } }),
        (await prisma.recipeLine.findFirstOrThrow()).quantity,
      ]);
    expect(await rows(place)).toEqual(await rows(kitchen));
    const again = path.join(folder, 'again.backup');
    expect(await command(place, 'backup', again)).toMatchObject({ code: 0 });
    const server = await emptyPlace();
    expect(await command(server, 'restore', again)).toMatchObject({ code: 0 });
    expect(await fingerprint(server)).toBe(before);
  }, 120_000);

  it('is refused, and changes nothing, where the database has something in it', async () => {
    const refused = await command(kitchen, 'restore', file);
    expect(refused.code).toBe(1);
    expect(refused.said).toMatch(/^The database has something in it/);
    expect(await fingerprint(kitchen)).toBe(before);
  });

  it('that was cut short, changed or is something else is refused before anything is made', async () => {
    const whole = readFileSync(file);
    const lines = gunzipSync(whole).toString('utf8');
    const place = await emptyPlace();
    for (const [name, bytes] of [
      ['cut', whole.subarray(0, whole.length - 400)],
      ['changed', gzipSync(lines.replace('"Butter"', '"Margarine"'))],
      ['a row gone', gzipSync(lines.replace(/\n\{"id":[^\n]*/, ''))],
      ['no end', gzipSync(lines.slice(0, lines.lastIndexOf('{"end"')))],
      ['plain text', Buffer.from('not a backup')],
      ['another gzip', gzipSync('{"hello":"world"}\n')],
    ] as const) {
      const bad = path.join(folder, 'bad.backup');
      writeFileSync(bad, bytes);
      const refused = await command(place, 'restore', bad);
      expect(refused.code, name).toBe(1);
      expect(refused.said, name).toMatch(/is no whole backup/);
    }
    const none = await command(place, 'restore', path.join(folder, 'none'));
    expect(none.said).toMatch(/There is no file/);
    // Not even the tables were made.
    const session = await openSqlSession(place);
    expect(await session.rows(`SELECT 1 FROM pg_tables WHERE schemaname = 'public'`)).toEqual([]);
    await session.close();
  }, 120_000);

  it('of a newer version is refused; one of an earlier version is brought up to date', async () => {
    const [head = '', ...rest] = gunzipSync(readFileSync(file)).toString('utf8').split('\n');
    const newer = JSON.parse(head) as { migrations: string[] };
    newer.migrations.push('20990101000000_later');
    const body = [JSON.stringify(newer), ...rest.slice(0, -2)].join('\n');
    const end = JSON.parse(rest.at(-2) ?? '') as { rows: number };
    const sha256 = createHash('sha256').update(`${body}\n`).digest('hex');
    const bad = path.join(folder, 'newer.backup');
    writeFileSync(
      bad,
      gzipSync(`${body}\n${JSON.stringify({ end: true, rows: end.rows, sha256 })}\n`),
    );
    const refused = await command(await emptyPlace(), 'restore', bad);
    expect(refused).toMatchObject({ code: 1 });
    expect(refused.said).toMatch(/made by a newer version/);

    // As the first version made it: one table, before every later migration.
    const first = readMigrations()[0]?.name ?? '';
    const old = [
      JSON.stringify({ ...newer, migrations: [first] }),
      JSON.stringify({ table: 'group_settings', columns: ['key', 'value', 'updatedAt'] }),
      JSON.stringify({
        key: 'name',
        value: 'Old house',
        updatedAt: '2026-01-02T03:04:05.678+00:00',
      }),
    ].join('\n');
    const sum = createHash('sha256').update(`${old}\n`).digest('hex');
    const early = path.join(folder, 'early.backup');
    writeFileSync(
      early,
      gzipSync(`${old}\n${JSON.stringify({ end: true, rows: 1, sha256: sum })}\n`),
    );
    const place = await emptyPlace();
    expect(await command(place, 'restore', early)).toMatchObject({ code: 0 });
    const kept = await look(place, ({ prisma }) => prisma.groupSetting.findMany());
    expect(kept).toEqual([
      { key: 'name', value: 'Old house', updatedAt: new Date('2026-01-02T03:04:05.678Z') },
    ]);
    const stale = await command(place, 'restore', early);
    expect(stale.said).toMatch(/something in it/);
  }, 120_000);

  it('says what is wrong with the call', async () => {
    expect((await command(kitchen, 'backup')).said).toMatch(/Use: npm run backup -- FILE/);
    expect((await command(kitchen, 'copy', 'x')).said).toMatch(/Say one of/);
    const nowhere = { dataDir: path.join(folder, 'nowhere'), databaseUrl: null };
    expect((await command(nowhere, 'backup', file)).said).toMatch(/There is no embedded database/);
  });
});

describe('an export', () => {
  it('holds every row of every table as JSON lines and as comma-separated values, without secrets', async () => {
    const to = path.join(folder, 'open');
    const written = await command(kitchen, 'export', to);
    expect(written).toMatchObject({ code: 0 });
    const counts = await look(kitchen, async ({ prisma }) => ({
      recipe_lines: await prisma.recipeLine.count(),
      prep_tasks: await prisma.prepTask.count(),
      api_tokens: await prisma.apiToken.count(),
      audit_events: await prisma.auditEvent.count(),
    }));
    for (const [table, count] of Object.entries(counts)) {
      const json = readFileSync(path.join(to, `${table}.jsonl`), 'utf8').match(/\n/g) ?? [];
      const rows = parse(readFileSync(path.join(to, `${table}.csv`)), { columns: true });
      expect([json.length, rows.length], table).toEqual([count, count]);
    }
    const butter = parse<Record<string, string>>(readFileSync(path.join(to, 'ingredients.csv')), {
      columns: true,
    }).find((row) => row.id === 'ing_butter');
    expect(butter?.note).toBe('Łódź, 30 % “fett”\n\t{"table": "x"} \\');
    const all = readdirSync(to);
    expect(all).not.toContain('sessions.csv');
    for (const name of all) {
      expect(readFileSync(path.join(to, name), 'utf8'), name).not.toMatch(
        /passwordHash|secretHash/,
      );
    }
    expect((await command(kitchen, 'export', to)).said).toMatch(/is not empty/);
  }, 60_000);
});
