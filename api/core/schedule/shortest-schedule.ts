import { ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';
import { makespanBound, projectNetwork, reversed, tails } from './project.ts';
import type { Project, ProjectNetwork, ProjectSchedule } from './project.ts';
import { parallelSchedule, serialSchedule } from './schedule-generation.ts';
import { seededSequence } from './seeded-sequence.ts';

export interface ShortestSchedule extends ProjectSchedule {
  /** No schedule is shorter. */
  readonly bound: number;
}

export interface ScheduleSearch {
  /** Orders tried, beyond the plain rules. */
  readonly samples?: number;
  /** Start of the sequence the orders come from; the same seed gives the same schedule. */
  readonly seed?: number;
}

/**
 * A short schedule of a project by priority-rule sampling with forward-backward improvement.
 *
 * Both generation schemes are run with the rule "least latest start" (longest tail first), then with
 * that rule disturbed at random from a seeded sequence, so that the same project always gets the same
 * answer. Each schedule is improved: everything is pushed as late as it goes from the end (in order
 * of ending), then as early as it goes from the start, until nothing gets shorter. Stops as soon as
 * the bound is reached.
 *
 * @returns starts, makespan and a bound; errors as `projectNetwork`
 * Sources: Kolisch (1996) for the schemes and the rule; Li and Willis (1992), "An iterative scheduling
 * technique for resource-constrained project scheduling", EJOR 56: 370–379, and Valls, Ballestín and
 * Quintanilla (2005), "Justification and RCPSP", EJOR 165: 375–386, for the improvement.
 */
export function shortestSchedule(
  project: Project,
  { samples = 200, seed = 1 }: ScheduleSearch = {},
): Result<ShortestSchedule> {
  const read = projectNetwork(project);
  if (!read.ok) return read;
  const network = read.value;
  const bound = makespanBound(network);
  const rule = tails(network);
  const next = seededSequence(seed);
  const spread = Math.max(1, ...rule) / 4;
  let best: ProjectSchedule | undefined;
  for (let round = 0; round <= samples; round += 1) {
    const priority = round === 0 ? rule : rule.map((tail) => tail + spread * next());
    for (const generate of [serialSchedule, parallelSchedule]) {
      const found = improved(network, generate(network, priority));
      if (!best || found.makespan < best.makespan) best = found;
      if (best.makespan <= bound) return ok({ ...best, bound });
    }
  }
  return ok({ starts: best?.starts ?? [], makespan: best?.makespan ?? 0, bound });
}

/** Forward-backward improvement until the schedule gets no shorter. */
export function improved(network: ProjectNetwork, schedule: ProjectSchedule): ProjectSchedule {
  const back = reversed(network);
  const length = (i: number): number => network.project.activities[i]?.duration ?? 0;
  let best = schedule;
  for (;;) {
    // Latest end first on the reversed network; mirrored, that is everything as late as it goes.
    const late = serialSchedule(
      back,
      best.starts.map((start, i) => start + length(i)),
    );
    // Then earliest start first from the front.
    const early = serialSchedule(
      network,
      late.starts.map((start, i) => start + length(i)),
    );
    if (early.makespan >= best.makespan) return best;
    best = early;
  }
}
