import { mkdtempSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import type { BenchResult } from './ordering.bench.ts';
import { runScript } from './processes.ts';

const ROUNDS = 5;

const median = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN;

/** Milliseconds from the start of a process until what is in the folder can be used. */
async function readyMs(kind: 'bare' | 'service', dir: string): Promise<number> {
  return (JSON.parse(await runScript('bench-open.ts', [kind, dir])) as { readyMs: number }).readyMs;
}

/** A first and a second start with the embedded database, beside a process that opens the engine alone. */
export async function benchStart(): Promise<BenchResult[]> {
  const cold: number[] = [];
  const second: number[] = [];
  for (let round = 0; round < ROUNDS; round += 1) {
    const top = mkdtempSync(path.join(os.tmpdir(), 'tamis-start-'));
    const bare = path.join(top, 'bare');
    const service = path.join(top, 'service');
    try {
      const first = await readyMs('service', service);
      cold.push(first / (await readyMs('bare', bare)));
      const again = await readyMs('service', service);
      second.push(again / (await readyMs('bare', bare)));
    } finally {
      rmSync(top, { recursive: true, force: true });
    }
  }
  const told = (name: string, ratios: readonly number[]): BenchResult => ({
    ...{ name, ratio: median(ratios), aim: 'told', met: true },
  });
  return [
    told('start in an empty folder, over the embedded engine alone making its own', cold),
    told('second start, over the embedded engine alone opening its folder', second),
  ];
}
