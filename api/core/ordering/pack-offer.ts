import type { EpochMin, ServiceDate } from '../calendar/index.ts';
import type { IngredientNeed, NeedSource } from './ingredient-need.ts';

/** From `minPacks` packs of one order on, every pack costs `price`. */
export interface PriceBreak {
  readonly minPacks: number;
  /** Decimal text per pack. */
  readonly price: string;
}

/** A pack that a supplier sells of an ingredient. */
export interface PackOffer {
  readonly id: string;
  readonly supplierId: string;
  readonly ingredientId: string;
  /** Content of one pack, base unit of the ingredient, above zero. */
  readonly quantityBase: number;
  /** Decimal text per pack, above zero: an unknown price is no offer. */
  readonly price: string;
  readonly currency: string;
  readonly priceBreaks?: readonly PriceBreak[];
  /** Fewest packs the supplier sells at once; 1 when left out. */
  readonly minPacks?: number;
  /** Most packs the supplier can give per delivery; no limit when left out. */
  readonly maxPacks?: number;
  /** Whole days the goods keep: usable from the delivery date to that date plus this many days. */
  readonly shelfLifeDays?: number;
  /** Delivery dates between which the offer (its price, the goods at all) holds; always when left out. */
  readonly fromDate?: ServiceDate;
  readonly toDate?: ServiceDate;
  readonly gtin?: string;
  /** Mass of a base unit, g. Without it the goods go on no trip that has a limit of mass. */
  readonly massPerBaseG?: number;
  /** The pack the kitchen orders by habit; at most one an ingredient. */
  readonly isDefault?: boolean;
}

/** What a supplier asks of each order (one site, one delivery date). Amounts are decimal texts. */
export interface SupplierTerms {
  readonly supplierId: string;
  readonly minOrderValue?: string;
  readonly minOrderPacks?: number;
  readonly deliveryCharge?: string;
  /** From this goods value on the delivery charge is waived. */
  readonly freeDeliveryFrom?: string;
}

/** A delivery of a supplier to a site that can still be ordered. */
export interface DeliverySlot {
  readonly supplierId: string;
  readonly siteId: string;
  readonly deliveryDate: ServiceDate;
  readonly usableFromDate: ServiceDate;
  readonly cutoffMin: EpochMin;
}

/** A site bound to buy an ingredient (or, without one, everything offered) from a supplier. */
export interface SupplyContract {
  readonly siteId: string;
  readonly ingredientId?: string;
  /** True where the ingredient is bound only because its category is: one that names it goes before. */
  readonly byCategory?: boolean;
  readonly supplierId: string;
  /** Delivery dates it holds for, both included; always when left out. */
  readonly fromDate?: ServiceDate;
  readonly toDate?: ServiceDate;
}

/** What a site is expected to use of an ingredient each day after the horizon. */
export interface LaterUse {
  readonly siteId: string;
  readonly ingredientId: string;
  readonly perDayBase: number;
}

/** Goods carried from one site to another, `handlingDays` after they are usable there. */
export interface TransferRoute {
  readonly fromSiteId: string;
  readonly toSiteId: string;
  readonly tripDates: readonly ServiceDate[];
  /** Decimal text per trip that carries anything. */
  readonly costPerTrip: string;
  readonly handlingDays?: number;
  /** Most goods that each of the trips can still take, g; no limit when left out. */
  readonly massLimitG?: number;
}

/** Weights of the choice that are no invoice; our own settings, no source. */
export interface ChoiceSettings {
  /** Worth of a leftover that will be used in date, as a fraction of its cheapest price. */
  readonly leftoverValueFraction?: number;
  /** Cost of keeping goods a day, as a fraction of their cheapest price: cash, space, risk. */
  readonly holdingFractionPerDay?: number;
  /**
   * An order is filled up to the supplier's minimum only while that costs less (waste and keeping)
   * than this fraction of the minimum; else it is left below it and says so. Always filled up when
   * left out.
   */
  readonly belowMinimumFraction?: number;
}

/** All that the choice of packs depends on, in one currency. */
export interface PackProblem {
  readonly currency: string;
  /** Last date of the plan, included. */
  readonly horizonEnd: ServiceDate;
  readonly needs: readonly IngredientNeed[];
  readonly offers: readonly PackOffer[];
  readonly suppliers: readonly SupplierTerms[];
  readonly slots: readonly DeliverySlot[];
  readonly contracts?: readonly SupplyContract[];
  readonly laterUse?: readonly LaterUse[];
  readonly transfers?: readonly TransferRoute[];
  readonly settings?: ChoiceSettings;
}

