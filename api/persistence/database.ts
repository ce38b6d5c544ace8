import { PrismaPg } from '@prisma/adapter-pg';
import pg from 'pg';
import { EmbeddedAdapter } from './embedded-adapter.ts';
import { EmbeddedFolder, startInMemory, type EmbeddedSql } from './embedded-engine.ts';
import { lockFolder } from './folder-lock.ts';
import { PrismaClient, type Prisma } from './generated/client.ts';
import { migrate } from './migrate.ts';
import { PipelinedReads, type Statement } from './pipelined-reads.ts';

export type Db = Prisma.TransactionClient;

/** A statement the database has answered: its text without the values, and how long it took. */
export interface SeenQuery {
  readonly sql: string;
  readonly durationMs: number;
}

/** What a statement straight to the driver may be given. */
export type Value = string | number | null;
/** What a statement answers: a row or two of short values, or texts of many kilobytes. */
export type AnswerSize = 'small' | 'large';
type Ask = (statement: Statement, values: readonly Value[], size: AnswerSize) => Promise<object[]>;

/** How the connections to the server are used at this moment. */
export interface PoolUse {
  /** As many as this process opens at most. */
  readonly max: number;
  readonly inUse: number;
  readonly idle: number;
  /** Requests for a connection that wait for one. */
  readonly waiting: number;
}

/** An open database, embedded or PostgreSQL, with the migrations applied. */
export interface Database {
  readonly prisma: PrismaClient;
  readonly kind: 'embedded' | 'postgresql';
  /** Throws when the database does not answer. */
  ping(): Promise<void>;
  /**
   * One read straight to the server, for the few that every tablet asks all the time. `$1` takes texts,
   * numbers and nulls. Reads with small answers share a connection; those with large ones, which would
   * hold them up, share another.
   */
  rows<Row extends object>(
    statement: Statement,
    values: readonly Value[],
    size: AnswerSize,
  ): Promise<Row[]>;
  /** Calls `seen` after each statement; it must not throw. */
  watchQueries(seen: (query: SeenQuery) => void): void;
  /** Null for the embedded database, which has no connections. */
  poolUse(): PoolUse | null;
  close(): Promise<void>;
}

/** Connections of one process where the settings name no number. */
const POOL_MAX = 10;
/** A request that gets no connection by then is told to come again, rather than left waiting. */
const CONNECT_WITHIN_MS = 5_000;
/** Small answers of one moment fit the server's buffer and are sent by it together. */
const SMALL_TOGETHER = 8;
/** A large one is sent as it is read, whole, whoever asks next. */
const LARGE_TOGETHER = 1;
/** Connections for reads with large answers at most, opened as many ask at once, so that one that is slow to come holds up few. */
const LARGE_LINES = 8;
const TRANSACTION_OPTIONS = { maxWait: 10_000, timeout: 60_000 } as const;

function clientOver(
  adapter: EmbeddedAdapter | PrismaPg,
  ask: Ask,
): Pick<Database, 'prisma' | 'rows' | 'watchQueries'> {
  const prisma = new PrismaClient({
    adapter,
    transactionOptions: TRANSACTION_OPTIONS,
    log: [{ emit: 'event', level: 'query' }],
  });
  let seenBy: (query: SeenQuery) => void = () => undefined;
  return {
    prisma,
    rows: async <Row extends object>(
      statement: Statement,
      values: readonly Value[],
      size: AnswerSize,
    ) => {
      const began = performance.now();
      const rows = await ask(statement, values, size);
      seenBy({ sql: statement.sql, durationMs: performance.now() - began });
      return rows as Row[];
    },
    watchQueries: (seen) => {
      seenBy = seen;
      prisma.$on('query', ({ query, duration }) => seen({ sql: query, durationMs: duration }));
    },
  };
}

