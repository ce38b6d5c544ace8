import { createHash } from 'node:crypto';
import {
  askForTransfers,
  askingInput,
  COMING_LOT,
  suppliedInput,
  type TransfersAsked,
} from '../../core/central/index.ts';
import type { MilpSolver } from '../../core/milp/index.ts';
import type {
  PlanEffort,
  PlannedTask,
  SitePlan,
  SitePlanInput,
} from '../../core/planning/index.ts';
import type { Result } from '../../core/shared/index.ts';
import type { PlannedForecast } from '../forecasts/index.ts';
import type { PlanPars } from '../par-levels/index.ts';
import { orRefuse } from '../platform/index.ts';
import type { NewId } from '../platform/index.ts';
import type { CentralRead } from './central-input.ts';
import { preparePlan } from './plan-input.ts';
import type { PlanningData } from './planning-data.ports.ts';
import type { IngredientNeedRow, PlanSummary, PrepTask } from './prep.ports.ts';

/** A plan ready to be saved beside the tasks that stand already. */
export interface WorkedOutPlan {
  readonly plan: SitePlan;
  readonly summary: Omit<PlanSummary, 'taskIds'>;
  readonly inputsHash: string;
  /** What it asks of other sites; null where nobody makes anything for it. */
  readonly asked: TransfersAsked | null;
}

/** The core's site plan, here or in a thread of its own. */
export type SitePlanner = (input: SitePlanInput, effort?: PlanEffort) => Promise<Result<SitePlan>>;

/** What computes plans and the models within them. */
export interface Planners {
  readonly planSite: SitePlanner;
  readonly solver: MilpSolver;
}

/** Works out the plan of a site from its rows. Pure but for the hash. */
export async function workOutPlan(
  planners: Planners,
  data: PlanningData,
  now: Date,
  days: number,
  openTasks: readonly PrepTask[],
  forecasts: readonly PlannedForecast[],
  pars: PlanPars,
  central: CentralRead,
  effort: PlanEffort,
): Promise<WorkedOutPlan> {
  const prepared = preparePlan(data, now, days, openTasks, forecasts, pars, central);
  const { plan, input, asked } = await planSupplied(planners, prepared.input, central, effort);
  const isHere = ({ lotId }: { readonly lotId: string }): boolean => !lotId.startsWith(COMING_LOT);
  const covers = new Map(plan.covers.map((c) => [c.serviceSlotId, c]));
  return {
    plan,
    summary: {
      services: prepared.services.flatMap((service) => {
        const figure = covers.get(service.slotId);
        if (!figure) return [];
        return [
          {
            ...service,
            coversMean: figure.mean,
            coversNode: figure.node,
            coversLow: figure.low,
            coversLowNode: figure.lowNode,
            coversHigh: figure.high,
            coversHighNode: figure.highNode,
          },
        ];
      }),
      portions: plan.portions,
      shortages: plan.shortages,
      stockUses: plan.stockUses.filter(isHere),
      leftUnused: plan.leftUnused.filter(isHere),
      warnings: prepared.warnings,
      tight: plan.tight,
      solution: plan.solution,
    },
    inputsHash: createHash('sha256').update(JSON.stringify(input)).digest('hex'),
    asked,
  };
}

/**
 * Plans a site with what others make for it: first as if nothing of that were made here, so that its
 * needs show, then with what comes for them (see core/central).
 */
export async function planSupplied(
  { planSite, solver }: Planners,
  input: SitePlanInput,
  { supply }: Pick<CentralRead, 'supply'>,
  effort: PlanEffort = 'choose',
): Promise<{
  readonly plan: SitePlan;
  readonly input: SitePlanInput;
  readonly asked: TransfersAsked | null;
}> {
  if (supply === null) return { plan: orRefuse(await planSite(input, effort)), input, asked: null };
  const asking = orRefuse(await planSite(askingInput(input, supply)));
  const asked = orRefuse(await askForTransfers(asking, supply, input.zone, solver));
  const supplied = suppliedInput(input, supply, asked);
  return { plan: orRefuse(await planSite(supplied, effort)), input: supplied, asked };
}

