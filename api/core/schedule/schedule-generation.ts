import type { Activity, ProjectNetwork, ProjectSchedule } from './project.ts';

/** What is taken of each resource in each time unit. */
class Usage {
  readonly #taken: number[][] = [];
  readonly #capacities: readonly number[];

  constructor(capacities: readonly number[]) {
    this.#capacities = capacities;
  }

  /** First start from `from` on at which the activity fits for its whole duration. */
  earliestFit(activity: Activity, from: number): number {
    let start = from;
    for (let t = start; t < start + activity.duration; t += 1) {
      if (!this.#fits(activity, t)) start = t + 1;
    }
    return start;
  }

  fitsFrom(activity: Activity, start: number): boolean {
    for (let t = start; t < start + activity.duration; t += 1) {
      if (!this.#fits(activity, t)) return false;
    }
    return true;
  }

  take(activity: Activity, start: number): void {
    for (let t = start; t < start + activity.duration; t += 1) {
      const row = (this.#taken[t] ??= this.#capacities.map(() => 0));
      for (const [k, amount] of activity.demands.entries()) row[k] = (row[k] ?? 0) + amount;
    }
  }

  #fits(activity: Activity, t: number): boolean {
    const row = this.#taken[t];
    return (
      row === undefined ||
      activity.demands.every((amount, k) => (row[k] ?? 0) + amount <= (this.#capacities[k] ?? 0))
    );
  }
}

function activityAt({ project }: ProjectNetwork, i: number): Activity {
  const activity = project.activities[i];
  if (!activity) throw new RangeError(`No activity ${i}`);
  return activity;
}

function scheduleFrom(network: ProjectNetwork, starts: readonly number[]): ProjectSchedule {
  const ends = starts.map((start, i) => start + activityAt(network, i).duration);
  return { starts, makespan: Math.max(0, ...ends) };
}

/** The eligible activity of highest priority (largest value), ties to the lower index. */
function first(eligible: ReadonlySet<number>, priority: readonly number[]): number {
  let best = -1;
  for (const i of eligible) {
    const better =
      best === -1 ||
      (priority[i] ?? 0) > (priority[best] ?? 0) ||
      (priority[i] === priority[best] && i < best);
    if (better) best = i;
  }
  return best;
}

function waiting(network: ProjectNetwork): { open: number[]; eligible: Set<number> } {
  const open = network.before.map((list) => list.length);
  return { open, eligible: new Set(open.flatMap((count, i) => (count === 0 ? [i] : []))) };
}

/**
 * Serial generation: takes the activities one by one in order of priority, each after its
 * predecessors, and puts it at the earliest time that its predecessors and the resources allow.
 * Gives an active schedule; with the right order, an optimal one.
 *
 * @param priority larger goes first, by activity index
 * Source: Kolisch (1996), "Serial and parallel resource-constrained project scheduling methods
 * revisited", European Journal of Operational Research 90: 320–333.
 */
export function serialSchedule(
  network: ProjectNetwork,
  priority: readonly number[],
): ProjectSchedule {
  const usage = new Usage(network.project.capacities);
  const { open, eligible } = waiting(network);
  const starts = network.before.map(() => 0);
  while (eligible.size > 0) {
    const i = first(eligible, priority);
    eligible.delete(i);
    const activity = activityAt(network, i);
    const from = Math.max(
      0,
      ...(network.before[i] ?? []).map((p) => (starts[p] ?? 0) + activityAt(network, p).duration),
    );
    const start = usage.earliestFit(activity, from);
    usage.take(activity, start);
    starts[i] = start;
    release(network, i, open, eligible);
  }
  return scheduleFrom(network, starts);
}

function release(network: ProjectNetwork, i: number, open: number[], eligible: Set<number>): void {
  for (const j of network.after[i] ?? []) {
    open[j] = (open[j] ?? 0) - 1;
    if (open[j] === 0) eligible.add(j);
  }
}

/**
 * Parallel generation: goes through time and starts, at each moment at which something ends, as many
 * of the activities that can start as fit, highest priority first. Never leaves a resource idle that
 * something could use. Source: as `serialSchedule`.
 */
export function parallelSchedule(
  network: ProjectNetwork,
  priority: readonly number[],
): ProjectSchedule {
  const usage = new Usage(network.project.capacities);
  const { open, eligible } = waiting(network);
  const starts = network.before.map(() => 0);
  const running: { readonly end: number; readonly index: number }[] = [];
  let now = 0;
  while (eligible.size > 0 || running.length > 0) {
    const fitting = new Set(
      [...eligible].filter((i) => usage.fitsFrom(activityAt(network, i), now)),
    );
    if (fitting.size > 0) {
      const i = first(fitting, priority);
      const activity = activityAt(network, i);
      eligible.delete(i);
      usage.take(activity, now);
      starts[i] = now;
      running.push({ end: now + activity.duration, index: i });
      if (activity.duration > 0) continue;
    }
    now = Math.min(...running.map(({ end }) => end));
    for (const done of running.filter(({ end }) => end === now)) {
      running.splice(running.indexOf(done), 1);
      release(network, done.index, open, eligible);
    }
  }
  return scheduleFrom(network, starts);
}
