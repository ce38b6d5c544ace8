import { addDays } from '../../core/calendar/index.ts';
import { chain, evaluate, subgraph } from '../../core/explanation/index.ts';
import type { ExplanationGraph } from '../../core/explanation/index.ts';
import { planQuantile, timesNodeOf } from '../../core/planning/index.ts';
import type { PlanEffort, SitePlanInput } from '../../core/planning/index.ts';
import { notFound, orRefuse, Refusal, requireSite } from '../platform/index.ts';
import type { Actor, Clock, NewId, UnitOfWork } from '../platform/index.ts';

import { centralStands, withoutRule, type CentralAsk } from './central-input.ts';
import { PlaceDecisions } from './place-decisions.ts';
import { preparePlan } from './plan-input.ts';
import type { PlanningData } from './planning-data.ports.ts';
import {
  namesOf,
  readList,
  shownWith,
  type ItemNames,
  type PrepList,
  type ShownWith,
} from './read-list.ts';
import { readForPlan, standsAs, type ReadForPlan } from './read-for-plan.ts';
import { standingSupply, tellOthers } from './tell-others.ts';
import type { IngredientNeedRow, PrepPlan, PrepTask, PrepWork } from './prep.ports.ts';
import {
  fitTasks,
  needRows,
  workOutPlan,
  type Planners,
  type WorkedOutPlan,
} from './work-out-plan.ts';
import { planWithMakers, type PlannedSite } from './with-makers.ts';

export const DEFAULT_PLAN_DAYS = 14;

export interface PrepDependencies extends Planners {
  readonly work: UnitOfWork<PrepWork>;
  readonly clock: Clock;
  readonly newId: NewId;
}

/** Times a plan is worked out anew because somebody was faster. */
const TRIES = 4;

/** A figure with the nodes it rests on, inputs first, and the same as lines of text. */
export interface ExplainedFigure {
  readonly nodeId: string;
  readonly value: number;
  readonly graph: ExplanationGraph;
  readonly lines: readonly string[];
}

/** Plans sites, gives the day's list, and explains every figure of a plan. */
export class PrepService {
  readonly #deps: PrepDependencies;
  /** The latest plan being worked out, by site. */
  readonly #underWay = new Map<string, Promise<PlannedSite<PrepPlan>>>();

  /** Decides where components are made that leads left to be worked out. */
  readonly places: PlaceDecisions;

  constructor(deps: PrepDependencies) {
    this.#deps = deps;
    this.places = new PlaceDecisions(deps, (siteId, productionId) =>
      this.#inputWithout(siteId, productionId),
    );
  }

  /**
   * Works the site's plan out anew from what is known now, and makes it the current one. It is
   * computed outside any transaction, and put in place only if tasks and plan, the fridge and the
   * bookings still stand as they were read; otherwise it is worked out again from what they are now.
   * Where only fridge or bookings keep changing (somebody is counting), the last one stands.
   * @throws Refusal `conflict` when they keep changing
   */
  async workOut(
    actor: Actor,
    siteId: string,
    days = DEFAULT_PLAN_DAYS,
    effort: PlanEffort = 'bound',
  ): Promise<PrepPlan> {
    return (await this.workOutWithMakers(actor, siteId, days, effort)).plan;
  }

  /**
   * As `workOut`, and says which sites were planned with it: whoever makes something for the site of
   * which more or less is asked now, and whoever cannot be given all they asked for.
   */
  async workOutWithMakers(
    actor: Actor,
    siteId: string,
    days = DEFAULT_PLAN_DAYS,
    effort: PlanEffort = 'bound',
  ): Promise<{ readonly plan: PrepPlan; readonly siteIds: readonly string[] }> {
    requireSite(actor, siteId);
    await this.places.renew(actor, siteId);
    return planWithMakers(siteId, (id, onlyPromised) =>
      this.#inTurn(id, id === siteId ? days : DEFAULT_PLAN_DAYS, onlyPromised, effort),
    );
  }

