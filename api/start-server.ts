import { existsSync } from 'node:fs';
import { createServer } from 'node:net';
import path from 'node:path';
import { setTimeout as timeout } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import type { FastifyServerOptions } from 'fastify';
import { buildApp } from './app.ts';
import { composeServices } from './compose.ts';
import type { Config } from './config.ts';
import { startNightQueue } from './jobs/night-queue.ts';
import { startNightTimer } from './jobs/night-timer.ts';
import type { JobEnded, RunningNightWork } from './jobs/night-watch.ts';
import { createAuthenticate } from './modules/access/index.ts';
import type { Clock } from './modules/platform/index.ts';
import type { Services } from './modules/routes.ts';
import { LogLines } from './observe/log-lines.ts';
import { ServiceMetrics } from './observe/metrics.ts';
import { startTraces } from './observe/traces.ts';
import { openDatabase, type Database, type PoolUse } from './persistence/database.ts';
import { faultOf } from './persistence/database-errors.ts';
import { createIdempotencyStore } from './persistence/idempotency.repository.ts';
import { startCalculator } from './workers/calculator.ts';
import { createNewId } from './persistence/new-id.ts';

const BUILT_PAGE = path.join(path.dirname(fileURLToPath(import.meta.url)), '..', 'web', 'dist');
/** How long requests that are under way may take to end after a stop is asked for. */
const STOP_WITHIN_MS = 10_000;

const NO_CONNECTIONS: PoolUse = { max: 0, inUse: 0, idle: 0, waiting: 0 };

/** The clock on the wall. */
export const systemClock: Clock = { now: () => new Date() };

export interface StartOptions {
  readonly clock?: Clock;
  /** A database that is open already; the server then closes it all the same. */
  readonly database?: Database;
  /** Folder of the built page; left out: web/dist when it is there. Null: no page. */
  readonly pageDir?: string | null;
  /** Left out: structured lines on standard output at the level of the settings. */
  readonly logger?: FastifyServerOptions['logger'];
  readonly requestsPerMinute?: number;
  /** Whether forecasts, plans and orders are worked out at night without being asked for. */
  readonly nightWork?: boolean;
  /** Called before the server listens, for loading data. */
  readonly prepare?: (services: Services, database: Database) => Promise<void>;
}

/** A service that listens. */
export interface RunningServer {
  readonly url: string;
  readonly services: Services;
  readonly database: Database;
  /** Lets requests under way end, then closes the database. May be called twice. */
  close(): Promise<void>;
}

/** The log settings: one JSON line an event, with nothing that signs anybody in. */
export function loggerSettings(level: string): FastifyServerOptions['logger'] {
  if (level === 'silent') return false;
  return {
    level,
    stream: new LogLines(),
    redact: {
      paths: [
        'req.headers.cookie',
        'req.headers.authorization',
        'req.headers["x-csrf-token"]',
        'res.headers["set-cookie"]',
        ...['password', 'currentPassword', 'newPassword', 'setupCode', 'secret'].flatMap((name) => [
          name,
          `*.${name}`,
        ]),
      ],
      censor: 'hidden',
    },
  };
}

function plainListenError(error: unknown, config: Config): unknown {
  const code = (error as NodeJS.ErrnoException).code;
  if (code === 'EADDRINUSE') {
    return new Error(
      `Port ${config.port} on ${config.host} is taken. Stop what uses it, or set PORT to another number.`,
      { cause: error },
    );
  }
  if (code === 'EACCES') {
    return new Error(`Port ${config.port} may not be used by this account. Set PORT above 1023.`, {
      cause: error,
    });
  }
  if (code === 'EADDRNOTAVAIL' || code === 'ENOTFOUND') {
    return new Error(`${config.host} is no address of this machine. Set HOST to one that is.`, {
      cause: error,
    });
  }
  return error;
}

/** Refuses at once, before any long work, when the address cannot be listened on. */
async function requireFreePort(config: Config): Promise<void> {
  if (config.port === 0) return;
  const probe = createServer();
  try {
    await new Promise<void>((free, taken) => {
      probe.once('error', taken);
      probe.listen(config.port, config.host, free);
    });
  } catch (error) {
    throw plainListenError(error, config);
  } finally {
    await new Promise((closed) => probe.close(closed));
  }
}

/**
 * Opens the database the settings name, builds the application over it and listens.
 * @throws Error in plain words when the port or the data folder is taken; nothing stays open then
 */
