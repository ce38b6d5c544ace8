import { afterEach, describe, expect, inject, it } from 'vitest';
import { openPostgres } from '../../api/persistence/database.ts';
import { faultOf } from '../../api/persistence/database-errors.ts';
import { changedTables, fingerprintOf } from '../helpers/database-fingerprint.ts';
import { onServer, withDatabase } from '../helpers/database-template.ts';
import { layLine, type CutLine } from '../helpers/cut-line.ts';
import { LEAD, startTestApp, type TestApp } from '../helpers/test-app.ts';

// What a caller is told while the database fails, and that the service needs no restart afterwards.

const template = inject('databaseTemplate');
const onPostgres = template.kind === 'postgresql' ? describe : describe.skip;
const closing: (() => Promise<unknown>)[] = [];
afterEach(async () => {
  for (const close of closing.splice(0).reverse()) await close();
});

/** An application whose connections go over a line that can be cut. */
async function overLine(poolMax: number): Promise<{ test: TestApp; line: CutLine }> {
  if (template.kind !== 'postgresql') throw new Error('This needs a PostgreSQL server.');
  const name = `${template.template}_line_${Date.now()}_${closing.length}`;
  await onServer(template.adminUrl, (c) =>
    c.query(`CREATE DATABASE ${name} TEMPLATE ${template.template}`),
  );
  closing.push(() =>
    onServer(template.adminUrl, (c) => c.query(`DROP DATABASE ${name} WITH (FORCE)`)),
  );
  const line = await layLine(withDatabase(template.adminUrl, name));
  closing.push(line.cut);
  const database = await openPostgres(line.url, poolMax, 400);
  const test = await startTestApp(undefined, database);
  closing.push(test.close);
  return { test, line };
}

const INGREDIENT = { name: 'Lemon', baseUnit: 'g' };

function expectLater(answer: { status: number; body: unknown; headers: Record<string, string> }) {
  expect(answer.body).toMatchObject({
    status: 503,
    type: 'https://tamis.example/problems/unavailable',
  });
  expect(Number(answer.headers['retry-after'])).toBeGreaterThan(0);
  expect(JSON.stringify(answer.body)).not.toMatch(
    /ECONN|prisma|127\.0\.0\.1|postgres|select|insert|base\//i,
  );
}

onPostgres('a database that is away', () => {
  it('is answered by 503 for reads and writes, and the service goes on when it is back', async () => {
    const { test, line } = await overLine(4);
    await test.as(LEAD).get('/v1/ingredients').expect(200);
    await line.cut();
    expectLater(await test.as(LEAD).get('/v1/ingredients'));
    expectLater(await test.as(LEAD).post('/v1/ingredients').send(INGREDIENT));
    expectLater(
      await test
        .as(LEAD)
        .post('/v1/ingredients')
        .set('idempotency-key', 'while-it-was-away')
        .send(INGREDIENT),
    );
    await test.anonymous.get('/readyz').expect(503);
    await test.anonymous.get('/healthz').expect(200);
    await line.mend();
    await test.anonymous.get('/readyz').expect(200);
    await test
      .as(LEAD)
      .post('/v1/ingredients')
      .set('idempotency-key', 'while-it-was-away')
      .send(INGREDIENT)
      .expect(201);
  });

  it('without a free connection is answered by 503, and serves once one is free', async () => {
    const { test } = await overLine(1);
    let free = (): void => undefined;
    let taken = (): void => undefined;
    const held = new Promise<void>((resolve) => (taken = resolve));
    const holding = test.database.prisma.$transaction(async () => {
      taken();
      await new Promise<void>((resolve) => (free = resolve));
    });
    await held;
    expectLater(await test.as(LEAD).get('/v1/ingredients'));
    expectLater(await test.as(LEAD).post('/v1/ingredients').send(INGREDIENT));
    free();
    await holding;
    await test.as(LEAD).post('/v1/ingredients').send(INGREDIENT).expect(201);
  });
});

