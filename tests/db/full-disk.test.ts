import { spawnSync } from 'node:child_process';
import { closeSync, mkdtempSync, openSync, rmSync, statfsSync, writeSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, inject, it } from 'vitest';
import { openEmbedded, type Database } from '../../api/persistence/database.ts';
import { faultOf } from '../../api/persistence/database-errors.ts';
import { changedTables, fingerprintOf } from '../helpers/database-fingerprint.ts';
import { LEAD, startTestApp } from '../helpers/test-app.ts';

// The embedded database on a file system of its own that runs full. It needs leave to mount one
// (root on Linux) and is left out without.

const MB = 1_048_576;
const INGREDIENT = { name: 'Lemon', baseUnit: 'g' };
const place = mkdtempSync(path.join(os.tmpdir(), 'tamis-full-'));
const ballast = path.join(place, 'ballast');
const mounted =
  inject('databaseTemplate').kind === 'embedded' &&
  spawnSync('mount', ['-t', 'tmpfs', '-o', 'size=260m', 'tmpfs', place]).status === 0;

/** Fills the file system up to what is left free. */
function fill(leftBytes: number): void {
  const file = openSync(ballast, 'a');
  const piece = Buffer.alloc(MB / 4);
  try {
    for (;;) {
      const { bavail, bsize } = statfsSync(place);
      if (bavail * bsize <= leftBytes) return;
      writeSync(file, piece, 0, Math.min(piece.length, bavail * bsize - leftBytes));
    }
  } finally {
    closeSync(file);
  }
}
const makeRoom = () => rmSync(ballast, { force: true });

let dir = '';
let folders = 0;
const closing: (() => Promise<unknown>)[] = [];
beforeEach(() => {
  folders += 1;
  dir = path.join(place, `data-${folders}`);
});
afterEach(async () => {
  makeRoom();
  for (const close of closing.splice(0).reverse()) await close();
  rmSync(dir, { recursive: true, force: true });
});
beforeAll(() => {
  if (!mounted) console.log('Left out: a full disk, for want of leave to mount a file system.');
});
afterAll(() => {
  if (mounted) spawnSync('umount', ['--lazy', place]);
  rmSync(place, { recursive: true, force: true });
});

async function open(): Promise<Database> {
  const database = await openEmbedded(dir);
  closing.push(database.close);
  return database;
}
/** Writes so much to the log ahead of the tables that it needs another file. */
const writeAhead = (db: Pick<Database['prisma'], '$queryRaw'>) =>
  db.$queryRaw`SELECT pg_logical_emit_message(true, 'test', repeat('0123456789', 2000000))::text`;
const faultFrom = async (work: Promise<unknown>) =>
  work.then(
    () => 'none',
    (error: unknown) => faultOf(error),
  );

describe.skipIf(!mounted)('the embedded database on a full disk', () => {
  it('answers reads, refuses what would change it by 503, and goes on when there is room', async () => {
    const test = await startTestApp(undefined, await openEmbedded(dir));
    closing.push(test.close);
    const fingerprint = fingerprintOf(test.database);
    const before = await fingerprint();
    fill(40 * MB);
    const refused = await test.as(LEAD).post('/v1/ingredients').send(INGREDIENT).expect(503);
    expect(refused.body).toMatchObject({
      type: 'https://tamis.example/problems/unavailable',
      detail: 'There is no room left to write in the database. Nothing was changed.',
    });
    expect(refused.headers['retry-after']).toBe('60');
    await test.as(LEAD).get('/v1/ingredients').expect(200);
    expect(changedTables(before, await fingerprint())).toEqual([]);
    makeRoom();
    await test.as(LEAD).post('/v1/ingredients').send(INGREDIENT).expect(201);
  });

  it('that stopped for it in the middle of a change refuses until there is room, and has lost nothing', async () => {
    const { prisma } = await open();
    const put = (key: string) => (db: Pick<Database['prisma'], 'groupSetting'>) =>
      db.groupSetting.create({ data: { key, value: 1 } });
    await prisma.$transaction(put('told before'));
    const stopped = prisma.$transaction(async (tx) => {
      await put('never told')(tx);
      fill(0);
      await writeAhead(tx);
    });
    expect(await faultFrom(stopped)).toBe('full');
    expect(await faultFrom(prisma.groupSetting.count())).toBe('full');
    expect(await faultFrom(prisma.$transaction(put('refused')))).toBe('full');
    makeRoom();
    await Promise.all([prisma.$transaction(put('told after')), prisma.groupSetting.count()]);
    const rows = await prisma.groupSetting.findMany({ orderBy: { key: 'asc' } });
    expect(rows.map(({ key }) => key)).toEqual(['told after', 'told before']);
  });

  it('is opened again after the room ran out and the process ended', async () => {
    const first = await open();
    await first.prisma.groupSetting.create({ data: { key: 'told', value: 1 } });
    const stopped = first.prisma.$transaction(async (tx) => {
      fill(0);
      await writeAhead(tx);
    });
    expect(await faultFrom(stopped)).toBe('full');
    await first.close();
    await expect(openEmbedded(dir)).rejects.toThrow(/No space left on device: .* needs 64 MB free/);
    makeRoom();
    const second = await open();
    expect(await second.prisma.groupSetting.count()).toBe(1);
  });
});