export async function startServer(
  config: Config,
  options: StartOptions = {},
): Promise<RunningServer> {
  const database = options.database ?? (await openDatabase(config));
  try {
    if (options.prepare) await requireFreePort(config);
    const clock = options.clock ?? systemClock;
    const calculator = startCalculator();
    const services = composeServices(database, clock, createNewId(), {
      secureCookies: config.secureCookies,
      calculator,
    });
    const pageDir =
      options.pageDir === undefined
        ? existsSync(BUILT_PAGE)
          ? BUILT_PAGE
          : null
        : options.pageDir;
    const metrics = new ServiceMetrics();
    metrics.watchProcess();
    if (database.poolUse() !== null) {
      metrics.watchPool(() => database.poolUse() ?? NO_CONNECTIONS);
    }
    const traces = startTraces(process.env);
    let stopping = false;
    const app = await buildApp({
      metrics,
      metricsToken: config.metricsToken,
      isStopping: () => stopping,
      services,
      clock,
      authenticate: createAuthenticate(services.access),
      idempotency: createIdempotencyStore(database),
      ping: database.ping,
      faultOf,
      logger: options.logger ?? loggerSettings(config.logLevel),
      ...(pageDir === null ? {} : { pageDir }),
      ...(config.trustProxy === null ? {} : { trustProxy: config.trustProxy }),
      ...(options.requestsPerMinute === undefined
        ? {}
        : { requestsPerMinute: options.requestsPerMinute }),
    });
    database.watchQueries(({ sql, durationMs }) => {
      const isSlow = durationMs > config.slowQueryMs;
      metrics.query(durationMs / 1000, isSlow);
      if (isSlow) app.log.warn({ sql, ms: durationMs }, 'slow query');
    });
    try {
      await options.prepare?.(services, database);
      const url = await app.listen({ port: config.port, host: config.host });
      const jobEnded: JobEnded = (job, outcome, seconds) => {
        metrics.job(job.kind, outcome, seconds, clock.now());
        app.log[outcome === 'done' ? 'info' : 'error'](
          { ...job, seconds },
          `night work ${outcome}`,
        );
      };
      const night = options.nightWork
        ? await startNight(config, database, services, jobEnded, (error) =>
            app.log.error({ err: error }, 'night work stands still'),
          )
        : null;
      let closing: Promise<void> | null = null;
      const closeAll = async () => {
        stopping = true;
        if (config.drainMs > 0) await timeout(config.drainMs);
        // A plan that is being worked out may take longer; it is begun again by whoever is next.
        await Promise.race([night?.stop(), timeout(STOP_WITHIN_MS, undefined, { ref: false })]);
        // Closing ends the connections that are idle at that moment; the others end after their answer.
        const idle = setInterval(() => app.server.closeIdleConnections(), 50);
        const cut = setTimeout(() => app.server.closeAllConnections(), STOP_WITHIN_MS);
        await app.close();
        clearInterval(idle);
        clearTimeout(cut);
        await calculator.stop();
        await database.close();
        await traces?.stop();
      };
      return { url, services, database, close: () => (closing ??= closeAll()) };
    } catch (error) {
      await app.close();
      throw plainListenError(error, config);
    }
  } catch (error) {
    await database.close();
    throw error;
  }
}

/** A service that shares its database shares its night work as well. */
async function startNight(
  config: Config,
  database: Database,
  { nightWork }: Services,
  ended: JobEnded,
  failed: (error: unknown) => void,
): Promise<RunningNightWork> {
  return database.kind === 'postgresql' && config.databaseUrl !== null
    ? startNightQueue(config.databaseUrl, nightWork, ended, failed)
    : startNightTimer(nightWork, ended, failed);
}

/** Stops the server when the process is asked to end; a second signal ends it at once. */
export function stopOnSignals(server: Pick<RunningServer, 'close'>): void {
  let asked = false;
  const stop = (signal: NodeJS.Signals) => {
    if (asked) process.exit(1);
    asked = true;
    console.log(`${signal}: finishing what is under way, then stopping.`);
    server.close().then(
      () => process.exit(0),
      (error: unknown) => {
        console.error(error instanceof Error ? error.message : error);
        process.exit(1);
      },
    );
  };
  process.on('SIGTERM', stop);
  process.on('SIGINT', stop);
}

/** Runs a command's main work; a fault ends the process with one plain line. */
export async function orExplain(work: () => Promise<void>): Promise<void> {
  try {
    await work();
  } catch (error) {
    console.error(error instanceof Error ? error.message : String(error));
    process.exit(1);
  }
}