onPostgres('the connection that many small reads share', () => {
  const small = (test: TestApp, sql: string, values: (string | number | null)[] = []) =>
    test.database.rows<{ x: number }>({ name: sql, sql }, values, 'small');

  it('gives each its own answer, and a fault to none but the one that had it', async () => {
    const { test } = await overLine(1);
    const answers = await Promise.allSettled(
      Array.from({ length: 60 }, (_, n) => small(test, 'SELECT 60 / $1::int AS x', [n % 6])),
    );
    expect(
      answers.map((one) => (one.status === 'fulfilled' ? one.value : faultOf(one.reason))),
    ).toEqual(
      Array.from({ length: 60 }, (_, n) =>
        n % 6 === 0 ? null : [{ x: Math.trunc(60 / (n % 6)) }],
      ),
    );
  });

  it('tells who asks what it cannot take in, each time, and nobody else', async () => {
    const { test } = await overLine(1);
    const wrong = () => small(test, 'SELECT "crumbs" AS x');
    const ask = () => Promise.allSettled([wrong(), small(test, 'SELECT 7 AS x'), wrong()]);
    for (const answers of [await ask(), await ask()]) {
      expect(
        answers.map((one) =>
          one.status === 'fulfilled' ? one.value : (one.reason as { code: string }).code,
        ),
      ).toEqual(['42703', [{ x: 7 }], '42703']);
    }
  });

  it('brings along again what the server has forgotten', async () => {
    const { test } = await overLine(1);
    const one = () => small(test, 'SELECT 5 AS x');
    expect(await one()).toEqual([{ x: 5 }]);
    const forget = { name: 'forget', sql: 'DEALLOCATE ALL' };
    await test.database.rows(forget, [], 'small');
    expect(await Promise.all([one(), one()])).toEqual([[{ x: 5 }], [{ x: 5 }]]);
  });

  it('gives large answers whole, to each its own, also where many ask at once', async () => {
    const { test } = await overLine(1);
    const sql = `SELECT repeat($1, 60000) AS x`;
    const letters = [...'abcdefghijklmnopqrstuvwxyzàèìòù'];
    const answers = await Promise.all(
      letters.map((letter) =>
        test.database.rows<{ x: string }>({ name: sql, sql }, [letter], 'large'),
      ),
    );
    expect(answers.map(([row]) => row?.x === row?.x[0]?.repeat(60_000) && row?.x[0])).toEqual(
      letters,
    );
  });

  it('shows what was committed since, in the same moment as well', async () => {
    const { test } = await overLine(2);
    const db = test.database.prisma;
    await db.ingredient.create({ data: { id: 'ing_once', name: 'Once', baseUnit: 'g' } });
    const sql = `SELECT "name" AS x FROM "ingredients" WHERE "id" = 'ing_once'`;
    for (const name of ['Sorrel', 'Quince', 'Elder']) {
      await db.ingredient.update({ where: { id: 'ing_once' }, data: { name } });
      const seen = await Promise.all([small(test, sql), small(test, sql)]);
      expect(seen).toEqual([[{ x: name }], [{ x: name }]]);
    }
  });

  it('is opened anew after it was cut, and after it went silent with answers owed', async () => {
    const { test, line } = await overLine(1);
    const one = () => small(test, 'SELECT 1 AS x');
    expect(await one()).toEqual([{ x: 1 }]);
    await line.cut();
    expect(faultOf(await one().catch((error: unknown) => error))).toBe('away');
    await line.mend();
    expect(await one()).toEqual([{ x: 1 }]);
    line.silence();
    const owed = await Promise.allSettled([one(), one(), one()]);
    expect(owed.map((each) => (each.status === 'rejected' ? faultOf(each.reason) : each))).toEqual([
      'away',
      'away',
      'away',
    ]);
    expect(await one()).toEqual([{ x: 1 }]);
  });
});

describe('a full disk', () => {
  // What PostgreSQL says then: SQLSTATE 53100 (its manual, appendix A), here from a trigger at the last
  // write of the transaction, or when it is committed.
  it.each(['TRIGGER', 'CONSTRAINT TRIGGER'])(
    'is answered by 503, changes nothing, and writing goes on when there is room (%s)',
    async (kind) => {
      const test = await startTestApp();
      closing.push(test.close);
      const db = test.database.prisma;
      await db.$executeRawUnsafe(`CREATE FUNCTION no_room() RETURNS trigger LANGUAGE plpgsql AS $$
        BEGIN RAISE EXCEPTION 'could not extend file "base/16384/2619": No space left on device'
        USING ERRCODE = '53100'; END $$`);
      const atCommit = kind === 'TRIGGER' ? '' : 'DEFERRABLE INITIALLY DEFERRED';
      await db.$executeRawUnsafe(
        `CREATE ${kind} no_room AFTER INSERT ON audit_events ${atCommit} FOR EACH ROW EXECUTE FUNCTION no_room()`,
      );
      const fingerprint = fingerprintOf(test.database);
      const before = await fingerprint();
      expectLater(await test.as(LEAD).post('/v1/ingredients').send(INGREDIENT));
      expect(changedTables(before, await fingerprint())).toEqual([]);
      await test.as(LEAD).get('/v1/ingredients').expect(200);
      await db.$executeRawUnsafe('DROP TRIGGER no_room ON audit_events');
      await test.as(LEAD).post('/v1/ingredients').send(INGREDIENT).expect(201);
    },
  );
});
