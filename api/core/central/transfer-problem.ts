import type { EpochMin } from '../calendar/index.ts';
import type { DatedNeed } from '../netting/index.ts';
import type { Trip } from './transfer-calendar.ts';

/** A trip that goods may still be asked for on, with what it carries at most and is made for at least. */
export interface OpenTrip extends Trip {
  /** Contents, g; left out = no limit. */
  readonly massLimitG?: number;
  /** Full containers of any kind; left out = no limit. */
  readonly containerLimit?: number;
  /** The trip is not made for fewer containers than this. */
  readonly minimumContainers?: number;
}

/** One component, of one recipe version, that a site needs from another. */
export interface CarriedGoods {
  /** Unique in the problem. */
  readonly id: string;
  readonly name: string;
  /** What one full container holds, base units, > 0: amounts that leave are whole containers. */
  readonly containerQuantity: number;
  /** Mass of that, g; needed where trips have a limit of mass. */
  readonly containerMassG?: number;
  /** What one batch gives, base units: shortages and age of different goods are added up in batches. */
  readonly batchQuantity: number;
  /** Needs of the receiving site, after its own stock. */
  readonly needs: readonly DatedNeed[];
  /** The last minute at which it may be used, by trip; a trip that is not there cannot take it. */
  readonly keepsUntilMin: Readonly<Record<string, EpochMin>>;
  /** Most that may be asked for, base units, by trip, where the maker has no room for more. */
  readonly mostOnTrip?: Readonly<Record<string, number>>;
}

/** What goes from one site to another over the horizon of a plan. */
export interface TransferProblem {
  readonly trips: readonly OpenTrip[];
  readonly goods: readonly CarriedGoods[];
}

/** The part of a need that a transfer serves. */
export interface ServedNeed {
  readonly needId: string;
  readonly quantity: number;
}

/** Goods on one trip. */
export interface PlannedTransfer {
  readonly goodsId: string;
  readonly tripId: string;
  readonly containers: number;
  /** Base units: whole containers. */
  readonly quantity: number;
  readonly serves: readonly ServedNeed[];
  /** Carried beyond the needs, because containers are whole. */
  readonly surplus: number;
}

/**
 * Why a need, or part of it, is not served. `no-trip`: none arrives in time. `not-made-in-time`: none
 * that it can be made for. `does-not-keep`: what arrives in time is out of date too soon.
 * `load-full`: the trips that could bring it are full. `minimum-load`: too little would be on them.
 * `maker-short`: the making site has no room to make more.
 */
export type NotSentReason =
  'no-trip' | 'not-made-in-time' | 'does-not-keep' | 'load-full' | 'minimum-load' | 'maker-short';

export interface NotSent {
  readonly goodsId: string;
  readonly needId: string;
  readonly quantity: number;
  readonly reason: NotSentReason;
}

export interface TransferPlan {
  /** By trip, then in the order of the goods. */
  readonly transfers: readonly PlannedTransfer[];
  readonly notSent: readonly NotSent[];
  /** Trips that carry anything, ascending. */
  readonly tripIds: readonly string[];
  /** Minutes of work (see `TRANSFER_COSTS`). */
  readonly costMin: number;
  /** No plan that leaves as little unmet costs less. */
  readonly boundMin: number;
  /** `mixed-integer`: proven best; `-limited`: the search was cut short, the bound says how far. */
  readonly method: 'mixed-integer' | 'mixed-integer-limited';
}
