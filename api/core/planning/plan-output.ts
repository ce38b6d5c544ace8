import type { PlanMethod } from '../batches/index.ts';
import type { EpochMin, ServiceDate } from '../calendar/index.ts';
import type { ExplanationGraph } from '../explanation/index.ts';

/** Who a batch is made for. */
export interface NeededBy {
  /** A service slot, a batch of another component, or what goes to another site. */
  readonly kind: 'service' | 'batch' | 'transfer';
  readonly id: string;
  readonly label: string;
  readonly serviceDate: ServiceDate;
  readonly atMin: EpochMin;
  readonly quantity: number;
}

/** What a service or a run takes from the fridge before anything is made for it. */
export interface StockUse {
  readonly lotId: string;
  readonly itemId: string;
  readonly quantity: number;
  readonly useByMin: EpochMin;
  readonly usedBy: NeededBy;
}

/** One run of one component on one day: whole batches, one start, one ready time. */
export interface PlannedTask {
  readonly id: string;
  readonly itemId: string;
  readonly versionId: string;
  readonly station: string;
  readonly makeDate: ServiceDate;
  /** The latest start that still meets the first service that needs it. */
  readonly startMin: EpochMin;
  readonly readyMin: EpochMin;
  readonly useByMin: EpochMin;
  /** When the first of what it serves needs it. */
  readonly firstNeedMin: EpochMin;
  /** The chance to make it that was taken (see production-slots), and its day. */
  readonly slotId: string;
  readonly slotDate: ServiceDate;
  readonly batches: number;
  /** Base units made. */
  readonly quantity: number;
  /** Of that, what services and batches need; the rest is rounding up to whole batches. */
  readonly neededQuantity: number;
  /** Separate makings this takes where one making cannot be larger than the batch maximum. */
  readonly makings: number;
  readonly neededBy: readonly NeededBy[];
  readonly cautions: readonly string[];
  readonly batchesNode: string;
  readonly quantityNode: string;
  /** The explained `neededQuantity`. */
  readonly neededNode: string;
}

/** Something a service will be without. Never left out silently. */
export interface Shortage {
  readonly itemId: string;
  readonly quantity: number;
  readonly serviceDate: ServiceDate;
  readonly atMin: EpochMin;
  readonly neededBy: string;
  readonly reason:
    | 'too-late-to-make'
    | 'shelf-life-too-short'
    | 'no-time-inside-hours'
    | 'no-recipe-for-date'
    | 'by-product-only'
    | 'vessels-too-small'
    | 'no-hands'
    | 'equipment-full'
    | 'made-elsewhere';
  /** One sentence for the chef. */
  readonly message: string;
  /** The equipment that is in use or too small, where it is that. */
  readonly equipmentKind?: string;
  /** Where known, the earliest it could be ready. */
  readonly earliestReadyMin?: EpochMin;
  /** The run that would have used it, where it is not a service. */
  readonly usedByTask?: string;
  readonly node: string;
}

/** As-purchased need of one ingredient on one day at the site. */
export interface DatedIngredientNeed {
  readonly ingredientId: string;
  /** The day it must be in the house. */
  readonly needDate: ServiceDate;
  readonly atMin: EpochMin;
  /** Base units as purchased: trim and cooking losses put back. */
  readonly quantity: number;
  /** The part that booked covers alone need. */
  readonly certainQuantity: number;
  readonly node: string;
  /** For a piece with parts: the part that drives the number of pieces. */
  readonly drivenBy?: string;
}

/** How the runs of one component were chosen, costs in minutes of work (see `planCosts`). */
export interface ComponentMethod {
  readonly itemId: string;
  readonly versionId: string;
  readonly method: PlanMethod;
  readonly costMin: number;
  /** Of it, hands on the makings (`handsOnRun`). */
  readonly handsMin: number;
  /** No choice that leaves as little unmet costs less, given what the level above asks for. */
  readonly boundMin: number;
  /** Base units left unmet. */
  readonly unmet: number;
}

/** How the plan's batches were chosen. Costs are in minutes of work (see `planCosts`). */
export interface PlanSolution {
  /**
   * `level-by-level`: each component exactly, given what the level above asks for. `together`: as a
   * mixed-integer search over all of them found.
   */
  readonly method: 'level-by-level' | 'together';
  readonly costMin: number;
  /** Of it, hands on the makings. */
  readonly handsMin: number;
  /** No choice among the same chances that meets what this plan meets costs less. */
  readonly boundMin: number;
  /** (cost − bound) / cost; 0 when proven best. */
  readonly gap: number;
  readonly components: readonly ComponentMethod[];
}

/** A run for which people or equipment are short. */
export interface TightRun {
  readonly itemId: string;
  readonly slotId: string;
  readonly kind: 'earlier-day' | 'late' | 'no-time';
  readonly dueMin: EpochMin;
  /** Minutes after it is due; 0 for one that is only moved. */
  readonly lateMin: number;
  /** What there is not enough of. */
  readonly by: 'hours' | 'hands' | 'equipment';
  /** The equipment, where it is that. */
  readonly equipmentKind?: string;
  readonly message: string;
}

/** What is left of a need of a component that another site makes, after what is here and what comes. */
export interface NeedFromElsewhere {
  readonly needId: string;
  readonly itemId: string;
  readonly atMin: EpochMin;
  readonly untilMin: EpochMin;
  readonly serviceDate: ServiceDate;
  readonly quantity: number;
  readonly certainFraction: number;
  /** The explained `quantity`. */
  readonly node: string;
  readonly neededBy: NeededBy;
}

export interface PlannedPortions {
  readonly serviceSlotId: string;
  readonly dishId: string;
  readonly portions: number;
  readonly node: string;
}

export interface PlannedCovers {
  readonly serviceSlotId: string;
  readonly mean: number;
  readonly node: string;
  /** Four services in five lie from `low` to `high`. */
  readonly low: number;
  readonly lowNode: string;
  readonly high: number;
  readonly highNode: string;
}

/** A lot that no planned service or batch can use before it expires. */
export interface LeftUnused {
  readonly lotId: string;
  readonly itemId: string;
  readonly quantity: number;
  readonly useByMin: EpochMin;
}

/** The plan of one site: what to make when, what to buy by when, what will be short, and why. */
export interface SitePlan {
  readonly covers: readonly PlannedCovers[];
  readonly portions: readonly PlannedPortions[];
  readonly tasks: readonly PlannedTask[];
  readonly ingredientNeeds: readonly DatedIngredientNeed[];
  readonly shortages: readonly Shortage[];
  /** First-expiring first: what to use from the fridge, and for what. */
  readonly stockUses: readonly StockUse[];
  readonly leftUnused: readonly LeftUnused[];
  /** Runs that people or equipment leave no room for in time, or only on an earlier day. */
  readonly tight: readonly TightRun[];
  /** What other sites are to send (see `madeElsewhere` of the input); each is a shortage as well. */
  readonly neededFromElsewhere: readonly NeedFromElsewhere[];
  /** How the batches were chosen, and how far from the best the choice can be. */
  readonly solution: PlanSolution;
  readonly explanation: ExplanationGraph;
}
