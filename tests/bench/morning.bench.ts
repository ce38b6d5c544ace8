import { readFileSync } from 'node:fs';
import { setTimeout as timeout } from 'node:timers/promises';
import { siteDate } from '../../api/modules/forecasts/index.ts';
import { openPostgres } from '../../api/persistence/database.ts';
import { systemClock } from '../../api/start-server.ts';
import { makeBenchDatabase } from './bench-database.ts';
import { fillManySites, fillMornings, siteIdOf, ZONE } from './many-sites.ts';
import { Cook, KINDS, type Kind, type Timings } from './morning-cook.ts';
import type { BenchResult } from './ordering.bench.ts';
import { startBenchServer, type BenchServer } from './processes.ts';

const CHEFS = Number(process.env.TAMIS_BENCH_CHEFS ?? 200);
/** Everybody's whole morning is pressed into this; each begins in the first quarter. */
const MORNING_S = Number(process.env.TAMIS_BENCH_MORNING_SECONDS ?? 120);
const SOAK_MIN = Number(process.env.TAMIS_BENCH_SOAK_MINUTES ?? 5);
const SOAK_COOKS = 8;
const IDLE_COOKS = 6;
const TASKS = 15;
const PASSWORD = 'three ovens at dawn';
const MS = 1000;
const FLAT = 1.1;

const at = (sorted: readonly number[], part: number): number =>
  sorted[Math.floor(part * (sorted.length - 1))] ?? Number.NaN;
const sorted = (values: readonly number[]): number[] => [...values].sort((a, b) => a - b);
const cookOf = (service: BenchServer, n: number, times: Timings): Cook =>
  new Cook(
    `http://127.0.0.1:${service.port}`,
    siteIdOf(n),
    `chef${n}@bench.example`,
    PASSWORD,
    times,
  );
const noTimes = (): Timings => ({ signIn: [], list: [], card: [], tick: [], wrong: [] });

/** The memory of a process that is its own, in bytes (Linux). */
function residentBytes(pid: number): number {
  const kb = /VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1];
  return Number(kb) * 1024;
}

/** One cook after another, with nobody else about: what each kind of request takes then. */
async function idle(service: BenchServer): Promise<Timings> {
  const times = noTimes();
  for (let n = 0; n < IDLE_COOKS; n += 1) {
    // The first warms the service up.
    await cookOf(service, n, n === 0 ? noTimes() : times).morning(() => Promise.resolve());
  }
  return times;
}

/** All other chefs at once, each with the time of a person between two presses. */
async function rush(service: BenchServer): Promise<Timings> {
  const times = noTimes();
  await Promise.all(
    Array.from({ length: CHEFS }, async (_, i) => {
      const first = ((i * 0.618) % 1) * (MORNING_S / 4);
      await timeout(first * MS);
      const pause = ((MORNING_S * 3) / 4 / Cook.requests) * MS;
      await cookOf(service, IDLE_COOKS + i, times).morning(() => timeout(pause));
    }),
  );
  return times;
}

/** Lists, cards and ticks without a pause. @returns memory late in it over memory early in it */
async function soak(service: BenchServer, wrong: string[]): Promise<number> {
  const until = performance.now() + SOAK_MIN * 60 * MS;
  const resident: number[] = [];
  const watch = setInterval(() => resident.push(residentBytes(service.pid)), MS);
  await Promise.all(
    Array.from({ length: SOAK_COOKS }, async (_, n) => {
      const times = noTimes();
      const cook = cookOf(service, n % IDLE_COOKS, times);
      await cook.signIn();
      while (performance.now() < until) {
        await cook.round();
        for (const kind of KINDS) times[kind].length = 0;
      }
      wrong.push(...times.wrong);
    }),
  );
  clearInterval(watch);
  const part = (from: number, to: number): number =>
    at(
      sorted(resident.slice(Math.floor(resident.length * from), Math.ceil(resident.length * to))),
      0.5,
    );
  return part(0.8, 1) / part(0.2, 0.4);
}

/** A group's chefs at half past six: each signs in, opens the list, looks at 20 cards and ticks 30 times. */
export async function benchMorning(): Promise<BenchResult[]> {
  const base = await makeBenchDatabase();
  if (!base) {
    console.log('No PostgreSQL server answers: the morning is not measured.');
    return [];
  }
  let service: BenchServer | null = null;
  try {
    const database = await openPostgres(base.url, 4);
    const day = siteDate(systemClock.now(), ZONE);
    const sites = IDLE_COOKS + CHEFS;
    await fillManySites(database, sites);
    await fillMornings(database, systemClock, sites, day, TASKS, PASSWORD);
    await database.close();
    service = await startBenchServer(['service'], { DATABASE_URL: base.url });
    const alone = await idle(service);
    const together = await rush(service);
    const wrong = [...alone.wrong, ...together.wrong];
    const grown = SOAK_MIN > 0 ? await soak(service, wrong) : Number.NaN;
    for (const line of wrong.slice(0, 5)) console.log(`  ${line}`);
    const ratio = (kinds: readonly Kind[]): number =>
      at(sorted(kinds.flatMap((kind) => together[kind])), 0.99) /
      at(sorted(kinds.flatMap((kind) => alone[kind])), 0.5);
    const asked = KINDS.reduce((sum, kind) => sum + together[kind].length, 0);
    const name = `${CHEFS} chefs' mornings in ${MORNING_S} s (${asked} requests)`;
    const told = (what: string, kinds: readonly Kind[]): BenchResult => ({
      name: `${name}: ${what}, p99 over p50 of one chef alone`,
      ...{ ratio: ratio(kinds), aim: 'told', met: true },
    });
    return [
      { name: `${name}: errors`, ratio: wrong.length, aim: '0', met: wrong.length === 0 },
      told('sign in', ['signIn']),
      told('list', ['list']),
      told('cards', ['card']),
      told('ticks', ['tick']),
      ...(SOAK_MIN > 0
        ? [
            {
              name: `soak of ${SOAK_MIN} min: memory in its last fifth over its second`,
              ...{ ratio: grown, aim: `at most ${FLAT}`, met: grown <= FLAT },
            },
          ]
        : []),
    ];
  } finally {
    await service?.stop();
    await base.drop();
  }
}
