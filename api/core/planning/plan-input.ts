import type { EpochMin, OpenInterval, ServiceDate } from '../calendar/index.ts';
import type { CountDistribution } from '../distributions/index.ts';
import type { ExplanationSource } from '../explanation/index.ts';
import type { LotOnHand } from '../netting/index.ts';
import type { PlanPiecePart } from './pieces.ts';

export type { PlanPiecePart };
import type { Item, RecipeDef } from '../recipe-graph/index.ts';
import type { PlanStep, Shift, SiteEquipment } from '../schedule/index.ts';
import type { WorkUnderWay } from './work-under-way.ts';

export type { WorkUnderWay };

/** One addend of the expected covers: `value` × `factor`, with where the value comes from. */
export interface CoversTerm {
  readonly label: string;
  readonly value: number;
  readonly factor: number;
  readonly source?: ExplanationSource;
}

/** A dish on offer at a service. */
export interface DishOnOffer {
  readonly dishId: string;
  /** Portions per cover, on average. */
  readonly share: number;
  readonly shareSource: ExplanationSource;
  /** Covers' experience behind the share (see `dishShares`); absent: the share is certain. */
  readonly shareStrength?: number;
  /** Relative variance of the share from day to day beyond chance (default 0). */
  readonly shareDayVariation?: number;
  /** Whether a cover may order several (the default) or at most one. */
  readonly perCover?: 'several' | 'at-most-one';
  /** Probability with which the planned portions must be enough, in (0, 1). */
  readonly level: number;
  /** Where the level, or the number a person fixed, comes from. */
  readonly levelSource?: ExplanationSource;
  /** Portions that a person fixed; the level is then not asked. */
  readonly fixedPortions?: number;
  /** Portions ordered beforehand, counted exactly on top. */
  readonly preOrdered?: number;
  /** Covers those portions belong to, who then choose nothing else of the dish (default 0). */
  readonly preOrderedCovers?: number;
}

/** One service of the site with the covers expected. */
export interface PlannedService {
  /** Unique in the plan. */
  readonly id: string;
  readonly serviceId: string;
  readonly name: string;
  readonly serviceDate: ServiceDate;
  readonly startMin: EpochMin;
  readonly endMin: EpochMin;
  /** Their sum is the mean number of covers. */
  readonly terms: readonly CoversTerm[];
  readonly distribution: CountDistribution;
  /** The part of the mean that is booked already (after usual cancellations), 0 to 1. */
  readonly certainFraction: number;
  readonly dishes: readonly DishOnOffer[];
}

/** A published version of a recipe, in base units, with what planning needs of it. */
export interface PlanVersion {
  readonly versionId: string;
  readonly versionNumber: number;
  readonly itemId: string;
  readonly station: string;
  /** Drives service dates from this one until the next version's. */
  readonly firstServiceDate: ServiceDate;
  /** Set where a site's own change cuts the version into stretches: this one's first date. */
  readonly stretchFrom?: ServiceDate;
  readonly recipe: RecipeDef;
  /** Minutes from ready until it must be used or thrown away; a dish needs none. */
  readonly shelfLifeMin: number;
  readonly steps: readonly PlanStep[];
  readonly cautions: readonly string[];
  /**
   * Set when batches are started for the sake of a by-product: `itemId` is then the by-product, and
   * this is the recipe's own item and what a batch gives of it.
   */
  readonly madeAs?: { readonly itemId: string; readonly quantityPerBatch: number };
}

/** A stock lot of one item. */
export interface ItemLot extends LotOnHand {
  readonly itemId: string;
  /** Set for what is not in the fridge yet: what it is, for the explanation, and where it stands. */
  readonly coming?: { readonly label: string; readonly source: ExplanationSource };
}

/**
 * A component that another site makes for this one, for service dates from the first on and before
 * the second. Only stock (and what comes) serves its needs; what is left is `neededFromElsewhere`.
 */
export interface MadeElsewhere {
  readonly itemId: string;
  readonly fromDate: ServiceDate;
  readonly endsBefore?: ServiceDate;
  /** Why a need stays unmet, by its id, where that is known already. */
  readonly whyShort?: Readonly<Record<string, string>>;
}

/** What another site wants of this one: it must be ready to leave by `atMin`. */
export interface OutsideNeed {
  /** Unique in the plan. */
  readonly id: string;
  readonly itemId: string;
  readonly atMin: EpochMin;
  /** Its use-by may not be before this. */
  readonly untilMin: EpochMin;
  /** The service date it is for, which decides the recipe version. */
  readonly serviceDate: ServiceDate;
  readonly quantity: number;
  readonly certainFraction: number;
  readonly label: string;
  readonly source: ExplanationSource;
}

/**
 * A par of a component: the level its portions are planned at in place of the dish's, or a quantity
 * (base units) to be there over some service dates.
 */
export type ComponentPar =
  | {
      readonly kind: 'level';
      readonly itemId: string;
      readonly level: number;
      readonly source: ExplanationSource;
    }
  | {
      readonly kind: 'quantity';
      readonly itemId: string;
      readonly fromDate: ServiceDate;
      readonly toDate: ServiceDate;
      readonly quantity: number;
      readonly source: ExplanationSource;
    };

/** A run of the plan being replaced. */
export interface PreviousRun {
  readonly itemId: string;
  readonly versionId: string;
  readonly makeDate: ServiceDate;
  readonly startMin: EpochMin;
  readonly batches: number;
}

/** Everything the plan of one site is worked out from. No clock, no database. */
export interface SitePlanInput {
  readonly siteId: string;
  /** IANA zone of the site. */
  readonly zone: string;
  readonly nowMin: EpochMin;
  readonly horizonEndMin: EpochMin;
  readonly open: readonly OpenInterval[];
  /** The same stretches with the people on shift; left out = hands do not bind. */
  readonly shifts?: readonly Shift[];
  /** Equipment on record; a kind that is not there does not bind. */
  readonly equipment?: readonly SiteEquipment[];
  /** Tasks somebody has begun: they occupy people and equipment until they are through. */
  readonly underWay?: readonly WorkUnderWay[];
  /** Runs of the plan being replaced that nobody has started: moving them costs something. */
  readonly previousRuns?: readonly PreviousRun[];
  readonly services: readonly PlannedService[];
  readonly items: readonly Item[];
  readonly versions: readonly PlanVersion[];
  readonly lots: readonly ItemLot[];
  /** Parts of bought pieces (zest and juice of a lemon), by part. */
  readonly pieceParts: readonly PlanPiecePart[];
  readonly componentPars?: readonly ComponentPar[];
  /** Components that other sites make for this one. */
  readonly madeElsewhere?: readonly MadeElsewhere[];
  /** What other sites want of this one. */
  readonly outsideNeeds?: readonly OutsideNeed[];
}
