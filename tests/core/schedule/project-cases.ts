import fc from 'fast-check';
import { expect } from 'vitest';
import type { Project, ProjectSchedule } from '../../../api/core/schedule/project.ts';

/** Small projects with up to six activities, two resources and precedence from lower to higher. */
export const smallProject: fc.Arbitrary<Project> = fc
  .record({
    durations: fc.array(fc.integer({ min: 0, max: 4 }), { minLength: 1, maxLength: 6 }),
    demands: fc.array(fc.tuple(fc.integer({ min: 0, max: 2 }), fc.integer({ min: 0, max: 2 })), {
      minLength: 6,
      maxLength: 6,
    }),
    edges: fc.array(fc.tuple(fc.integer({ min: 0, max: 5 }), fc.integer({ min: 0, max: 5 })), {
      maxLength: 5,
    }),
    capacities: fc.tuple(fc.integer({ min: 2, max: 3 }), fc.integer({ min: 2, max: 3 })),
  })
  .map(({ durations, demands, edges, capacities }): Project => ({
    capacities,
    activities: durations.map((duration, i) => ({
      id: `a${i}`,
      duration,
      demands: demands[i] ?? [0, 0],
      successors: edges
        .filter(([from, to]) => from === i && to > i && to < durations.length)
        .map(([, to]) => `a${to}`),
    })),
  }));

/** Holds a schedule against the project: order kept, no resource over its capacity, true length. */
export function expectCarriedOut(project: Project, { starts, makespan }: ProjectSchedule): void {
  const end = (i: number): number => (starts[i] ?? 0) + (project.activities[i]?.duration ?? 0);
  expect(makespan).toBe(Math.max(0, ...project.activities.map((_, i) => end(i))));
  for (const [i, { successors }] of project.activities.entries()) {
    for (const id of successors) {
      const j = project.activities.findIndex((activity) => activity.id === id);
      expect(starts[j]).toBeGreaterThanOrEqual(end(i));
    }
  }
  for (let t = 0; t < makespan; t += 1) {
    for (const [k, capacity] of project.capacities.entries()) {
      const taken = project.activities
        .filter((_, i) => (starts[i] ?? 0) <= t && t < end(i))
        .reduce((sum, { demands }) => sum + (demands[k] ?? 0), 0);
      expect(taken).toBeLessThanOrEqual(capacity);
    }
  }
}

/** The shortest possible makespan, by trying every start of every activity. */
export function shortestOfAll(project: Project): number {
  const { activities, capacities } = project;
  const longest = activities.reduce((sum, { duration }) => sum + duration, 0);
  const users = activities.map(({ id }) =>
    activities.flatMap((a, i) => (a.successors.includes(id) ? [i] : [])),
  );
  let best = longest;
  const starts: number[] = [];
  const taken = Array.from({ length: longest + 1 }, () => capacities.map(() => 0));
  const place = (i: number, end: number): void => {
    if (end >= best && i > 0 && end > 0) return;
    const activity = activities[i];
    if (!activity) {
      best = Math.min(best, end);
      return;
    }
    const from = Math.max(
      0,
      ...(users[i] ?? []).map((p) => (starts[p] ?? 0) + (activities[p]?.duration ?? 0)),
    );
    for (let start = from; start + activity.duration <= longest; start += 1) {
      const rows = taken.slice(start, start + activity.duration);
      const fits = rows.every((row) =>
        row.every((used, k) => used + (activity.demands[k] ?? 0) <= (capacities[k] ?? 0)),
      );
      if (!fits) continue;
      const add = (sign: number): void => {
        for (const row of rows) {
          for (const [k, amount] of activity.demands.entries()) {
            row[k] = (row[k] ?? 0) + sign * amount;
          }
        }
      };
      add(1);
      starts[i] = start;
      place(i + 1, Math.max(end, start + activity.duration));
      add(-1);
    }
  };
  place(0, 0);
  return best;
}