  /**
   * Weighs where a component is made that a lead left to be worked out, and plans the sites for which
   * that moves, each with whoever makes for it. The choice stands where a plan is refused.
   * @throws Refusal as `PlaceDecisions.decide` and `workOut`
   */
  async decidePlace(actor: Actor, productionId: string): Promise<void> {
    const planned = new Set<string>();
    for (const siteId of await this.places.decide(actor, productionId)) {
      if (planned.has(siteId)) continue;
      const { siteIds } = await this.workOutWithMakers(actor, siteId);
      for (const id of siteIds) planned.add(id);
    }
  }

  /** Within this process plans of one site follow one another; across processes the tries do. */
  #inTurn(
    siteId: string,
    days: number,
    onlyPromised: boolean,
    effort: PlanEffort,
  ): Promise<PlannedSite<PrepPlan>> {
    const before = this.#underWay.get(siteId) ?? Promise.resolve();
    const mine = before
      .catch(() => undefined)
      .then(() => this.#workOut(siteId, days, onlyPromised, effort));
    this.#underWay.set(siteId, mine);
    const forget = (): void => {
      if (this.#underWay.get(siteId) === mine) this.#underWay.delete(siteId);
    };
    mine.then(forget, forget);
    return mine;
  }

  async #workOut(
    siteId: string,
    days: number,
    onlyPromised: boolean,
    effort: PlanEffort,
  ): Promise<PlannedSite<PrepPlan>> {
    for (let tries = 0; tries < TRIES; tries += 1) {
      const now = this.#deps.clock.now();
      const read = await this.#deps.work.run((work) =>
        readForPlan(work, this.#deps.newId, { siteId, now, days, onlyPromised }),
      );
      const { data, standing, expected, pars, central } = read;
      const worked = await workOutPlan(
        this.#deps,
        data,
        now,
        days,
        standing,
        expected,
        pars,
        central,
        effort,
      );
      const plan = await this.#deps.work.run((work) =>
        this.#putInPlace(work, siteId, now, days, read, worked, tries === TRIES - 1),
      );
      if (plan) return plan;
    }
    throw new Refusal(
      'conflict',
      'The list of this site keeps changing at this moment. Try again in a minute.',
      { detail: { siteId } },
    );
  }

  /** What a plan worked out now would be worked out from; nothing is put in place. */
  async inputNow(
    siteId: string,
  ): Promise<{ readonly input: SitePlanInput; readonly names: ItemNames }> {
    const now = this.#deps.clock.now();
    const days = DEFAULT_PLAN_DAYS;
    const read = await this.#deps.work.run((work) =>
      readForPlan(work, this.#deps.newId, { siteId, now, days, onlyPromised: true }),
    );
    const { data, standing, expected, pars, central } = read;
    const { input } = preparePlan(data, now, days, standing, expected, pars, central);
    return { input: standingSupply(input, central), names: namesIn(data) };
  }

  /** As `inputNow`, as if a rule of central production were not there, with what was asked. */
  async #inputWithout(
    siteId: string,
    productionId: string,
  ): Promise<{ readonly input: SitePlanInput; readonly ask: CentralAsk }> {
    const now = this.#deps.clock.now();
    const days = DEFAULT_PLAN_DAYS;
    const read = await this.#deps.work.run((work) =>
      readForPlan(work, this.#deps.newId, { siteId, now, days, onlyPromised: true }),
    );
    const { data, today, standing, expected, pars } = read;
    const central = withoutRule(read.central, productionId);
    const { input } = preparePlan(data, now, days, standing, expected, pars, central);
    return {
      input: standingSupply(input, central),
      ask: { data, now, today, days, onlyPromised: false },
    };
  }

  /** @returns null when tasks or plan are no longer as they were read */
  async #putInPlace(
    work: PrepWork,
    siteId: string,
    now: Date,
    days: number,
    read: ReadForPlan,
    worked: WorkedOutPlan,
    lastTry: boolean,
  ): Promise<PlannedSite<PrepPlan> | null> {
    const { prep } = work;
    const { today, standing } = read;
    await prep.lockSite(siteId);
    const stands = await standsAs(prep, siteId, today);
    if (stands.tasks !== read.stands.tasks) return null;
    if (stands.stockAndCovers !== read.stands.stockAndCovers && !lastTry) return null;
    if ((await centralStands(work, siteId)) !== read.central.stands) return null;
    const planId = this.#deps.newId('plan');
    const changes = fitTasks(worked.plan, planId, siteId, standing, now, this.#deps.newId);
    const kept = standing.filter((task) => task.status !== 'to_do');
    const plan: PrepPlan = {
      id: planId,
      siteId,
      fromDate: today,
      toDate: addDays(today, days - 1),
      status: 'current',
      workedOutAt: now,
      summary: {
        ...worked.summary,
        taskIds: [...kept, ...changes.insert, ...changes.replace].map((task) => task.id),
      },
    };
    await prep.insertPlan(plan, worked.inputsHash);
    await prep.insertTasks(changes.insert);
    for (const task of [
      ...changes.replace,
      ...changes.drop,
      ...kept.map((t) => ({ ...t, planId })),
    ]) {
      await prep.replaceTask(task);
    }
    await prep.insertNeeds(needRows(worked.plan, planId, siteId, this.#deps.newId));
    await prep.saveExplanation(this.#deps.newId('exp'), planId, worked.plan.explanation);
    await prep.supersedeOthers(siteId, planId);
    const others = await tellOthers(work, this.#deps.newId, { siteId, planId, read, worked });
    return { plan, ...others };
  }

  /** The site's list of a day (today in the site's zone when none is named). */
  async list(actor: Actor, siteId: string, date?: string): Promise<PrepList> {
    requireSite(actor, siteId);
    return readList(this.#deps.work.read.prep, siteId, this.#deps.clock.now(), date);
  }

  /** Names and units of some items. */
  namesOf(ids: readonly string[]): Promise<ItemNames> {
    return namesOf(this.#deps.work.read.prep, ids);
  }

  /** What a task is shown with. */
  shownWith(task: PrepTask): Promise<ShownWith> {
    return shownWith(this.#deps.work.read.prep, task);
  }

  async currentPlan(actor: Actor, siteId: string): Promise<PrepPlan> {
    requireSite(actor, siteId);
    const plan = await this.#deps.work.read.prep.currentPlan(siteId);
    if (!plan) throw notFound('plan for the site', siteId);
    return plan;
  }

  async plan(actor: Actor, planId: string): Promise<PrepPlan> {
    const plan = await this.#deps.work.read.prep.plan(planId);
    if (!plan) throw notFound('plan', planId);
    requireSite(actor, plan.siteId);
    return plan;
  }

  /** The plan's as-purchased needs of ingredients by day. */
  async needs(actor: Actor, planId: string): Promise<readonly IngredientNeedRow[]> {
    await this.plan(actor, planId);
    return this.#deps.work.read.prep.needsOfPlan(planId);
  }

  /** Explains one figure of a plan: the chain from covers down to it. */
  async explain(actor: Actor, planId: string, nodeId: string): Promise<ExplainedFigure> {
    await this.plan(actor, planId);
    const graph = await this.#deps.work.read.prep.explanation(planId);
    if (!graph?.nodes.some((node) => node.id === nodeId)) throw notFound('figure', nodeId);
    return {
      nodeId,
      value: orRefuse(evaluate(graph, nodeId, { quantile: planQuantile })),
      graph: orRefuse(subgraph(graph, nodeId)),
      lines: orRefuse(chain(graph, nodeId)),
    };
  }

  async task(actor: Actor, taskId: string): Promise<PrepTask> {
    const task = await this.#deps.work.read.prep.findTask(taskId);
    if (!task) throw notFound('task', taskId);
    requireSite(actor, task.siteId);
    return task;
  }

  async explainTask(actor: Actor, taskId: string): Promise<ExplainedFigure> {
    const task = await this.task(actor, taskId);
    return this.explain(actor, task.explainedIn, task.quantityNode);
  }

  /** Explains when a task is to be begun, in minutes before the first thing that needs it. */
  async explainTimes(actor: Actor, taskId: string): Promise<ExplainedFigure> {
    const task = await this.task(actor, taskId);
    return this.explain(actor, task.explainedIn, timesNodeOf(task.quantityNode));
  }
}

function namesIn(data: PlanningData): ItemNames {
  return new Map(
    [...data.recipes, ...data.ingredients].map(({ id, name, baseUnit }) => [
      id,
      { name, baseUnit },
    ]),
  );
}
