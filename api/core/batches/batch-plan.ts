import type { DatedNeed, LotAllocation, LotOnHand } from '../netting/index.ts';
import type { BatchRule } from './batch-rule.ts';

/** What a run takes of a capacity that several components share. */
export interface CapacityUse {
  readonly capacityId: string;
  /** Taken once when a run is made at all (working minutes to set up), capacity's unit. */
  readonly perRun: number;
  /** Taken by each batch (deck hours, working minutes), capacity's unit. */
  readonly perBatch: number;
}

/** One chance to make a component: a day or part of a day whose times have been worked out. */
export interface ProductionSlot {
  readonly id: string;
  /** When the first hand is put to it; inputs must be there and in date. Absolute minutes. */
  readonly startMin: number;
  /** When the batch can be served or used. */
  readonly readyMin: number;
  /** Last minute of its shelf life, already capped by rules and by its inputs. */
  readonly useByMin: number;
  /** Most batches this slot has room for (moulds, pans); left out = no limit. */
  readonly capacityBatches?: number;
  /** Setting-up cost of a run in this slot when it differs from the plan's. */
  readonly setupCost?: number;
  /** Cost of a batch in this slot when it differs from the plan's (overtime). */
  readonly batchCost?: number;
  /** Capacities shared with other components; read by planTogether only. */
  readonly uses?: readonly CapacityUse[];
}

/** Everything in one cost unit of the caller's choice: working minutes, or money. All ≥ 0. */
export interface PlanCosts {
  /** Per run: getting out, setting up, cleaning down. */
  readonly setup: number;
  /** Per unit made that expires unused (or, with no horizon end given, is never used). */
  readonly perUnitWaste: number;
  /** Per unit and day in the fridge, from ready until its service. */
  readonly holdingPerUnitPerDay: number;
  /** Per unit and day of age at service: what a fresher plate is worth. */
  readonly agePenalty: number;
  /** Per batch made; 0 when left out. */
  readonly perBatch?: number;
  /** Per unit still in date at the horizon's end, at most `perUnitWaste`; 0 when left out. */
  readonly endSurplusPerUnit?: number;
}

/** A run that has been decided before: started, or planned by the plan being replaced. */
export interface FixedRun {
  readonly slotId: string;
  readonly batches: number;
}

/** A run that has been started: it is made whatever the new plan says. */
export interface FrozenRun {
  readonly id: string;
  readonly quantity: number;
  readonly readyMin: number;
  readonly useByMin: number;
}

/** What it costs, in the plan's unit, to surprise the brigade. */
export interface ChangePenalty {
  /** For each slot whose run appears or disappears against `previousRuns`. */
  readonly perRun: number;
  /** For each batch more or less in a slot against `previousRuns`. */
  readonly perBatch: number;
}

export interface BatchProblem {
  /** The component, for messages. */
  readonly component?: { readonly id: string; readonly name: string };
  readonly needs: readonly DatedNeed[];
  readonly rule: BatchRule;
  readonly slots: readonly ProductionSlot[];
  readonly costs: PlanCosts;
  /** Stock, first-expiring first. */
  readonly lots?: readonly LotOnHand[];
  /** Runs already started; they count as stock from their ready time. */
  readonly frozenRuns?: readonly FrozenRun[];
  /** Runs of the plan being replaced, by slot. */
  readonly previousRuns?: readonly FixedRun[];
  readonly changePenalty?: ChangePenalty;
  /**
   * Start of the plan. Days in the fridge of stock are counted from here, or from when it comes in;
   * what came before is paid. Left out = the first need or slot.
   */
  readonly planFromMin?: number;
  /**
   * Until when stock that nobody eats waits: its days count till then, so that eating it never costs
   * more than leaving it. Left out = the last need.
   */
  readonly stockWaitsToMin?: number;
  /** End of the plan; what is still in date then is not yet waste. Left out = all surplus is waste. */
  readonly horizonEndMin?: number;
}

export interface PlannedRun {
  readonly slotId: string;
  readonly batches: number;
  readonly quantity: number;
  readonly allocations: readonly { readonly needId: string; readonly quantity: number }[];
  /** Made but not used by any need of the plan. */
  readonly surplus: number;
  /** Whether the surplus expires within the plan or is still in date at its end. */
  readonly surplusFate: 'none' | 'expires' | 'in-date-at-end';
}

/**
 * Why a need is not met.
 * `too-late`: nothing can be ready by then. `shelf-life`: what is ready by then does not keep until
 * its end. `minimum-over-capacity`: every slot has room for less than the smallest batch.
 * `capacity`: the slots that could serve it are full.
 */
export type UnmetReason = 'too-late' | 'shelf-life' | 'minimum-over-capacity' | 'capacity';

/** What a person could give way on. Shelf life is never offered: it is set for safety. */
export type Relaxation =
  | 'start-earlier'
  | 'make-in-more-rounds'
  | 'add-capacity'
  | 'smaller-minimum'
  | 'make-elsewhere'
  | 'cut-need';

export interface UnmetNeed {
  readonly componentId: string | null;
  readonly needId: string;
  readonly quantity: number;
  readonly reason: UnmetReason;
  readonly message: string;
  readonly relax: readonly Relaxation[];
  /** Shared capacities that are full where the need could have been made (planTogether). */
  readonly fullCapacityIds?: readonly string[];
}

export interface CostBreakdown {
  readonly setup: number;
  readonly batches: number;
  readonly holding: number;
  readonly age: number;
  readonly waste: number;
  readonly endSurplus: number;
  readonly change: number;
  /** Days and age of stock that is left uneaten, up to `stockWaitsToMin`. */
  readonly idle: number;
}

/**
 * `dynamic-programming`: the exact position recursion. `stock-states`: exact search over stock by
 * age. `stock-states-limited`: the same, cut short. `mixed-integer`: HiGHS. `played`: decided before
 * and played through.
 */
export type PlanMethod =
  | 'dynamic-programming'
  | 'dynamic-programming-limited'
  | 'stock-states'
  | 'stock-states-limited'
  | 'mixed-integer'
  | 'played';

export interface BatchPlan {
  /** Ascending by ready time; none with zero batches. */
  readonly runs: readonly PlannedRun[];
  /** What stock and started runs cover. */
  readonly fromStock: readonly LotAllocation[];
  /** What stays of stock and started runs, with its use-by. */
  readonly stockLeft: readonly LotOnHand[];
  /** Total, in the caller's cost unit; needs not met cost nothing here and are listed instead. */
  readonly cost: number;
  readonly breakdown: CostBreakdown;
  /** No plan that leaves as little unmet can cost less than this. */
  readonly bound: number;
  /** (cost − bound) / cost, 0 when proven optimal. */
  readonly gap: number;
  readonly method: PlanMethod;
  readonly unmet: readonly UnmetNeed[];
}
