import type { EpochMin, ServiceDate } from '../calendar/index.ts';
import type { ExplanationGraph } from '../explanation/index.ts';

/** Who a batch is made for. */
export interface NeededBy {
  /** A service slot, or a batch of another component. */
  readonly kind: 'service' | 'batch';
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
    | 'by-product-only';
  /** One sentence for the chef. */
  readonly message: string;
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
  readonly explanation: ExplanationGraph;
}