/** What saving a new plan changes among the tasks that stand. */
export interface TaskChanges {
  readonly insert: readonly PrepTask[];
  readonly replace: readonly PrepTask[];
  readonly drop: readonly PrepTask[];
}

const keyOf = (recipeId: string, versionId: string, makeDate: string, ordinal: number): string =>
  `${recipeId}|${versionId}|${makeDate}|${ordinal}`;

/**
 * Fits a new plan to the tasks that stand: a run of the same recipe version on the same day keeps
 * its task (and the id on a chef's tablet) and is marked where the amount changed; started and
 * finished tasks are left as they are; what the new plan does without is dropped.
 */
export function fitTasks(
  plan: SitePlan,
  planId: string,
  siteId: string,
  standing: readonly PrepTask[],
  now: Date,
  newId: NewId,
): TaskChanges {
  const waiting = new Map<string, PrepTask>();
  const seen = new Map<string, number>();
  const ordinal = (recipeId: string, versionId: string, date: string, side: string): number => {
    const key = `${side}|${recipeId}|${versionId}|${date}`;
    const count = seen.get(key) ?? 0;
    seen.set(key, count + 1);
    return count;
  };
  const byStart = [...standing].sort((a, b) => a.startBy.getTime() - b.startBy.getTime());
  for (const task of byStart) {
    if (task.status !== 'to_do') continue;
    const n = ordinal(task.recipeId, task.versionId, task.makeDate, 'old');
    waiting.set(keyOf(task.recipeId, task.versionId, task.makeDate, n), task);
  }
  const insert: PrepTask[] = [];
  const replace: PrepTask[] = [];
  for (const run of plan.tasks) {
    const n = ordinal(run.itemId, run.versionId, run.makeDate, 'new');
    const key = keyOf(run.itemId, run.versionId, run.makeDate, n);
    const old = waiting.get(key);
    waiting.delete(key);
    if (old) replace.push(changedTask(old, run, planId, now));
    else insert.push(newTask(run, planId, siteId, newId('task'), standing.length > 0 ? now : null));
  }
  return { insert, replace, drop: [...waiting.values()].map((t) => ({ ...t, status: 'dropped' })) };
}

const toDate = (minutes: number): Date => new Date(minutes * 60_000);

function newTask(
  run: PlannedTask,
  planId: string,
  siteId: string,
  id: string,
  changedAt: Date | null,
): PrepTask {
  return {
    id,
    planId,
    siteId,
    recipeId: run.itemId,
    versionId: run.versionId,
    makeDate: run.makeDate,
    startBy: toDate(run.startMin),
    readyBy: toDate(run.readyMin),
    useBy: toDate(run.useByMin),
    batches: run.batches,
    makings: run.makings,
    quantity: run.quantity,
    neededQuantity: run.neededQuantity,
    station: run.station,
    status: 'to_do',
    neededFor: run.neededBy,
    cautions: run.cautions,
    explainedIn: planId,
    batchesNode: run.batchesNode,
    quantityNode: run.quantityNode,
    neededNode: run.neededNode,
    changedAt,
    previousQuantity: null,
    startedAt: null,
    finishedAt: null,
    tickedAt: null,
    madeQuantity: null,
    doneBy: null,
    reason: null,
    rev: 1,
  };
}

function changedTask(old: PrepTask, run: PlannedTask, planId: string, now: Date): PrepTask {
  const moved = Math.abs(old.quantity - run.quantity) > 1e-6;
  return {
    ...newTask(run, planId, old.siteId, old.id, old.changedAt),
    rev: old.rev + 1,
    ...(moved
      ? { changedAt: now, previousQuantity: old.quantity }
      : { previousQuantity: old.previousQuantity }),
  };
}

/** The plan's as-purchased needs as rows. */
export function needRows(
  plan: SitePlan,
  planId: string,
  siteId: string,
  newId: NewId,
): readonly IngredientNeedRow[] {
  return plan.ingredientNeeds.map((need) => ({
    id: newId('need'),
    planId,
    siteId,
    ingredientId: need.ingredientId,
    needDate: need.needDate,
    at: toDate(need.atMin),
    quantity: need.quantity,
    certainQuantity: need.certainQuantity,
    node: need.node,
    drivenBy: need.drivenBy ?? null,
  }));
}
