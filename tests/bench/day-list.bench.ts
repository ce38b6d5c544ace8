import { composeServices } from '../../api/compose.ts';
import { siteDate } from '../../api/modules/forecasts/index.ts';
import type { Actor } from '../../api/modules/platform/index.ts';
import { createNewId } from '../../api/persistence/new-id.ts';
import { openPostgres, type Database } from '../../api/persistence/database.ts';
import { systemClock } from '../../api/start-server.ts';
import { fillKitchen, SITE } from '../helpers/demo-site.ts';
import { makeBenchDatabase } from './bench-database.ts';
import type { LoadResult } from './load-client.ts';
import type { BenchResult } from './ordering.bench.ts';
import { sendLoad, startBenchServer } from './processes.ts';

const LEAD: Actor = { kind: 'system', id: 'bench', name: 'bench', role: 'lead', siteIds: 'all' };
export const BENCH_PASSWORD = 'three ovens at dawn';
const EMAIL = 'cleo@bench.example';
/** A long morning: this many tasks stand on the list. Invented. */
const TASKS = 30;
const CONNECTIONS = 10;
const ROUNDS = 7;
/** So that the first rounds are no slower for code that is not compiled yet. */
const WARM_UP_MS = 2_000;
const MEASURE_MS = 4_000;

/** One synthetic kitchen with a plan, whose day is filled up with tasks like those it has. */
async function fill(database: Database): Promise<string> {
  await fillKitchen({ database } as Parameters<typeof fillKitchen>[0]);
  const services = composeServices(database, systemClock, createNewId());
  await services.access.users.create(LEAD, {
    ...{ email: EMAIL, name: 'Cleo', role: 'chef', siteIds: [SITE], password: BENCH_PASSWORD },
  });
  await services.prep.workOut(LEAD, SITE, 3);
  const today = siteDate(systemClock.now(), 'Europe/Rome');
  const rows = await database.prisma.prepTask.findMany({ where: { siteId: SITE } });
  const day = new Date(`${today}T00:00:00Z`);
  await database.prisma.prepTask.createMany({
    data: Array.from({ length: TASKS }, (_, i) => {
      const row = rows[i % rows.length];
      if (!row) throw new Error('The plan has no tasks.');
      return { ...row, id: `task_${i}`, makeDate: day, neededFor: row.neededFor ?? [] };
    }),
  });
  return today;
}

interface Asked {
  readonly status: number;
  readonly headers: Headers;
  readonly text: string;
}

async function ask(port: number, path: string, headers: Record<string, string>): Promise<Asked> {
  const answer = await fetch(`http://127.0.0.1:${port}${path}`, { headers });
  return { status: answer.status, headers: answer.headers, text: await answer.text() };
}

/** Signs the chef in. @returns the cookie */
async function signIn(port: number): Promise<string> {
  const answer = await fetch(`http://127.0.0.1:${port}/v1/session`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ email: EMAIL, password: BENCH_PASSWORD }),
  });
  return (answer.headers.getSetCookie()[0] ?? '').split(';')[0] ?? '';
}

const median = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN;

/**
 * A site's list of the day from the service as it runs, against a bare route that reads the same bytes
 * with one query; in turns, so that what else the machine does falls on all alike.
 */
export async function benchDayList(): Promise<BenchResult[]> {
  const base = await makeBenchDatabase();
  if (!base) {
    console.log('No PostgreSQL server answers: the list of the day is not measured.');
    return [];
  }
  const stops: (() => Promise<void>)[] = [];
  try {
    const database = await openPostgres(base.url, 4);
    const today = await fill(database);
    await database.close();
    const env = { DATABASE_URL: base.url };
    const service = await startBenchServer(['service'], env);
    stops.push(service.stop);
    const bare = await startBenchServer(['bare', SITE, today], env);
    stops.push(bare.stop);
    const cookie = await signIn(service.port);
    const path = `/v1/sites/${SITE}/prep-list`;
    await ask(service.port, path, { cookie });
    const ours = await ask(service.port, path, { cookie });
    const theirs = await ask(bare.port, '/list', {});
    if (ours.status !== 200 || ours.text !== theirs.text) throw new Error('Not the same bytes.');
    const etag = ours.headers.get('etag') ?? '';
    const request = (where: string, more: string): string =>
      `GET ${where} HTTP/1.1\r\nhost: bench\r\n${more}\r\n`;
    const shared = { connections: CONNECTIONS, warmUpMs: WARM_UP_MS, measureMs: MEASURE_MS };
    const loads = {
      bare: { port: bare.port, request: request('/list', ''), status: 200, ...shared },
      full: {
        port: service.port,
        request: request(path, `cookie: ${cookie}\r\n`),
        status: 200,
        ...shared,
      },
      same: {
        port: service.port,
        request: request(path, `cookie: ${cookie}\r\nif-none-match: ${etag}\r\n`),
        status: 304,
        ...shared,
      },
    };
    const rounds: Record<keyof typeof loads, LoadResult>[] = [];
    for (let round = 0; round < ROUNDS; round += 1) {
      const found = {
        bare: await sendLoad(loads.bare),
        full: await sendLoad(loads.full),
        same: await sendLoad(loads.same),
      };
      const wrong = found.bare.wrong + found.full.wrong + found.same.wrong;
      if (wrong > 0) throw new Error(`${wrong} answers were not what was asked for.`);
      rounds.push(found);
    }
    const throughput = median(rounds.map(({ bare: b, full }) => full.perSecond / b.perSecond));
    const tail = median(rounds.map(({ bare: b, full }) => full.p99Ms / b.p99Ms));
    const unchanged = median(rounds.map(({ full, same }) => same.perSecond / full.perSecond));
    const size = `${Math.round(ours.text.length / 1000)} kB`;
    return [
      {
        name: `list of the day (${size}), answers a second over a bare route's`,
        ratio: throughput,
        aim: 'at least 0.7',
        met: throughput >= 0.7,
      },
      {
        name: "list of the day, p99 over a bare route's",
        ratio: tail,
        aim: 'below 2',
        met: tail < 2,
      },
      {
        name: 'list of the day unchanged (304), answers a second over the full list',
        ratio: unchanged,
        aim: 'at least 2',
        met: unchanged >= 2,
      },
    ];
  } finally {
    for (const stop of stops) await stop();
    await base.drop();
  }
}
