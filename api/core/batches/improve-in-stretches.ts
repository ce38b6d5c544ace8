import type { MilpLimits, MilpSolver } from '../milp/index.ts';
import { keyOf } from './component-rows.ts';
import { MIN_PER_DAY } from './evaluate-runs.ts';
import type { JointModel } from './joint-model.ts';
import type { JointComponent, JointSteps } from './joint-problem.ts';

/** How runs are chosen anew, a stretch of days at a time. */
export interface StretchSearch {
  /** Days that are free at once. */
  readonly days: number;
  /** Days from one stretch to the next; fewer than `days`, so that they overlap. */
  readonly stepDays: number;
  /** Most times through the whole plan. */
  readonly rounds: number;
  readonly limits: MilpLimits;
}

/** Steps with what they cost. */
export interface Weighed {
  readonly steps: JointSteps;
  readonly cost: number;
}

/** The least a round must save for another to be worth its time, of the cost. */
const WORTH_A_ROUND = 1e-3;

/**
 * Chooses the runs of a few days anew while all others stay, stretch by stretch, until a round saves
 * next to nothing: models of a few days are solved where one of two weeks is not. Never worse than
 * what it starts from; proves nothing.
 *
 * @param weigh steps as a kitchen would live them, or null where they leave more short
 *
 * Source: fix-and-optimise for lot sizing over several levels (Helber and Sahling 2010). From memory.
 */
export async function improveInStretches(
  { model, stepVariables, stepsFrom }: JointModel,
  components: readonly JointComponent[],
  start: Weighed,
  {
    solver,
    search,
    weigh,
  }: {
    readonly solver: MilpSolver;
    readonly search: StretchSearch;
    readonly weigh: (steps: JointSteps) => Weighed | null;
  },
): Promise<Weighed> {
  const starts = components.flatMap(({ slots }) => slots.map(({ startMin }) => startMin));
  const [firstMin, lastMin] = [Math.min(...starts), Math.max(...starts)];
  let best = start;
  for (let round = 0; round < search.rounds; round += 1) {
    const before = best.cost;
    for (let from = firstMin; from <= lastMin; from += search.stepDays * MIN_PER_DAY) {
      const to = from + search.days * MIN_PER_DAY;
      const { fixed, values } = heldOutside(components, stepVariables, best.steps, { from, to });
      const answer = await solver.solve(
        {
          ...model,
          variables: model.variables.map((variable, i) => {
            const value = fixed.get(i);
            return value === undefined ? variable : { ...variable, lower: value, upper: value };
          }),
        },
        { ...search.limits, start: values },
      );
      if (answer.values.length === 0) continue;
      const next = weigh(stepsFrom(answer.values));
      if (next && next.cost < best.cost - 1e-6) best = next;
    }
    if (before - best.cost < WORTH_A_ROUND * before) break;
  }
  return best;
}

/** The values of all runs, and of those that begin outside a stretch, by index of variable. */
function heldOutside(
  components: readonly JointComponent[],
  stepVariables: JointModel['stepVariables'],
  steps: JointSteps,
  { from, to }: { readonly from: number; readonly to: number },
): { readonly fixed: ReadonlyMap<number, number>; readonly values: Map<number, number> } {
  const fixed = new Map<number, number>();
  const values = new Map<number, number>();
  for (const { component, slots } of components) {
    for (const { id, startMin } of slots) {
      const variables = stepVariables.get(keyOf(component.id, id));
      if (!variables) continue;
      const count = steps.get(component.id)?.get(id) ?? 0;
      const isFixed = startMin < from || startMin >= to;
      for (const [index, value] of [
        [variables.count, count],
        [variables.made, count > 0 ? 1 : 0],
      ] as const) {
        values.set(index, value);
        if (isFixed) fixed.set(index, value);
      }
    }
  }
  return { fixed, values };
}
