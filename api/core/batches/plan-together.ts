import type { MilpLimits, MilpSolution, MilpSolver } from '../milp/index.ts';
import { ok } from '../shared/result.ts';
import type { Result } from '../shared/result.ts';
import type { BatchPlan } from './batch-plan.ts';
import { keyOf } from './component-rows.ts';
import { evaluateRuns, planStart } from './evaluate-runs.ts';
import type { EvaluatedRuns } from './evaluate-runs.ts';
import { jointModel } from './joint-model.ts';
import type { JointModel } from './joint-model.ts';
import {
  loadsOf,
  needsFromRuns,
  overloaded,
  usersFirst,
  withDependentNeeds,
} from './joint-problem.ts';
import type {
  JointComponent,
  JointPlan,
  JointProblem,
  JointSteps,
  SharedCapacity,
} from './joint-problem.ts';
import { oneAfterAnother } from './one-after-another.ts';
import { improveInStretches } from './improve-in-stretches.ts';
import type { StretchSearch } from './improve-in-stretches.ts';
import { batchPlan, gapOf } from './plan-batches.ts';
import { ownBounds } from './own-bounds.ts';
import { partsOf } from './plan-parts.ts';

/** A set of components planned together: what was chosen and what was proven. */
interface SolvedPart {
  readonly components: readonly JointComponent[];
  readonly capacities: readonly SharedCapacity[];
  readonly steps: JointSteps;
  readonly cost: number;
  readonly bound: number;
  readonly method: JointPlan['parts'][number]['method'];
}

export interface PlanTogetherOptions {
  /** Left out: parts that need it are planned one after another and say so. */
  readonly solver?: MilpSolver;
  /** Defaults: gap 0.0001, 2 000 nodes, 30 s for each model. */
  readonly limits?: Pick<MilpLimits, 'relativeGap' | 'maxNodes' | 'timeLimitS'>;
  /** How a part that the model did not solve is worked on; left out = not at all. */
  readonly stretches?: StretchSearch;
}

const LIMITS: MilpLimits = { relativeGap: 1e-4, maxNodes: 2000, timeLimitS: 30 };

/**
 * Plans all components of a site at once: those that go into one another, and those that want the
 * same hands and equipment.
 *
 * Components that are tied by neither are planned exactly by themselves. Capacities are laid on only
 * where plans made without them overload one; then everything that uses it is planned together with
 * it, until none is overloaded. Leaving out a capacity can only make a plan cheaper, so the sum of
 * the parts' bounds is a bound for the whole, and a plan in which every part is proven is optimal.
 *
 * A part of several components is a mixed-integer model (jointModel) started from planning them one
 * after another. First no need may go short beyond what no plan could meet; when that is impossible,
 * the least unmet quantity (in batches) is found, and then the least cost with it. If the answer is
 * not what a first-expiring-first-out kitchen would do at that cost, the model is solved again with
 * that rule written in. The better of model and start is kept; where `stretches` are given, what the
 * model did not prove is worked on with them instead (`improveInStretches`).
 *
 * @returns per component a plan as from planBatches, the needs that runs cause, capacity loads, total
 *          cost, bound and gap, and the method of each part. Errors: `recipe-cycle`, `out-of-range`
 */
export async function planTogether(
  given: JointProblem,
  options: PlanTogetherOptions = {},
): Promise<Result<JointPlan>> {
  const ordered = usersFirst(fromOneStart(given));
  if (!ordered.ok) return ordered;
  const problem: JointProblem = { ...given, components: inGivenOrder(ordered.value, given) };
  const active = new Set<string>();
  let solved: SolvedPart[] = [];
  for (;;) {
    const capacities = problem.capacities.filter(({ id }) => active.has(id));
    const next: SolvedPart[] = [];
    for (const part of partsOf(ordered.value, capacities)) {
      const same = solved.find((before) => isSamePart(before, part));
      next.push(same ?? (await solvePart(part.components, part.capacities, options)));
    }
    solved = next;
    const steps = joined(solved);
    const over = loadsOf(problem, steps).filter(overloaded);
    const fresh = over.filter(({ capacityId }) => !active.has(capacityId));
    if (fresh.length === 0) return ok(assemble(problem, solved, steps));
    for (const { capacityId } of fresh) active.add(capacityId);
  }
}

/** Every component counts its stock's days from the same start to the same end, whatever needs it comes to have. */
function fromOneStart(problem: JointProblem): JointProblem {
  const first = Math.min(...problem.components.map(planStart));
  const last = Math.max(
    ...problem.components.flatMap(({ needs, slots }) => [
      ...needs.map(({ atMin }) => atMin),
      ...slots.map(({ startMin }) => startMin),
    ]),
  );
  const components = problem.components.map((c) => ({
    ...c,
    planFromMin: c.planFromMin ?? first,
    stockWaitsToMin: c.stockWaitsToMin ?? last,
  }));
  return { ...problem, components };
}

