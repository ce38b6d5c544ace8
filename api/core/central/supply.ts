import type { EpochMin, OpenInterval, ServiceDate } from '../calendar/index.ts';
import type { PlanStep } from '../schedule/index.ts';
import type { CarriedKeeping } from '../safety/index.ts';
import type { OpenTrip } from './transfer-problem.ts';

/** A recipe version as the making site makes it, with what carrying needs of it. */
export interface MadeVersion {
  readonly versionId: string;
  readonly firstServiceDate: ServiceDate;
  /** What one batch gives, base units. */
  readonly batchQuantity: number;
  /** At most this long from ready, by the rules of both sites. Minutes. */
  readonly shelfLifeMin: number;
  /** Mass of a full container of it, g, where it is known. */
  readonly containerMassG?: number;
  readonly steps: readonly PlanStep[];
}

/** A component that one site makes for another, as the lead fixed it or the tool decided. */
export interface CentralComponent {
  /** Id of the standing rule. */
  readonly ruleId: string;
  readonly itemId: string;
  readonly name: string;
  readonly baseUnit: string;
  /** Service dates it holds for: from the first on, before the second. */
  readonly fromDate: ServiceDate;
  readonly endsBefore?: ServiceDate;
  /** What a full container is called, and holds in base units. */
  readonly containerName: string;
  readonly containerQuantity: number;
  readonly keeping: CarriedKeeping | null;
  /** Whether the receiving site makes itself what does not come. */
  readonly restMadeHere: boolean;
  readonly versions: readonly MadeVersion[];
  /** Most that may be asked for, base units, by version and trip: what the maker has promised. */
  readonly promised?: Readonly<Record<string, Readonly<Record<string, number>>>>;
}

/** What one site makes for the receiving one, and the trips that can still be asked for. */
export interface SupplyFrom {
  readonly makerSiteId: string;
  readonly makerName: string;
  /** Trips that still take orders, ascending. */
  readonly trips: readonly OpenTrip[];
  /** When the maker's kitchen works. */
  readonly makerOpen: readonly OpenInterval[];
  readonly components: readonly CentralComponent[];
}

/** Everything that other sites make for one site. */
export interface CentralSupply {
  readonly nowMin: EpochMin;
  readonly from: readonly SupplyFrom[];
}

/** Goods that the receiving site's plan asks another site for, on one trip. */
export interface AskedTransfer {
  readonly ruleId: string;
  readonly makerSiteId: string;
  readonly itemId: string;
  readonly versionId: string;
  readonly tripId: string;
  readonly leaveMin: EpochMin;
  readonly arriveMin: EpochMin;
  readonly containers: number;
  /** Base units. */
  readonly quantity: number;
  readonly surplus: number;
  /** The first service date it serves: of what it serves, all by the same recipe version. */
  readonly serviceDate: ServiceDate;
  /** The end of the last need it serves. */
  readonly neededUntilMin: EpochMin;
  /** A lot of the maker must have a use-by no earlier than this to be sent. */
  readonly lotUntilMin: EpochMin;
  /** Planned use-by at the receiving site. */
  readonly useByMin: EpochMin;
  readonly certainFraction: number;
  /** Node of `quantity` in the explanation of the transfers. */
  readonly node: string;
  readonly serves: readonly {
    readonly label: string;
    readonly serviceDate: ServiceDate;
    readonly atMin: EpochMin;
    readonly quantity: number;
  }[];
}
