import fc from 'fast-check';
import { expect, it } from 'vitest';
import { shortestSchedule } from '../../../api/core/schedule/index.ts';
import { projectNetwork, tails } from '../../../api/core/schedule/project.ts';
import { improved } from '../../../api/core/schedule/shortest-schedule.ts';
import {
  parallelSchedule,
  serialSchedule,
} from '../../../api/core/schedule/schedule-generation.ts';
import { unwrap } from '../../../api/core/shared/result.ts';
import { expectCarriedOut, shortestOfAll, smallProject } from './project-cases.ts';

const RUNS = { numRuns: 250, seed: 20_260_315 };

it('small projects are scheduled as short as any choice of starts allows', () => {
  fc.assert(
    fc.property(smallProject, (project) => {
      const found = unwrap(shortestSchedule(project, { samples: 60 }));
      expectCarriedOut(project, found);
      expect(found.makespan).toBe(shortestOfAll(project));
      expect(found.bound).toBeLessThanOrEqual(found.makespan);
    }),
    RUNS,
  );
});

it('both ways of building a schedule keep the order and the capacities; improving never lengthens', () => {
  fc.assert(
    fc.property(
      smallProject,
      fc.array(fc.integer(), { minLength: 6, maxLength: 6 }),
      (project, p) => {
        const network = unwrap(projectNetwork(project));
        for (const generate of [serialSchedule, parallelSchedule]) {
          const built = generate(network, p);
          expectCarriedOut(project, built);
          const better = improved(network, built);
          expectCarriedOut(project, better);
          expect(better.makespan).toBeLessThanOrEqual(built.makespan);
        }
      },
    ),
    RUNS,
  );
});

it('the same project gets the same schedule every time', () => {
  fc.assert(
    fc.property(smallProject, (project) => {
      expect(shortestSchedule(project)).toEqual(shortestSchedule(project));
    }),
    { ...RUNS, numRuns: 20 },
  );
});

it('a chain that waits for itself, a demand above its capacity and an unknown successor are refused', () => {
  const activity = (id: string, successors: string[], demand = 1) => ({
    id,
    duration: 2,
    demands: [demand],
    successors,
  });
  const kindOf = (activities: ReturnType<typeof activity>[]) => {
    const read = projectNetwork({ capacities: [1], activities });
    return read.ok ? tails(read.value) : read.error.kind;
  };
  expect(kindOf([activity('a', ['b']), activity('b', ['a'])])).toBe('recipe-cycle');
  expect(kindOf([activity('a', [], 2)])).toBe('out-of-range');
  expect(kindOf([activity('a', ['z'])])).toBe('out-of-range');
  expect(kindOf([activity('a', ['b']), activity('b', [])])).toEqual([4, 2]);
});
