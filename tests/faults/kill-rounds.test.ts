import { mkdtempSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { setTimeout as timeout } from 'node:timers/promises';
import { afterEach, describe, expect, inject, it } from 'vitest';
import { openDatabase } from '../../api/persistence/database.ts';
import { onServer, withDatabase } from '../helpers/database-template.ts';
import { startTestApp, SYSTEM } from '../helpers/test-app.ts';
import { fillWorkingKitchen } from '../helpers/working-kitchen.ts';
import { Dice } from '../security/fuzz/dice.ts';
import { Callers, type SignedIn } from './callers.ts';
import { buildService, startProcess } from './killed-service.ts';
import { emptyLedger } from './ledger.ts';
import { whatIsWrong } from './what-stands.ts';

// The real service, killed again and again while seven callers write: nobody loses what they were
// told, nothing is there by half, and what had no answer is done once when it is sent again.

/** TAMIS_KILL_ROUNDS=50 is the full count: five to ten minutes on a small machine. */
const ROUNDS = Number(process.env.TAMIS_KILL_ROUNDS ?? 8);
const SEED = Number(process.env.TAMIS_KILL_SEED ?? 20_260_310);
const KITCHEN_TIME = '2026-03-10T05:30:00Z';
/** Between two processes: more than a request without an answer is taken to be under way. */
const PASSES_MS = 2 * 60_000;
const MOST_ANSWERS = 16;
const STARTING_MS = 1_500;
const LONG = { timeout: 30 * 60_000 };
const PERSON = { email: 'ada@lakes.example', password: 'three ovens at dawn' };

const template = inject('databaseTemplate');
const closing: (() => unknown)[] = [];
afterEach(async () => {
  for (const close of closing.splice(0).reverse()) await close();
});

interface Place {
  readonly databaseUrl: string | null;
  readonly dataDir: string;
  /** Waits until nothing of a killed process goes on in the database server. */
  settled(): Promise<void>;
}

async function newPlace(): Promise<Place> {
  const dataDir = mkdtempSync(path.join(os.tmpdir(), 'tamis-killed-'));
  closing.push(() => rmSync(dataDir, { recursive: true, force: true }));
  if (template.kind === 'embedded') {
    return { databaseUrl: null, dataDir, settled: async () => undefined };
  }
  const { adminUrl } = template;
  const name = `${template.template}_killed_${process.pid}`;
  await onServer(adminUrl, (c) => c.query(`CREATE DATABASE ${name} TEMPLATE ${template.template}`));
  closing.push(() =>
    onServer(adminUrl, (c) => c.query(`DROP DATABASE IF EXISTS ${name} WITH (FORCE)`)),
  );
  const settled = () =>
    onServer(adminUrl, async (client) => {
      for (;;) {
        const { rows } = await client.query<{ n: number }>(
          'SELECT count(*)::int AS n FROM pg_stat_activity WHERE datname = $1',
          [name],
        );
        if (rows[0]?.n === 0) return;
        await timeout(5);
      }
    });
  return { databaseUrl: withDatabase(adminUrl, name), dataDir, settled };
}

async function fill(place: Place): Promise<void> {
  const test = await startTestApp(KITCHEN_TIME, await openDatabase(place));
  await fillWorkingKitchen(test);
  const { prisma } = test.database;
  const lots = await prisma.stockLot.findMany();
  await prisma.stockMovement.createMany({
    data: lots.map(({ id, quantity }) => ({
      ...{ id: `mov_${id}`, lotId: id, quantity },
      ...{ kind: 'found', actorId: 'test' },
    })),
  });
  const person = { ...PERSON, name: 'Ada', role: 'admin', siteIds: 'all' } as const;
  await test.services.access.users.create(SYSTEM, person);
  await test.close();
}

async function signIn(url: string): Promise<SignedIn> {
  const answer = await fetch(`${url}/v1/session`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(PERSON),
  });
  const { csrfToken } = (await answer.json()) as { csrfToken: string };
  const cookie = answer.headers.get('set-cookie')?.split(';')[0] ?? '';
  return { cookie, 'x-csrf-token': csrfToken };
}

/** Resolves a random moment after a random number of answers, or when nobody writes any more. */
async function amidWork(
  dice: Dice,
  callers: Callers,
  url: string,
): Promise<{ readonly working: Promise<void> }> {
  let left = 1 + dice.below(MOST_ANSWERS);
  const moment = dice.below(30);
  let working: Promise<void> = Promise.resolve();
  await new Promise<void>((resolve) => {
    working = callers.work(url, () => {
      left -= 1;
      if (left === 0) setTimeout(resolve, moment);
    });
    void working.then(resolve);
  });
  return { working };
}

describe('the service killed while it writes', () => {
  it(`keeps what it answered and nothing by half, ${ROUNDS} times`, LONG, async () => {
    const dice = new Dice(SEED);
    const place = await newPlace();
    const [file] = await Promise.all([buildService(), fill(place)]);
    closing.push(() => rmSync(path.resolve(file, '../../..'), { recursive: true, force: true }));
    const ahead = Date.parse(KITCHEN_TIME) - Date.now();
    const ledger = emptyLedger();
    let callers: Callers | null = null;
    let killedStarting = 0;
    let service = startProcess(file);
    let next = service;
    closing.push(() => Promise.all([service.kill(), next.kill()]));

    for (let round = 0; round < ROUNDS; round += 1) {
      await place.settled();
      const beginning = service.begin({
        databaseUrl: place.databaseUrl,
        dataDir: place.dataDir,
        aheadMs: ahead + round * PASSES_MS,
        ledger,
      });
      next = startProcess(file);
      let working: Promise<unknown> = beginning;
      // Now and then before it serves: while it mends the database the last one left.
      if (round % 8 === 7) {
        const begun = await Promise.race([beginning, timeout(dice.below(STARTING_MS))]);
        if (!begun) killedStarting += 1;
      } else {
        const begun = await beginning;
        if ('fault' in begun) throw new Error(`Round ${round}: ${begun.fault}`);
        expect(begun.wrong, `found in round ${round}`).toEqual([]);
        callers ??= new Callers(ledger, await signIn(begun.url));
        ({ working } = await amidWork(dice, callers, begun.url));
      }
      await service.kill();
      await working;
      service = next;
    }

    const database = await openDatabase(place);
    closing.push(() => database.close());
    expect(await whatIsWrong(database, ledger)).toEqual([]);
    console.log(
      `Killed ${ROUNDS} times, ${killedStarting} of them while starting:`,
      callers?.tally,
    );
    expect(callers?.tally.odd).toEqual([]);
    expect(callers?.tally.told).toBeGreaterThan(ROUNDS);
    expect(callers?.tally.unanswered).toBeGreaterThan(ROUNDS / 2);
  });
});
