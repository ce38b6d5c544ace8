import type { ExplanationGraph } from '../../core/explanation/index.ts';
import type {
  NeededBy,
  PlannedPortions,
  PlanSolution,
  Shortage,
  StockUse,
  LeftUnused,
  TightRun,
} from '../../core/planning/index.ts';
import type { UseByReason } from '../../core/safety/index.ts';
import type { CentralProductionRepository } from '../central-production/index.ts';
import type { ParsRead } from '../par-levels/index.ts';
import type { AuditTrail, DayListAsk, DayListFound, ListMarks } from '../platform/index.ts';
import type { SafetyRepository } from '../safety/index.ts';
import type { StockRepository } from '../stock/index.ts';
import type { PlanningDataRepository } from './planning-data.ports.ts';

export type TaskStatus = 'to_do' | 'started' | 'done' | 'part_done' | 'abandoned' | 'dropped';

/** One task of a prep list. Quantities in the component's base unit. */
export interface PrepTask {
  readonly id: string;
  readonly planId: string;
  readonly siteId: string;
  readonly recipeId: string;
  readonly versionId: string;
  readonly makeDate: string;
  readonly startBy: Date;
  readonly readyBy: Date;
  readonly useBy: Date;
  readonly batches: number;
  readonly makings: number;
  readonly quantity: number;
  readonly neededQuantity: number;
  readonly station: string;
  readonly status: TaskStatus;
  readonly neededFor: readonly NeededBy[];
  readonly cautions: readonly string[];
  readonly explainedIn: string;
  readonly batchesNode: string;
  readonly quantityNode: string;
  readonly neededNode: string;
  readonly changedAt: Date | null;
  readonly previousQuantity: number | null;
  readonly startedAt: Date | null;
  readonly finishedAt: Date | null;
  /** When the last tick reached the record; it may have happened earlier. */
  readonly tickedAt: Date | null;
  readonly madeQuantity: number | null;
  readonly doneBy: string | null;
  readonly reason: string | null;
  readonly rev: number;
}

/** A service of the plan's window with the covers planned for. */
export interface PlanServiceSummary {
  readonly slotId: string;
  readonly serviceId: string;
  readonly name: string;
  readonly serviceDate: string;
  readonly startsAt: string;
  readonly booked: number | null;
  readonly coversMean: number;
  readonly coversNode: string;
  readonly coversLow: number;
  readonly coversLowNode: string;
  readonly coversHigh: number;
  readonly coversHighNode: string;
  readonly method: string;
  /** The kept forecast the covers come from, and the override that stood. Plans made earlier have none. */
  readonly forecastId?: string;
  readonly overrideId?: string | null;
}

/** What a plan says beside its tasks. Kept with the plan so that it can be read later as it was. */
export interface PlanSummary {
  readonly services: readonly PlanServiceSummary[];
  readonly portions: readonly PlannedPortions[];
  readonly shortages: readonly Shortage[];
  readonly stockUses: readonly StockUse[];
  readonly leftUnused: readonly LeftUnused[];
  readonly warnings: readonly string[];
  /** What people or equipment leave no room for; not in plans of earlier versions. */
  readonly tight?: readonly TightRun[];
  /** How the batches were chosen; not in plans of earlier versions, or without hands. */
  readonly solution?: Omit<PlanSolution, 'handsMin'> & Partial<Pick<PlanSolution, 'handsMin'>>;
  readonly taskIds: readonly string[];
}

export interface PrepPlan {
  readonly id: string;
  readonly siteId: string;
  readonly fromDate: string;
  readonly toDate: string;
  readonly status: 'current' | 'superseded';
  readonly workedOutAt: Date;
  readonly summary: PlanSummary;
}

/** What is needed to show an amount of an item. */
export interface NamedItem {
  readonly id: string;
  readonly name: string;
  readonly baseUnit: 'g' | 'ml' | 'each';
}

export interface IngredientNeedRow {
  readonly id: string;
  readonly planId: string;
  readonly siteId: string;
  readonly ingredientId: string;
  readonly needDate: string;
  readonly at: Date;
  readonly quantity: number;
  readonly certainQuantity: number;
  readonly node: string;
  readonly drivenBy: string | null;
}

export interface NewLot {
  readonly id: string;
  readonly siteId: string;
  readonly itemKind: 'ingredient' | 'component';
  readonly itemId: string;
  readonly quantity: number;
  readonly madeAt: Date;
  readonly useBy: Date;
  readonly sourceKind: string;
  readonly sourceId: string;
  /** Why it is held back from the start: a limit was not kept while it was made. */
  readonly heldReason: string | null;
  readonly useByReasons: readonly UseByReason[];
}

/** What became of taking a task back: `held` lots wait for a lead, `used` ones are gone. */
export type Undone = 'undone' | 'used' | 'held';