function inGivenOrder(ordered: readonly JointComponent[], given: JointProblem): JointComponent[] {
  return given.components.flatMap(({ component }) =>
    ordered.filter((c) => c.component.id === component.id),
  );
}

function isSamePart(
  before: SolvedPart,
  part: {
    readonly components: readonly JointComponent[];
    readonly capacities: readonly SharedCapacity[];
  },
): boolean {
  const names = (p: typeof part): string =>
    [...p.components.map((c) => c.component.id), '|', ...p.capacities.map(({ id }) => id)].join(
      ' ',
    );
  return names(before) === names(part);
}

function joined(parts: readonly SolvedPart[]): JointSteps {
  return new Map(parts.flatMap(({ steps }) => [...steps]));
}

async function solvePart(
  components: readonly JointComponent[],
  capacities: readonly SharedCapacity[],
  { solver, limits, stretches }: PlanTogetherOptions,
): Promise<SolvedPart> {
  const sequential = oneAfterAnother(components, capacities);
  const start = evaluateAll(components, sequential.steps);
  const [only] = components;
  if (only && components.length === 1 && sequential.unrestricted) {
    const { steps, methods } = sequential;
    const method = methods.get(only.component.id) ?? 'one-after-another';
    return { components, capacities, steps, cost: start.cost, bound: start.cost, method };
  }
  const own = ownBounds(components);
  const fallback: SolvedPart = {
    components,
    capacities,
    steps: sequential.steps,
    cost: start.cost,
    // Plans of their own bound the whole only when they leave as much unmet.
    bound: start.short <= own.short + SHORT_DUST ? Math.min(start.cost, own.cost) : 0,
    method: 'one-after-another',
  };
  if (!solver) return fallback;
  const search = { solver, limits: { ...LIMITS, ...limits }, stretches, components, capacities };
  const found = await searchPart(search, sequential.steps, start.short, own.short);
  return { ...found, components, capacities };
}

interface Search {
  readonly solver: MilpSolver;
  readonly limits: MilpLimits;
  readonly stretches?: StretchSearch | undefined;
  readonly components: readonly JointComponent[];
  readonly capacities: readonly SharedCapacity[];
}

type Found = Pick<SolvedPart, 'steps' | 'cost' | 'bound' | 'method'>;

/** Short by no more than this many batches is float dust of the solver. */
const SHORT_DUST = 1e-6;

async function searchPart(
  search: Search,
  startSteps: JointSteps,
  startShort: number,
  leastShort: number,
): Promise<Found> {
  const { allowed, from } = await leastUnmet(search, startSteps, startShort, leastShort);
  let best: Found = seed(search, from);
  let bound = -Infinity;
  for (const firstExpiringFirst of [false, true]) {
    const aim = {
      minimise: 'cost' as const,
      mostShort: allowed === 0 ? 0 : allowed + SHORT_DUST,
      firstExpiringFirst,
    };
    const built = jointModel(search.components, search.capacities, aim);
    const answer = await solve(search, built, best.steps);
    bound = Math.max(bound, answer.bound);
    if (answer.values.length > 0) {
      const steps = built.stepsFrom(answer.values);
      const { cost, short } = evaluateAll(search.components, steps);
      const valid = short <= allowed + 2 * SHORT_DUST;
      if (valid && (!best || cost < best.cost - 1e-9))
        best = { steps, cost, bound, method: 'mixed-integer' };
    }
    if (gapOf(best.cost, bound) <= (search.limits.relativeGap ?? 0)) break;
    if (firstExpiringFirst || !search.stretches) continue;
    const better = await improveInStretches(built, search.components, best, {
      solver: search.solver,
      search: search.stretches,
      weigh: (steps) => {
        const { cost, short } = evaluateAll(search.components, steps);
        return short <= allowed + 2 * SHORT_DUST ? { steps, cost } : null;
      },
    });
    best = { ...better, bound, method: 'mixed-integer' };
    break;
  }
  return { ...best, bound: Math.min(best.cost, bound), method: 'mixed-integer' };
}

function seed(search: Search, steps: JointSteps): Found {
  const { cost } = evaluateAll(search.components, steps);
  return { steps, cost, bound: -Infinity, method: 'one-after-another' };
}

/**
 * The least that must stay unmet, in batches, and a plan that leaves no more: the start itself when
 * it meets as much as the components could each by themselves.
 */
