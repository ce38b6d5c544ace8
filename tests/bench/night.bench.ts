import { openPostgres } from '../../api/persistence/database.ts';
import { makeBenchDatabase } from './bench-database.ts';
import { fillManySites } from './many-sites.ts';
import type { BenchResult } from './ordering.bench.ts';
import { runScript } from './processes.ts';

const MANY_SITES = Number(process.env.TAMIS_BENCH_NIGHT_SITES ?? 500);
const FEW_SITES = Math.min(25, MANY_SITES);
/** Three in the morning at the sites (Europe/Rome), which is after one o'clock UTC. */
const NIGHT = '2026-03-10T02:30:00Z';
const LINEAR = 1.2;
/**
 * Times the memory of a night of one site: what is held of all sites at once is a list of their ids. The
 * rest is room that the garbage collector takes while there is plenty, so it must not go on growing.
 */
const MEMORY = 2;
const GROWING = 1.2;

interface Night {
  readonly wallMs: number;
  readonly peakBytes: number;
  readonly ended: Readonly<Record<string, number>>;
}

/** @returns null where no PostgreSQL server answers */
async function nightOf(sites: number): Promise<Night | null> {
  const base = await makeBenchDatabase();
  if (!base) return null;
  try {
    const database = await openPostgres(base.url, 4);
    await fillManySites(database, sites);
    await database.close();
    const night = JSON.parse(await runScript('bench-night.ts', [base.url, NIGHT])) as Night;
    const { ended } = night;
    if (ended['site done'] !== sites || ended['forecasts done'] !== 1) {
      throw new Error(`The night of ${sites} sites ended otherwise: ${JSON.stringify(ended)}`);
    }
    return night;
  } finally {
    await base.drop();
  }
}

/** The night work of a whole group of small synthetic sites: how its time and its memory grow. */
export async function benchNight(): Promise<BenchResult[]> {
  const one = await nightOf(1);
  if (!one) {
    console.log('No PostgreSQL server answers: the night is not measured.');
    return [];
  }
  const few = await nightOf(FEW_SITES);
  const many = await nightOf(MANY_SITES);
  if (!few || !many) return [];
  const perSite = many.wallMs / MANY_SITES / (few.wallMs / FEW_SITES);
  const memory = many.peakBytes / one.peakBytes;
  const growing = many.peakBytes / few.peakBytes;
  const name = `night of ${MANY_SITES} sites`;
  return [
    {
      name: `${name}: time a site over that of ${FEW_SITES} sites`,
      ...{ ratio: perSite, aim: `at most ${LINEAR}`, met: perSite <= LINEAR },
    },
    {
      name: `${name}: peak memory over that of one site`,
      ...{ ratio: memory, aim: `at most ${MEMORY}`, met: memory <= MEMORY },
    },
    {
      name: `${name}: peak memory over that of ${FEW_SITES} sites`,
      ...{ ratio: growing, aim: `at most ${GROWING}`, met: growing <= GROWING },
    },
  ];
}
