import pg from 'pg';
import type { CompiledGraph, DemandVectors } from '../../api/core/explosion/index.ts';
import { compileGraph, explodeMany } from '../../api/core/explosion/index.ts';
import { buildRecipeGraph } from '../../api/core/recipe-graph/index.ts';
import { unwrap } from '../../api/core/shared/result.ts';
import { sequence, syntheticCatalogue } from '../fixtures/recipes/synthetic-catalogue.ts';

/** One comparison of a run; `ratio` is what `aim` speaks of. */
export interface BenchResult {
  readonly name: string;
  readonly ratio: number;
  readonly aim: string;
  readonly met: boolean;
}

const SERVICES = 28;
const SITES = 500;
const FEW_SITES = 50;
const ROUNDS = 25;

/**
 * Gross explosion of a catalogue of the demo's size for 500 sites × 28 services, as ratios of times
 * taken in the same run: against one recursive SQL query on PostgreSQL (left out where no server
 * answers), against a plain sparse product over typed arrays with the same number of non-zeros, and
 * against itself at 50 sites.
 */
export async function benchExplosion(): Promise<BenchResult[]> {
  const { items, recipes } = syntheticCatalogue();
  const compiled = compileGraph(unwrap(buildRecipeGraph(items, recipes)));
  const dishIds = items.filter((item) => item.kind === 'dish').map((item) => item.id);
  const full = demandFor(dishIds, SITES * SERVICES);
  const few = demandFor(dishIds, FEW_SITES * SERVICES);
  const solved = unwrap(explodeMany(compiled, full));

  const times = interleaved({
    full: () => void unwrap(explodeMany(compiled, full)),
    floor: () => void sparseProduct(compiled, solved.quantities, full.vectorCount),
    few: () => void unwrap(explodeMany(compiled, few)),
  });
  const overFloor = times.full / times.floor;
  const growth = times.full / times.few / (SITES / FEW_SITES);
  const results: BenchResult[] = [
    {
      name: 'explosion ÷ plain sparse product of the same size',
      ratio: overFloor,
      aim: 'at most 4',
      met: overFloor <= 4,
    },
    {
      name: 'explosion, time per site at 500 sites ÷ at 50',
      ratio: growth,
      aim: 'at most 1.10',
      met: growth <= 1.1,
    },
  ];
  const sqlMs = await recursiveQueryMs(compiled, full, solved);
  if (sqlMs !== null) {
    const overSql = sqlMs / times.full;
    results.unshift({
      name: 'one recursive SQL query on PostgreSQL ÷ explosion',
      ratio: overSql,
      aim: 'at least 30',
      met: overSql >= 30,
    });
  }
  return results;
}

/** Portions of each dish at each site and service: 0 to 60, the same on every run. */
function demandFor(dishIds: readonly string[], vectorCount: number): DemandVectors {
  const next = sequence(7);
  const quantities = Float64Array.from({ length: dishIds.length * vectorCount }, () =>
    Math.floor(next() * 61),
  );
  return { itemIds: dishIds, vectorCount, quantities };
}

/** Median time of each, ms, taken turn by turn so that a busy machine slows all alike. */
function interleaved<K extends string>(runs: Record<K, () => void>): Record<K, number> {
  const names = Object.keys(runs) as K[];
  const samples = new Map<K, number[]>(names.map((name) => [name, []]));
  for (let round = -3; round < ROUNDS; round += 1) {
    for (const name of names) {
      const start = performance.now();
      runs[name]();
      if (round >= 0) samples.get(name)?.push(performance.now() - start);
    }
  }
  const median = (name: K): number =>
    (samples.get(name) ?? []).sort((a, b) => a - b)[Math.floor(ROUNDS / 2)] ?? NaN;
  return Object.fromEntries(names.map((name) => [name, median(name)])) as Record<K, number>;
}

