import { startServer } from '../../api/start-server.ts';
import type { Database } from '../../api/persistence/database.ts';
import type { Ledger } from './ledger.ts';
import { whatIsWrong } from './what-stands.ts';

// The service in a process that a test kills: it starts when it is told to, over what the one before
// it left, and says first what it found there.

/** What the test tells it. */
export interface Begin {
  readonly databaseUrl: string | null;
  readonly dataDir: string;
  /** How far its clock is from the clock on the wall. */
  readonly aheadMs: number;
  readonly ledger: Ledger;
}

/** What it says once it serves, or why it does not. */
export type Begun =
  { readonly url: string; readonly wrong: readonly string[] } | { readonly fault: string };

async function begin({ databaseUrl, dataDir, aheadMs, ledger }: Begin): Promise<Begun> {
  let wrong: readonly string[] = [];
  const server = await startServer(
    {
      port: 0,
      host: '127.0.0.1',
      dataDir,
      databaseUrl,
      logLevel: 'silent',
      secureCookies: false,
      metricsToken: null,
      slowQueryMs: 60_000,
      drainMs: 0,
      trustProxy: null,
      poolMax: 10,
    },
    {
      clock: { now: () => new Date(Date.now() + aheadMs) },
      requestsPerMinute: 0,
      nightWork: false,
      pageDir: null,
      prepare: async (_services, database: Database) => {
        wrong = await whatIsWrong(database, ledger);
      },
    },
  );
  return { url: server.url, wrong };
}

process.once('message', (told: Begin) => {
  begin(told).then(
    (begun) => process.send?.(begun),
    (error: unknown) =>
      process.send?.({ fault: error instanceof Error ? (error.stack ?? '') : String(error) }),
  );
});
process.once('disconnect', () => process.exit());
