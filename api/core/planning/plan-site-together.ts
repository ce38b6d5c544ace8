import { planTogether } from '../batches/index.ts';
import type { JointSteps } from '../batches/index.ts';
import type { MilpLimits, MilpSolver } from '../milp/index.ts';
import type { Result } from '../shared/result.ts';
import { ok } from '../shared/result.ts';
import type { WishedRun } from './component-runs.ts';
import { jointComponents } from './joint-components.ts';
import type { PlanTogetherProblem } from './joint-components.ts';
import { keepingTo } from './keep-to-wishes.ts';
import { linkedBounds } from './plan-bound.ts';
import type { PlanDraft } from './plan-draft.ts';
import type { SitePlanInput } from './plan-input.ts';
import type { SitePlan } from './plan-output.ts';
import { levelByLevel, planSite, prepare, writtenPlan } from './plan-site.ts';
import type { Drafted } from './plan-site.ts';
import { boundedSolution } from './plan-solution.ts';

/** Four days, because most things keep no longer. Steps of two days gained no more on the demo. */
const STRETCHES = {
  days: 4,
  stepDays: 3,
  rounds: 3,
  limits: { maxNodes: 100, timeLimitS: 2, relativeGap: 1e-3 },
} as const;

/** How far a plan goes beyond choosing level by level. */
export interface TogetherOptions {
  readonly solver: MilpSolver;
  /** Left out: nothing is searched for, the plan is only bounded. */
  readonly search?: Pick<MilpLimits, 'relativeGap' | 'maxNodes' | 'timeLimitS'>;
}

/**
 * The plan of `planSite` with a bound proven over all components together, and where a search is
 * asked for, the better of it and the plan that keeps to what the search found.
 *
 * The search (`planTogether`: mixed-integer over the components that go into one another and those
 * that overload a day's hands or equipment, then a few days of it at a time) sees each day's hands and
 * equipment as sums. What it finds is therefore a wish: the plan is made level by level once more,
 * keeping to the wished runs as far as nothing goes short, and placed on people and equipment like
 * any other. It is taken only where it leaves less short, or as little at less cost; where it does
 * not, wishes are kept to only in the sets that gain by them.
 *
 * Errors as `planSite`.
 */
export async function planSiteTogether(
  input: SitePlanInput,
  { solver, search }: TogetherOptions,
): Promise<Result<SitePlan>> {
  const prepared = prepare(input);
  if (!prepared.ok) return prepared;
  const chosen = levelByLevel(prepared.value);
  if (!chosen.ok) return chosen;
  const { draft } = chosen.value;
  let best: Drafted = chosen.value;
  let searched = false;
  if (search) {
    const problem = jointComponents(draft, 'as planned');
    const found = await planTogether(problem, { solver, limits: search, stretches: STRETCHES });
    if (!found.ok) return found;
    const wishes = wishesFrom(found.value.steps, problem);
    const sets = found.value.parts.map(({ componentIds }) => componentIds);
    const kept = keepingTo(prepared.value, wishes, sets, best);
    if (!kept.ok) return kept;
    if (kept.value) {
      best = kept.value;
      searched = true;
    }
  }
  const bounds = await linkedBounds(best.draft, solver, search);
  const solution = boundedSolution(best.draft, bounds, searched);
  const written = writtenPlan(best);
  return written.ok ? ok({ ...written.value, solution }) : written;
}

/**
 * How much a plan is worked on: `choose` level by level; `bound` says besides how far from the best
 * that can be; `search` looks for a better one as well.
 */
export type PlanEffort = 'choose' | 'bound' | 'search';

/** The root of each model, and seconds as a safety net: more nodes gain little for their time. */
const SEARCH = { maxNodes: 1, timeLimitS: 3, relativeGap: 0.01 } as const;

/** The plan of a site with as much work as is asked for. Errors as `planSite`. */
export async function planWithEffort(
  input: SitePlanInput,
  effort: PlanEffort,
  solver: MilpSolver,
): Promise<Result<SitePlan>> {
  if (effort === 'choose') return planSite(input);
  return planSiteTogether(input, { solver, ...(effort === 'search' ? { search: SEARCH } : {}) });
}

/**
 * What the search would make of each component that is made of others. The others are chosen exactly
 * for whatever is then asked of them.
 */
function wishesFrom(steps: JointSteps, problem: PlanTogetherProblem): PlanDraft['wishes'] {
  const wishes = new Map<string, readonly WishedRun[]>();
  for (const { component, inputs = [], rule } of problem.components) {
    if (inputs.length === 0) continue;
    const slots = problem.slots.get(component.id);
    const runs = [...(steps.get(component.id) ?? [])].flatMap(([slotId, count]): WishedRun[] => {
      const slot = slots?.get(slotId);
      if (!slot) return [];
      return [{ makeDate: slot.date, startMin: slot.startMin, batches: count * rule.multiple }];
    });
    wishes.set(component.id, runs);
  }
  return wishes;
}
