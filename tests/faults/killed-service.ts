import { fork, type ChildProcess } from 'node:child_process';
import { mkdirSync, rmSync, symlinkSync } from 'node:fs';
import path from 'node:path';
import { build } from 'vite';
import type { Begin, Begun } from './kitchen-service.ts';

/** A process that serves when it is told to, until it is killed. */
export interface ServiceProcess {
  begin(told: Begin): Promise<Begun>;
  /** Ends it as a power cut ends it: no signal it could see. Done when it is gone. */
  kill(): Promise<void>;
}

/**
 * Puts the service into one file, once for all rounds, so that a start takes a second and not ten.
 * The file lies as deep as its sources, because those find the migrations from where they are.
 */
export async function buildService(): Promise<string> {
  const top = path.resolve('tests/output', `killed-service-${process.pid}`);
  const outDir = path.join(top, 'api', 'service');
  rmSync(top, { recursive: true, force: true });
  await build({
    configFile: false,
    logLevel: 'error',
    build: {
      ssr: true,
      outDir,
      rolldownOptions: {
        input: {
          service: path.resolve('tests/faults/kitchen-service.ts'),
          begin: path.resolve('api/workers/calculation.ts'),
        },
        output: { entryFileNames: '[name].mjs', chunkFileNames: '[name].mjs' },
      },
    },
  });
  mkdirSync(top, { recursive: true });
  symlinkSync(path.resolve('prisma'), path.join(top, 'prisma'));
  return path.join(outDir, 'service.mjs');
}

/** Starts a process that waits to be told to serve. */
export function startProcess(file: string): ServiceProcess {
  const child: ChildProcess = fork(file, { execArgv: ['--no-deprecation'] });
  const gone = new Promise<void>((resolve) => child.once('exit', () => resolve()));
  return {
    begin: (told) =>
      new Promise((resolve) => {
        child.once('message', (begun) => resolve(begun as Begun));
        void gone.then(() => resolve({ fault: 'it ended' }));
        child.send(told);
      }),
    kill: () => {
      if (child.exitCode === null && child.signalCode === null) child.kill('SIGKILL');
      return gone;
    },
  };
}
