import { spawn } from 'node:child_process';
import path from 'node:path';
import { setTimeout as timeout } from 'node:timers/promises';
import { describe, expect, it } from 'vitest';

// Log lines are held for a moment to be written together. Whichever way a process ends that it knows of,
// what it held is written first.

const FILE = path.resolve('api/observe/log-lines.ts');
const LINES = 3_000;
const PAD = 'x'.repeat(300);

/** Runs a script over lines that wait, reading what it writes from `readAfterMs` on. */
async function printed(ending: string, readAfterMs = 0, signal?: NodeJS.Signals): Promise<string> {
  const script = `
    const { LogLines } = await import(${JSON.stringify(FILE)});
    const lines = new LogLines();
    process.on('SIGTERM', () => process.exit(0));
    process.stderr.write('ready');
    for (let n = 0; n < ${LINES}; n += 1) lines.write('line ' + n + ' ${PAD}\\n');
    ${ending}`;
  const child = spawn(process.execPath, ['--import', 'tsx', '--input-type=module', '-e', script], {
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  const closed = new Promise<void>((resolve) => child.once('close', () => resolve()));
  await new Promise<void>((resolve) => child.stderr.once('data', () => resolve()));
  if (signal) child.kill(signal);
  await timeout(readAfterMs);
  let text = '';
  child.stdout.on('data', (chunk: Buffer) => (text += chunk.toString('utf8')));
  await closed;
  return text;
}

const wanted = Array.from({ length: LINES }, (_, n) => `line ${n} ${PAD}`);
const linesOf = (text: string): string[] => text.trimEnd().split('\n');

describe('log lines that are held when the process', () => {
  it.each([
    ['is told to exit', 'process.exit(0);'],
    ['has nothing left to do', ''],
    ['fails with an error nobody caught', "throw new Error('on purpose');"],
  ])('%s are written, each once and in order', async (_how, ending) => {
    expect(linesOf(await printed(ending))).toEqual(wanted);
  });

  it('ends while its reader is slow are written as the pipe empties', async () => {
    expect(linesOf(await printed('process.exit(0);', 700))).toEqual(wanted);
  });

  it('is asked to end by a signal, as the service is, are written', async () => {
    const found = linesOf(await printed('setInterval(() => {}, 1000);', 0, 'SIGTERM'));
    // Those that were being written at that moment may be there twice, and none is missing.
    expect([...new Set(found)]).toEqual(wanted);
  });
});
