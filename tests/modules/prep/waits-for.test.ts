import { describe, expect, it } from 'vitest';
import type { PrepTask } from '../../../api/modules/prep/index.ts';
import { waitsFor } from '../../../api/modules/prep/waits-for.ts';

const task = (id: string, goesInto: readonly string[], status: PrepTask['status'] = 'to_do') =>
  ({
    id,
    status,
    neededFor: goesInto.map((run) => ({ kind: 'batch', id: `run:${run}` })),
  }) as unknown as PrepTask;
const names = (one: PrepTask, all: readonly PrepTask[]) =>
  waitsFor(one, all, ({ id }) => `run:${id}`).map(({ id }) => id);

describe('what a task waits for', () => {
  const shell = task('shell', ['tart']);
  const paste = task('paste', ['shell']);
  const curd = task('curd', ['tart'], 'started');
  const glaze = task('glaze', ['tart'], 'done');
  const all = [shell, paste, curd, glaze, task('tart', [])];

  it('is what goes into it itself and is not finished, begun or not', () => {
    expect(names(task('tart', []), all)).toEqual(['shell', 'curd']);
    expect(names(shell, all)).toEqual(['paste']);
  });

  it('is nothing for what nothing on the list goes into, nor ever itself', () => {
    expect(names(paste, all)).toEqual([]);
    expect(names(task('loop', ['loop']), [task('loop', ['loop'])])).toEqual([]);
  });

  it('is no making that only a service needs', () => {
    const forService = {
      ...task('x', []),
      neededFor: [{ kind: 'service', id: 'run:tart' }],
    } as unknown as PrepTask;
    expect(names(task('tart', []), [forService])).toEqual([]);
  });
});