/** The floor: one product A·X, X dense with a row an item, A in compressed sparse form. */
function sparseProduct(graph: CompiledGraph, x: Float64Array, width: number): Float64Array {
  const { edgeStart, edgeChild, edgeFactor, itemIds } = graph;
  const y = new Float64Array(itemIds.length * width);
  for (let parent = 0; parent < itemIds.length; parent += 1) {
    const from = parent * width;
    const end = edgeStart[parent + 1] ?? 0;
    for (let edge = edgeStart[parent] ?? 0; edge < end; edge += 1) {
      const to = (edgeChild[edge] ?? 0) * width;
      const factor = edgeFactor[edge] ?? 0;
      for (let v = 0; v < width; v += 1) {
        y[to + v] = (y[to + v] as number) + factor * (x[from + v] as number);
      }
    }
  }
  return y;
}

/**
 * The same explosion as one query. Only a count and a total travel back, which favours the query.
 * Tables are temporary, filled, indexed and analysed before the clock starts.
 *
 * @returns the time in ms, or null where no server answers
 * @throws Error where the query does not give the explosion's answer
 */
async function recursiveQueryMs(
  graph: CompiledGraph,
  demand: DemandVectors,
  solved: DemandVectors,
): Promise<number | null> {
  const client = await connect();
  if (client === null) return null;
  try {
    // Room to sort and hash in memory, so that the query is not measured against its disk.
    await client.query("SET work_mem = '512MB'");
    await client.query('CREATE TEMPORARY TABLE edge (parent int, child int, factor float8)');
    await client.query('CREATE TEMPORARY TABLE demand (vector int, item int, quantity float8)');
    const parents = graph.itemIds.flatMap((_, parent) =>
      Array<number>((graph.edgeStart[parent + 1] ?? 0) - (graph.edgeStart[parent] ?? 0)).fill(
        parent,
      ),
    );
    await client.query(
      'INSERT INTO edge SELECT * FROM unnest($1::int[], $2::int[], $3::float8[])',
      [parents, [...graph.edgeChild], [...graph.edgeFactor]],
    );
    for (const [row, itemId] of demand.itemIds.entries()) {
      const from = row * demand.vectorCount;
      await client.query(
        `INSERT INTO demand SELECT n - 1, $1, q
           FROM unnest($2::float8[]) WITH ORDINALITY AS one(q, n) WHERE q > 0`,
        [
          graph.positions.get(itemId),
          [...demand.quantities.subarray(from, from + demand.vectorCount)],
        ],
      );
    }
    await client.query('CREATE INDEX ON edge (parent)');
    await client.query('ANALYZE edge');
    await client.query('ANALYZE demand');
    const start = performance.now();
    const { rows } = await client.query<{ figures: string; total: number }>(
      `WITH RECURSIVE need (vector, item, quantity) AS (
         SELECT vector, item, quantity FROM demand
         UNION ALL
         SELECT need.vector, edge.child, need.quantity * edge.factor
           FROM need JOIN edge ON edge.parent = need.item
       )
       SELECT count(*) AS figures, sum(quantity) AS total
         FROM (SELECT vector, item, sum(quantity) AS quantity FROM need GROUP BY vector, item) AS gross`,
    );
    const elapsed = performance.now() - start;
    const figures = solved.quantities.reduce((count, q) => count + (q > 0 ? 1 : 0), 0);
    const total = solved.quantities.reduce((sum, q) => sum + q, 0);
    const first = rows[0];
    if (
      first === undefined ||
      Number(first.figures) !== figures ||
      Math.abs(first.total - total) > 1e-9 * total
    ) {
      throw new Error(
        `The query and the explosion differ: ${JSON.stringify(first)}, ${figures}, ${total}`,
      );
    }
    return elapsed;
  } finally {
    await client.end();
  }
}

/** DATABASE_URL where it is set; else a server on this machine's usual port, if one answers. */
async function connect(): Promise<pg.Client | null> {
  const url = process.env['DATABASE_URL'];
  const client = new pg.Client(
    url !== undefined
      ? { connectionString: url }
      : {
          host: '127.0.0.1',
          port: 5432,
          user: process.env['PGUSER'] ?? 'postgres',
          database: process.env['PGDATABASE'] ?? 'postgres',
          connectionTimeoutMillis: 2000,
        },
  );
  try {
    await client.connect();
    return client;
  } catch (error) {
    if (url !== undefined) throw error;
    return null;
  }
}