/** The part of a line that one dated need takes. */
export interface LineUse {
  readonly siteId: string;
  readonly needDate: ServiceDate;
  readonly quantityBase: number;
  readonly certainBase: number;
  readonly refs: readonly NeedSource[];
}

/**
 * What becomes of the surplus of a line: none; all used in date later; part or all expires; or the
 * shelf life, or the use after the plan, is not stated, so nobody can say.
 */
export type SurplusFate =
  'none' | 'used-in-date' | 'expires' | 'shelf-life-not-stated' | 'later-use-not-stated';

/** Whole packs of one offer in one order. Quantities in the ingredient's base unit. */
export interface PlannedLine {
  readonly offerId: string;
  readonly ingredientId: string;
  readonly packs: number;
  /** Price of each pack with the price break reached, decimal text. */
  readonly pricePerPack: string;
  readonly cost: string;
  readonly quantityBase: number;
  /** Used within the horizon, by need. */
  readonly uses: readonly LineUse[];
  readonly usedBase: number;
  readonly certainBase: number;
  readonly surplusBase: number;
  readonly usedLaterBase: number;
  readonly expectedWasteBase: number;
  readonly expectedWasteCost: string;
  readonly surplusFate: SurplusFate;
  /** Packs that no need calls for, there only to reach the supplier's minimum. */
  readonly packsForMinimum: number;
}

/** One order: a supplier, a site, a delivery. */
export interface PlannedOrder {
  readonly supplierId: string;
  readonly siteId: string;
  readonly deliveryDate: ServiceDate;
  readonly cutoffMin: EpochMin;
  readonly lines: readonly PlannedLine[];
  readonly goodsCost: string;
  readonly deliveryCharge: string;
  readonly total: string;
  /** Present when packs were bought only to reach the minimum: what they and their waste cost. */
  readonly toReachMinimum?: { readonly cost: string; readonly expectedWasteCost: string };
  /** Present when the order stays below the supplier's minimum because filling it up costs too much. */
  readonly belowMinimum?: { readonly missingValue: string; readonly missingPacks: number };
}

/** A need, or part of one, that cannot be met in time. */
export interface PackShortfall {
  readonly ingredientId: string;
  readonly siteId: string;
  readonly needDate: ServiceDate;
  readonly quantityBase: number;
  readonly certainBase: number;
  /**
   * `past-cutoff`: the next delivery comes after the need; `no-delivery`: none follows;
   * `no-offer`: nobody offers it to this site; `out-of-date`: everything that could come would be
   * out of date; `not-enough`: the suppliers cannot give more.
   */
  readonly reason: 'past-cutoff' | 'no-delivery' | 'no-offer' | 'out-of-date' | 'not-enough';
  readonly nextDelivery: DeliverySlot | null;
  readonly refs: readonly NeedSource[];
}

/** Goods carried between sites on one trip. */
export interface PlannedTransfer {
  readonly fromSiteId: string;
  readonly toSiteId: string;
  readonly tripDate: ServiceDate;
  readonly cost: string;
  readonly loads: readonly {
    readonly offerId: string;
    readonly deliveryDate: ServiceDate;
    readonly ingredientId: string;
    readonly quantityBase: number;
  }[];
}

/**
 * `cost` is what is paid (goods, deliveries, trips); `objective` adds the cost of keeping and takes
 * off the worth of leftovers used in date; `bound` is a proven limit below which no plan's
 * objective can be, `gap` their relative distance; both null when not proven.
 */
export interface PackPlan {
  readonly currency: string;
  readonly orders: readonly PlannedOrder[];
  readonly transfers: readonly PlannedTransfer[];
  readonly shortfalls: readonly PackShortfall[];
  readonly cost: string;
  readonly expectedWasteCost: string;
  readonly objective: string;
  readonly bound: string | null;
  readonly gap: number | null;
  readonly method: PlanMethod;
}

/** `exact-table`: dynamic programme; `mixed-integer`: branch and cut; `habit`: default packs. */
export type PlanMethod =
  'exact-table' | 'mixed-integer' | 'exact-table-and-mixed-integer' | 'habit';