/** A lot as it is now, whatever the plan found. Base units. */
export interface LotNow {
  readonly quantity: number;
  readonly held: boolean;
}

export interface PrepRepository {
  currentPlan(siteId: string): Promise<PrepPlan | null>;
  plan(id: string): Promise<PrepPlan | null>;
  /** Takes the site's planning lock for this transaction, so that two plans never interleave. */
  lockSite(siteId: string): Promise<void>;
  /**
   * What is in the fridge and what is known of services from `from` on, as one text that changes
   * whenever any of it does.
   */
  stockAndCovers(siteId: string, from: string): Promise<string>;
  insertPlan(plan: Omit<PrepPlan, 'status'>, inputsHash: string): Promise<void>;
  supersedeOthers(siteId: string, currentId: string): Promise<void>;
  saveExplanation(id: string, planId: string, graph: ExplanationGraph): Promise<void>;
  explanation(planId: string): Promise<ExplanationGraph | null>;

  /**
   * Tasks of the site made on `from` or later that belong to its current plan, and those begun at any
   * time that nobody has finished or given up.
   */
  openTasks(siteId: string, from: string): Promise<readonly PrepTask[]>;
  /** Tasks of a day; also, where asked, those begun on an earlier one that nobody has finished. */
  tasksOn(siteId: string, date: string, alsoBegunBefore?: boolean): Promise<readonly PrepTask[]>;
  tasksBetween(siteId: string, from: string, to: string): Promise<readonly PrepTask[]>;
  findTask(id: string): Promise<PrepTask | null>;
  insertTasks(tasks: readonly PrepTask[]): Promise<void>;
  replaceTask(task: PrepTask): Promise<void>;
  /** @returns false when the task was not in one of the `from` states any more */
  moveTask(
    id: string,
    from: readonly TaskStatus[],
    change: Partial<
      Pick<
        PrepTask,
        'status' | 'startedAt' | 'finishedAt' | 'tickedAt' | 'madeQuantity' | 'doneBy' | 'reason'
      >
    >,
  ): Promise<boolean>;

  /** Name and zone of a site. */
  siteOf(siteId: string): Promise<{ readonly name: string; readonly zone: string } | null>;
  /** Recipes and ingredients by id; what is not there is left out. */
  itemsOf(ids: readonly string[]): Promise<readonly NamedItem[]>;
  /** The numbers of recipe versions by id. */
  versionNumbers(versionIds: readonly string[]): Promise<ReadonlyMap<string, number>>;
  /** Those of some components that are kept frozen. */
  frozenAmong(recipeIds: readonly string[]): Promise<ReadonlySet<string>>;

  insertNeeds(needs: readonly IngredientNeedRow[]): Promise<void>;
  needsOfPlan(planId: string): Promise<readonly IngredientNeedRow[]>;

  insertLot(lot: NewLot, movementId: string, actorId: string, taskId: string | null): Promise<void>;
  /** What some lots hold now, and whether they are held back; one that is gone is left out. */
  lotsNow(lotIds: readonly string[]): Promise<ReadonlyMap<string, LotNow>>;
  /** Those of some tasks of which something that they made is held back and not all gone. */
  heldTasks(taskIds: readonly string[]): Promise<ReadonlySet<string>>;
  /** Lots of an item at the site with something left, not held, first-expiring first. */
  lotsOf(
    siteId: string,
    itemId: string,
  ): Promise<readonly { id: string; quantity: number; useBy: Date }[]>;
  /**
   * Takes from a lot, never below zero.
   * @returns what was taken
   */
  takeFromLot(input: {
    readonly lotId: string;
    readonly quantity: number;
    readonly kind: 'used' | 'undone';
    readonly movementId: string;
    readonly actorId: string;
    readonly taskId: string;
    readonly at: Date;
  }): Promise<number>;
  /** Puts back what a task took and removes what it made; nothing is changed unless `undone`. */
  undoTask(taskId: string, movementId: () => string, actorId: string, at: Date): Promise<Undone>;
}

/** Lists of days kept as text, under the marks they were read under. */
export interface DayListsRepository {
  /** @returns null when there is no such site */
  find(ask: DayListAsk): Promise<DayListFound | null>;
  /**
   * Keeps a list, unless the marks are others by now, and drops the site's lists of days before
   * `forgetBefore`.
   * @returns whether the marks still stood
   */
  keep(ask: DayListAsk, marks: ListMarks, body: string, forgetBefore: string): Promise<boolean>;
}

export interface PrepWork extends ParsRead {
  readonly prep: PrepRepository;
  readonly planningData: PlanningDataRepository;
  readonly safety: Pick<SafetyRepository, 'breachesOf'>;
  readonly centralProduction: CentralProductionRepository;
  readonly stock: Pick<StockRepository, 'items'>;
  readonly audit: AuditTrail;
}
