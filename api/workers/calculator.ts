import { availableParallelism } from 'node:os';
import { Worker } from 'node:worker_threads';
import type { MilpSolution, MilpSolver } from '../core/milp/index.ts';
import type { PlanEffort, SitePlan, SitePlanInput } from '../core/planning/index.ts';
import type { Result } from '../core/shared/index.ts';
import type { Answer, Asked, Task } from './messages.ts';

/** More threads than this gain little: a group's sites are planned at night. */
const MOST_THREADS = 4;

/** The long computations, done beside the thread that answers requests. */
export interface Calculator {
  planSite(input: SitePlanInput, effort?: PlanEffort): Promise<Result<SitePlan>>;
  readonly solver: MilpSolver;
  /** Ends the threads; what waits is refused. */
  stop(): Promise<void>;
}

interface Waiting {
  resolve(value: unknown): void;
  reject(error: unknown): void;
}
interface Thread {
  readonly worker: Worker;
  readonly waiting: Map<number, Waiting>;
}

/**
 * Computes in threads of their own, begun when first needed, a task with the least busy one. A thread
 * that ends unasked fails what it was doing, and the next task begins a new one.
 * @param most threads at once; left out: one less than the processor has
 */
export function startCalculator(
  most = Math.max(1, Math.min(MOST_THREADS, availableParallelism() - 1)),
): Calculator {
  let threads: Thread[] = [];
  let lastId = 0;
  let stopped = false;

  const ended = (thread: Thread, error: unknown): void => {
    threads = threads.filter((one) => one !== thread);
    for (const { reject } of thread.waiting.values()) reject(error);
    thread.waiting.clear();
  };
  const begin = (): Thread => {
    const worker = new Worker(new URL('./begin.mjs', import.meta.url));
    worker.unref();
    const thread: Thread = { worker, waiting: new Map() };
    worker.on('message', (answer: Answer) => {
      const waiting = thread.waiting.get(answer.id);
      thread.waiting.delete(answer.id);
      if (thread.waiting.size === 0) worker.unref();
      if (answer.ok) waiting?.resolve(answer.value);
      else waiting?.reject(answer.error);
    });
    worker.on('error', (error) => ended(thread, error));
    worker.on('exit', () => ended(thread, new Error('A computing thread ended.')));
    threads.push(thread);
    return thread;
  };
  const leastBusy = (): Thread => {
    const free = threads.reduce<Thread | null>(
      (least, one) => (least && least.waiting.size <= one.waiting.size ? least : one),
      null,
    );
    return free && (free.waiting.size === 0 || threads.length >= most) ? free : begin();
  };
  const ask = <T>(task: Task): Promise<T> =>
    new Promise<unknown>((resolve, reject) => {
      if (stopped) throw new Error('The service is stopping.');
      const thread = leastBusy();
      const asked: Asked = { id: (lastId += 1), task };
      thread.waiting.set(asked.id, { resolve, reject });
      // A process waits for what it asked for, and for nothing else here.
      thread.worker.ref();
      thread.worker.postMessage(asked);
    }) as Promise<T>;

  return {
    planSite: (input, effort = 'choose') => ask({ kind: 'plan', input, effort }),
    solver: { solve: (model, limits = {}) => ask<MilpSolution>({ kind: 'model', model, limits }) },
    stop: async () => {
      stopped = true;
      const all = threads;
      for (const thread of all) ended(thread, new Error('The service is stopping.'));
      await Promise.all(all.map(({ worker }) => worker.terminate()));
    },
  };
}
