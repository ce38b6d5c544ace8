import { parentPort } from 'node:worker_threads';
import { highsSolver } from '../core/milp/index.ts';
import { planWithEffort } from '../core/planning/index.ts';
import type { Answer, Asked } from './messages.ts';

// A thread that only computes: plans of sites and mixed-integer models, one after the other. The
// thread that answers requests stays free meanwhile.

const solver = highsSolver();

async function work({ id, task }: Asked): Promise<Answer> {
  try {
    const value =
      task.kind === 'plan'
        ? await planWithEffort(task.input, task.effort, solver)
        : await solver.solve(task.model, task.limits);
    return { id, ok: true, value };
  } catch (error) {
    return { id, ok: false, error };
  }
}

parentPort?.on('message', (asked: Asked) => {
  void work(asked).then((answer) => parentPort?.postMessage(answer));
});
