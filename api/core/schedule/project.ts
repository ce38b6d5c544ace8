import { coreError } from '../shared/errors.ts';
import { err, ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';

/** One activity of a project: a duration in whole time units and what it takes while it runs. */
export interface Activity {
  readonly id: string;
  readonly duration: number;
  /** Amount of each resource, in the order of the project's capacities. */
  readonly demands: readonly number[];
  /** Ids of the activities that can start only when this one has ended. */
  readonly successors: readonly string[];
}

/** Activities that share renewable resources: people, decks, shelves. */
export interface Project {
  readonly activities: readonly Activity[];
  readonly capacities: readonly number[];
}

/** Start of every activity by index, and when the last one ends. */
export interface ProjectSchedule {
  readonly starts: readonly number[];
  readonly makespan: number;
}

/** A project with its precedence as indexes, in an order that puts every activity after its inputs. */
export interface ProjectNetwork {
  readonly project: Project;
  readonly before: readonly (readonly number[])[];
  readonly after: readonly (readonly number[])[];
  readonly order: readonly number[];
}

/**
 * Reads a project.
 *
 * @returns its network; errors: `out-of-range` for a negative or broken duration or demand, a demand
 *          above its capacity, an id used twice or a successor that is not there; `recipe-cycle` when
 *          an activity waits for itself
 */
export function projectNetwork(project: Project): Result<ProjectNetwork> {
  const { activities, capacities } = project;
  const index = new Map(activities.map(({ id }, i) => [id, i]));
  const bad = activities.find(
    ({ duration, demands, successors }) =>
      !(Number.isInteger(duration) && duration >= 0) ||
      demands.length !== capacities.length ||
      demands.some((amount, k) => !(amount >= 0 && amount <= (capacities[k] ?? 0))) ||
      successors.some((id) => !index.has(id)),
  );
  if (bad || index.size < activities.length) {
    return err(
      coreError('out-of-range', `Activity ${bad?.id ?? '?'} cannot be placed as it is written.`, {
        path: ['activities', bad ? activities.indexOf(bad) : 0],
        detail: { ...bad },
      }),
    );
  }
  const after = activities.map(({ successors }) =>
    successors.map((id) => index.get(id)).filter((i) => i !== undefined),
  );
  const before: number[][] = activities.map(() => []);
  for (const [i, next] of after.entries()) for (const j of next) before[j]?.push(i);
  const order = inOrder(before, after);
  if (order.length < activities.length) {
    return err(coreError('recipe-cycle', 'Activities wait for one another in a circle.'));
  }
  return ok({ project, before, after, order });
}

/** Topological order by counting predecessors (Kahn 1962). */
function inOrder(before: readonly number[][], after: readonly (readonly number[])[]): number[] {
  const open = before.map((list) => list.length);
  const ready = open.flatMap((count, i) => (count === 0 ? [i] : []));
  const order: number[] = [];
  for (let i = ready.shift(); i !== undefined; i = ready.shift()) {
    order.push(i);
    for (const j of after[i] ?? []) {
      open[j] = (open[j] ?? 0) - 1;
      if (open[j] === 0) ready.push(j);
    }
  }
  return order;
}

/** The same project run backwards: what came last comes first. */
export function reversed(network: ProjectNetwork): ProjectNetwork {
  return {
    project: network.project,
    before: network.after,
    after: network.before,
    order: [...network.order].reverse(),
  };
}

/** Longest chain from each activity's start to the project's end, resources left aside. */
export function tails(network: ProjectNetwork): number[] {
  const tail = network.project.activities.map(() => 0);
  for (const i of [...network.order].reverse()) {
    const rest = Math.max(0, ...(network.after[i] ?? []).map((j) => tail[j] ?? 0));
    tail[i] = (network.project.activities[i]?.duration ?? 0) + rest;
  }
  return tail;
}

/**
 * No schedule is shorter than its longest chain, nor than the work of a resource over its capacity.
 */
export function makespanBound(network: ProjectNetwork): number {
  const { activities, capacities } = network.project;
  const byWork = capacities.map((capacity, k) => {
    const work = activities.reduce((sum, a) => sum + a.duration * (a.demands[k] ?? 0), 0);
    return work === 0 ? 0 : Math.ceil(work / capacity - 1e-9);
  });
  return Math.max(0, ...tails(network), ...byWork);
}
