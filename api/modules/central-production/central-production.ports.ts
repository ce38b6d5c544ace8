import type { Place, PlaceChoice, WorkedPlace } from '../../core/central/index.ts';
import type { ExplanationGraph } from '../../core/explanation/index.ts';
import type { CarriedKeeping, Storage } from '../../core/safety/index.ts';
import type { AuditTrail } from '../platform/index.ts';
import type { SafetyRepository } from '../safety/index.ts';
import type { SitesRepository } from '../sites/index.ts';
import type { StockRepository } from '../stock/index.ts';
import type { SiteOverridesRepository } from '../recipes/index.ts';
import type { Transfer, TransferChange, TransferStatus } from './transfers.ports.ts';

/** What a person sets of the way from one site to another. */
export interface TransferRouteInput {
  readonly fromSiteId: string;
  readonly toSiteId: string;
  /** ISO weekdays of leaving. */
  readonly weekdays: readonly number[];
  /** Clock time at the sending site. */
  readonly leavesAt: string;
  /** Clock time at the receiving site, when it is unpacked. */
  readonly arrivesAt: string;
  readonly arrivesDaysLater: number;
  /** Dates of leaving on which nobody drives. */
  readonly noTripDates: readonly string[];
  /** What goes is fixed so many hours before it leaves. */
  readonly cutoffHours: number;
  /** Most that one trip carries, contents in g; null: no limit. */
  readonly massLimitG: number | null;
  /** Most full containers of one trip; null: no limit. */
  readonly containerLimit: number | null;
  readonly minimumContainers: number;
  /** Decimal text. */
  readonly costPerTrip: string;
  readonly currency: string;
}

export interface TransferRoute extends TransferRouteInput {
  readonly id: string;
  readonly archived: boolean;
  readonly rev: number;
}

export const PRODUCTION_MODES = ['fixed', 'decide'] as const;
/** `fixed`: the one maker named makes it. `decide`: worked out among the makers named and every site for itself. */
export type ProductionMode = (typeof PRODUCTION_MODES)[number];

/** What a lead sets: who makes a component for whom, from when, and how it travels. */
export interface ProductionInput {
  readonly componentId: string;
  /** The sites it is for. */
  readonly siteIds: readonly string[];
  /** Who makes it (fixed), or who could (decide). */
  readonly makerSiteIds: readonly string[];
  readonly mode: ProductionMode;
  /** Service dates it holds for: from the first on, before the second. */
  readonly fromDate: string;
  readonly endsBefore: string | null;
  readonly containerName: string;
  /** What a full container holds, as it was written. */
  readonly containerValue: number;
  readonly containerUnit: string;
  readonly keeping: CarriedKeeping | null;
  /** Whether a site makes itself what does not come. */
  readonly restMadeHere: boolean;
  readonly reason: string;
}

/** Where a component is made, as the tool worked it out. */
export interface PlaceDecision extends Place {
  readonly decidedAt: string;
  readonly decidedBy: string;
  readonly why: PlaceChoice['why'];
  /** Every place that was worked out, best first. */
  readonly places: readonly WorkedPlace[];
  /** Makers that could not be asked, and why. */
  readonly leftOut: readonly { readonly makerSiteId: string; readonly reason: string }[];
}

export interface CentralProduction extends ProductionInput {
  readonly id: string;
  /** What a full container holds, base units. */
  readonly containerQuantity: number;
  readonly decision: PlaceDecision | null;
  readonly enteredBy: string;
  readonly enteredAt: Date;
  readonly rev: number;
}

/** Goods of a joint purchase on a trip: they take of what it carries. */
export interface GoodsOnTrip {
  readonly fromSiteId: string;
  readonly tripDate: string;
  readonly ingredientId: string;
  readonly quantity: number;
}

export interface CentralProductionRepository {
  /** Waits until nobody else changes who makes what; held until the transaction ends. */
  lockRules(): Promise<void>;
  /** Standing ones, by from and to. */
  routes(): Promise<readonly TransferRoute[]>;
  findRoute(id: string): Promise<TransferRoute | null>;
  /** Between two sites, archived or not: there is at most one. */
  routeBetween(fromSiteId: string, toSiteId: string): Promise<TransferRoute | null>;
  insertRoute(id: string, input: TransferRouteInput): Promise<TransferRoute>;
  /** Also takes an archived one up again. @returns null when the revision is not current */
  updateRoute(id: string, input: TransferRouteInput, rev: number): Promise<TransferRoute | null>;
  archiveRoute(id: string, at: Date): Promise<boolean>;

  /** All, the latest first. */
  productions(): Promise<readonly CentralProduction[]>;
  findProduction(id: string): Promise<CentralProduction | null>;
  insertProduction(production: CentralProduction): Promise<void>;
  /** @returns null when the revision is not current */
  updateProduction(
    id: string,
    change: Partial<Omit<CentralProduction, 'id' | 'rev'>>,
    rev: number,
  ): Promise<CentralProduction | null>;

  findTransfer(id: string): Promise<Transfer | null>;
  /** Planned and sent ones that leave a site. */
  leaving(fromSiteId: string): Promise<readonly Transfer[]>;
  /** Planned and sent ones that go to a site. */
  coming(toSiteId: string): Promise<readonly Transfer[]>;
  /** Those of a site, either way, that leave or arrive between two instants; dropped ones left out. */
  ofSite(siteId: string, from: Date, to: Date): Promise<readonly Transfer[]>;
  /** Goods bought at other sites that are planned to be carried to a site, in base units. */
  goodsToCome(toSiteId: string): Promise<readonly GoodsOnTrip[]>;
  insertTransfers(transfers: readonly Transfer[]): Promise<void>;
  /** @returns false when it was not in that state any more */
  moveTransfer(id: string, from: TransferStatus, change: TransferChange): Promise<boolean>;
  /** Says what the maker can give of what was asked. Nothing when something else is asked by now. */
  promise(id: string, quantity: number, promised: number): Promise<void>;
  /** How what is made by these recipe versions is kept. */
  storagesOf(versionIds: readonly string[]): Promise<ReadonlyMap<string, Storage>>;
  saveExplanation(id: string, planId: string, graph: ExplanationGraph): Promise<void>;
  explanation(planId: string): Promise<ExplanationGraph | null>;
}

/** The repositories these services work with, inside one transaction. */
export interface CentralProductionWork {
  readonly siteOverrides: Pick<SiteOverridesRepository, 'list'>;
  readonly centralProduction: CentralProductionRepository;
  readonly sites: SitesRepository;
  readonly stock: StockRepository;
  readonly audit: AuditTrail;
}

/** The same, with the record of temperatures, for sending and receiving. */
export interface TransfersWork extends CentralProductionWork {
  readonly safety: SafetyRepository;
}