async function leastUnmet(
  search: Search,
  startSteps: JointSteps,
  startShort: number,
  leastShort: number,
): Promise<{ readonly allowed: number; readonly from: JointSteps }> {
  const start = { allowed: startShort, from: startSteps };
  if (startShort <= leastShort + SHORT_DUST) return start;
  const aim = { minimise: 'unmet' as const, mostShort: Infinity, firstExpiringFirst: false };
  const built = jointModel(search.components, search.capacities, aim);
  const answer = await solve(search, built, startSteps);
  if (answer.values.length === 0) return start;
  const from = built.stepsFrom(answer.values);
  const { short } = evaluateAll(search.components, from);
  return short < startShort ? { allowed: short < SHORT_DUST ? 0 : short, from } : start;
}

function solve(search: Search, built: JointModel, from?: JointSteps): Promise<MilpSolution> {
  const start = from && startOf(built, from);
  return search.solver.solve(built.model, { ...search.limits, ...(start ? { start } : {}) });
}

function startOf(built: JointModel, steps: JointSteps): Map<number, number> {
  const start = new Map<number, number>();
  for (const { count, made } of built.stepVariables.values()) {
    start.set(count, 0);
    start.set(made, 0);
  }
  for (const [componentId, slots] of steps) {
    for (const [slotId, steps] of slots) {
      const variables = built.stepVariables.get(keyOf(componentId, slotId));
      if (!variables) continue;
      start.set(variables.count, steps);
      start.set(variables.made, 1);
    }
  }
  return start;
}

function batchesShort(component: JointComponent, quantity: number): number {
  return quantity / component.rule.batchQuantity;
}

function evaluateAll(components: readonly JointComponent[], steps: JointSteps) {
  let cost = 0;
  let short = 0;
  const each = new Map<string, EvaluatedRuns>();
  for (const component of components) {
    const full = withDependentNeeds(component, components, steps);
    const evaluated = evaluateRuns(full, steps.get(component.component.id) ?? new Map());
    each.set(component.component.id, evaluated);
    cost += evaluated.cost;
    short += batchesShort(component, evaluated.totalShort);
  }
  return { cost, short, each };
}

function assemble(
  problem: JointProblem,
  parts: readonly SolvedPart[],
  steps: JointSteps,
): JointPlan {
  const loads = loadsOf(problem, steps);
  const components = problem.components.map((component) => {
    const { id } = component.component;
    const part = parts.find((p) => p.components.some((c) => c.component.id === id));
    const full = withDependentNeeds(component, problem.components, steps);
    const evaluated = evaluateRuns(full, steps.get(id) ?? new Map());
    // A part's gap belongs to all its components; none is better proven than the whole.
    const share = part && part.cost > 0 ? part.bound / part.cost : 1;
    const method: BatchPlan['method'] =
      part === undefined || part.method === 'one-after-another'
        ? 'dynamic-programming-limited'
        : part.method;
    const plan = batchPlan(full, evaluated, evaluated.cost * share, method);
    return { componentId: id, plan: withFullCapacities(plan, component, problem, loads) };
  });
  const cost = parts.reduce((sum, part) => sum + part.cost, 0);
  const bound = parts.reduce((sum, part) => sum + part.bound, 0);
  return {
    steps,
    components,
    dependentNeeds: problem.components.flatMap(({ component }) =>
      needsFromRuns(component.id, problem.components, steps),
    ),
    loads,
    cost,
    bound,
    gap: gapOf(cost, bound),
    parts: parts.map(({ components: members, capacities, method, cost, bound }) => ({
      componentIds: members.map((c) => c.component.id),
      capacityIds: capacities.map(({ id }) => id),
      method,
      cost,
      bound,
    })),
  };
}

/** Names, at each need left short, the shared capacities with no room for one more batch. */
function withFullCapacities(
  plan: BatchPlan,
  component: JointComponent,
  problem: JointProblem,
  loads: JointPlan['loads'],
): BatchPlan {
  if (plan.unmet.length === 0) return plan;
  const unmet = plan.unmet.map((short) => {
    const need = component.needs.find(({ id }) => id === short.needId);
    const slots = component.slots.filter(
      (slot) => need && slot.readyMin <= need.atMin && slot.useByMin >= need.untilMin,
    );
    const full = loads.filter(({ capacityId, used, capacity }) =>
      slots.some((slot) =>
        slot.uses?.some(
          (use) =>
            use.capacityId === capacityId &&
            used + use.perBatch * component.rule.multiple > capacity,
        ),
      ),
    );
    if (full.length === 0) return short;
    const names = problem.capacities
      .filter(({ id }) => full.some((f) => f.capacityId === id))
      .map(({ name }) => name);
    return {
      ...short,
      message: `${short.message} Full: ${names.join(', ')}.`,
      fullCapacityIds: full.map(({ capacityId }) => capacityId),
    };
  });
  return { ...plan, unmet };
}
