import { spawn, type ChildProcess } from 'node:child_process';
import path from 'node:path';
import type { Load, LoadResult } from './load-client.ts';

// Processes that a benchmark starts and ends again.

const HERE = import.meta.dirname;

function start(script: string, args: readonly string[], env: NodeJS.ProcessEnv): ChildProcess {
  return spawn(process.execPath, ['--import', 'tsx', path.join(HERE, script), ...args], {
    cwd: path.join(HERE, '..', '..'),
    env: { ...process.env, ...env },
    stdio: ['ignore', 'pipe', 'inherit'],
  });
}

/** A server of `bench-server.ts`. */
export interface BenchServer {
  readonly port: number;
  readonly pid: number;
  stop(): Promise<void>;
}

export async function startBenchServer(
  args: readonly string[],
  env: NodeJS.ProcessEnv,
): Promise<BenchServer> {
  const child = start('bench-server.ts', args, env);
  const ended = new Promise<void>((done) => child.once('exit', () => done()));
  const port = await new Promise<number>((found, failed) => {
    let said = '';
    child.stdout?.on('data', (chunk: Buffer) => {
      // Its log goes nowhere, but is read, as whoever keeps it would.
      if (said.includes('listens')) return;
      said += chunk.toString('utf8');
      const at = /listens http:\/\/[^:]+:(\d+)/.exec(said);
      if (at?.[1]) found(Number(at[1]));
    });
    void ended.then(() => failed(new Error(`The server of the benchmark ended:\n${said}`)));
  });
  return {
    port,
    pid: child.pid ?? 0,
    stop: async () => {
      child.kill('SIGTERM');
      await ended;
    },
  };
}

/** Runs a script of this folder to its end. @returns what it printed */
export async function runScript(script: string, args: readonly string[]): Promise<string> {
  const child = start(script, args, {});
  let said = '';
  child.stdout?.on('data', (chunk: Buffer) => (said += chunk.toString('utf8')));
  const code = await new Promise<number | null>((done) => child.once('close', done));
  if (code !== 0) throw new Error(`${script} ended with ${code}.`);
  return said;
}

/** Sends a load from a process of its own. */
export async function sendLoad(load: Load): Promise<LoadResult> {
  return JSON.parse(await runScript('load-client.ts', [JSON.stringify(load)])) as LoadResult;
}
