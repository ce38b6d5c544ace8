import { spawn, type ChildProcess } from 'node:child_process';
import path from 'node:path';

const ROOT = path.join(import.meta.dirname, '..', '..');
/** Few, because several processes and other suites share one server's connections. */
const CONNECTIONS = '4';

/** The service in a process of its own, as `npm start` runs it, over a shared database. */
export interface Replica {
  /** The address it printed. */
  readonly url: string;
  readonly output: () => string;
  /** The lines of its log that are JSON. */
  readonly log: () => readonly Readonly<Record<string, unknown>>[];
  /** Asks it to stop. @returns its exit code, null when a signal ended it */
  stop(signal?: NodeJS.Signals): Promise<number | null>;
}

/** A process that is starting; `ready` fails with what it said when it ends instead. */
export interface StartingReplica {
  readonly ready: Promise<Replica>;
  readonly output: () => string;
  kill(): Promise<void>;
}

/** Starts the service over a PostgreSQL database, behind a proxy on this machine. */
export function startReplica(
  databaseUrl: string,
  env: Readonly<Record<string, string>> = {},
): StartingReplica {
  const child: ChildProcess = spawn(process.execPath, ['--import', 'tsx', 'api/server.ts'], {
    cwd: ROOT,
    env: {
      PATH: process.env.PATH ?? '',
      PORT: '0',
      DATABASE_URL: databaseUrl,
      DATABASE_CONNECTIONS: CONNECTIONS,
      TRUST_PROXY: '127.0.0.1',
      LOG_LEVEL: 'info',
      ...env,
    },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  let output = '';
  const ended = new Promise<number | null>((resolve) => child.once('exit', resolve));
  const stop = async (signal: NodeJS.Signals = 'SIGTERM'): Promise<number | null> => {
    if (child.exitCode === null && child.signalCode === null) child.kill(signal);
    return ended;
  };
  const ready = new Promise<Replica>((resolve, reject) => {
    const read = (chunk: Buffer) => {
      output += chunk.toString('utf8');
      const found = /tamis is at (http:\S+)/.exec(output);
      if (found?.[1]) resolve({ url: found[1], output: () => output, log, stop });
    };
    child.stdout?.on('data', read);
    child.stderr?.on('data', read);
    void ended.then((code) => reject(new Error(`It ended with ${code}:\n${output}`)));
  });
  const log = () =>
    output
      .split('\n')
      .filter((line) => line.startsWith('{') && line.endsWith('}'))
      .map((line) => JSON.parse(line) as Record<string, unknown>);
  ready.catch(() => undefined);
  return { ready, output: () => output, kill: async () => void (await stop('SIGKILL')) };
}