async function overEngine(sql: EmbeddedSql, release: () => void): Promise<Database> {
  await migrate(
    {
      exec: async (text) => void (await sql.exec(text)),
      rows: async (text, values) =>
        (await sql.query<Record<string, unknown>>(text, values ? [...values] : [])).rows,
    },
    { lock: false },
  );
  const client = clientOver(
    new EmbeddedAdapter(sql),
    async (statement, values) => (await sql.query<object>(statement.sql, [...values])).rows,
  );
  const { prisma } = client;
  return {
    ...client,
    kind: 'embedded',
    poolUse: () => null,
    ping: async () => void (await prisma.$queryRaw`SELECT 1`),
    close: async () => {
      await prisma.$disconnect();
      await sql.close();
      release();
    },
  };
}

/** Opens (and creates, the first time) the embedded database in a folder. */
export async function openEmbedded(dataDir: string): Promise<Database> {
  const lock = await lockFolder(dataDir);
  try {
    return await overEngine(await EmbeddedFolder.open(dataDir), lock.release);
  } catch (error) {
    lock.release();
    throw error;
  }
}

/** Opens an embedded database in memory, from a dump of a migrated one where given. For tests. */
export async function openInMemory(dump?: Blob): Promise<Database> {
  return overEngine(await startInMemory(dump), () => undefined);
}

/**
 * Opens a PostgreSQL database; migrations run under an advisory lock shared by all replicas.
 * @param connectWithinMs how long a request waits for a connection of the pool or of the server
 */
export async function openPostgres(
  url: string,
  poolMax = POOL_MAX,
  connectWithinMs = CONNECT_WITHIN_MS,
): Promise<Database> {
  const client = new pg.Client({
    connectionString: url,
    connectionTimeoutMillis: CONNECT_WITHIN_MS,
  });
  await client.connect();
  try {
    await migrate(
      {
        exec: async (sql) => void (await client.query(sql)),
        rows: async (sql, values) => (await client.query(sql, values ? [...values] : [])).rows,
      },
      { lock: true },
    );
  } finally {
    await client.end();
  }
  const pool = new pg.Pool({
    connectionString: url,
    max: poolMax,
    connectionTimeoutMillis: connectWithinMs,
    keepAlive: true,
    // Within a transaction Prisma asks for the relations of what it read all at once.
    pipeline: true,
  });
  const reads = {
    small: [new PipelinedReads(url, connectWithinMs, SMALL_TOGETHER)],
    large: Array.from(
      { length: LARGE_LINES },
      () => new PipelinedReads(url, connectWithinMs, LARGE_TOGETHER),
    ),
  };
  const over = clientOver(
    new PrismaPg(pool, { disposeExternalPool: true }),
    (statement, values, size) =>
      reads[size].reduce((a, b) => (b.waiting < a.waiting ? b : a)).query(statement, values),
  );
  const { prisma } = over;
  // On a connection of its own: a process whose connections are all at work is busy, not unready.
  const pinging = new pg.Pool({
    connectionString: url,
    max: 1,
    connectionTimeoutMillis: connectWithinMs,
    query_timeout: connectWithinMs,
    keepAlive: true,
  });
  pinging.on('error', () => undefined);
  return {
    ...over,
    kind: 'postgresql',
    poolUse: () => ({
      max: poolMax,
      inUse: pool.totalCount - pool.idleCount,
      idle: pool.idleCount,
      waiting: pool.waitingCount,
    }),
    ping: async () => void (await pinging.query('SELECT 1')),
    close: async () => {
      await Promise.all([
        pinging.end(),
        ...[...reads.small, ...reads.large].map((one) => one.close()),
      ]);
      await prisma.$disconnect();
    },
  };
}

/** Opens whichever database the settings name. */
export function openDatabase(config: {
  readonly databaseUrl: string | null;
  readonly dataDir: string;
  readonly poolMax?: number;
}): Promise<Database> {
  return config.databaseUrl
    ? openPostgres(config.databaseUrl, config.poolMax)
    : openEmbedded(config.dataDir);
}
