import type { MenusRepository } from '../menus/index.ts';
import type { AuditTrail, Page, PageRequest } from '../platform/index.ts';
import type { SitesRepository } from '../sites/index.ts';
import type { SalesDrawRepository, StockRepository } from '../stock/index.ts';

/** Names one sitting: a service on one date. */
export interface Sitting {
  readonly serviceId: string;
  readonly serviceDate: string;
}

/** What was booked for a sitting as seen at one instant. */
export interface SnapshotInput extends Sitting {
  readonly takenAt: Date;
  /** Covers booked and not cancelled. */
  readonly booked: number;
  /** Covers cancelled by then; null where the source does not count them. */
  readonly cancelled: number | null;
}
export interface CoversSnapshot extends SnapshotInput {
  readonly id: string;
  readonly siteId: string;
}

/** What came of a sitting. A closed one has no covers. What nobody counted is null. */
export interface OutcomeInput extends Sitting {
  readonly covers: number;
  /** Those of `covers` who came without a booking. */
  readonly walkIns: number | null;
  /** Covers booked to the last that did not come. */
  readonly noShows: number | null;
  /** Covers cancelled from the first booking to the service. */
  readonly cancelled: number | null;
  readonly closed: boolean;
  readonly note: string | null;
}
export interface ServiceOutcome extends OutcomeInput {
  readonly id: string;
  readonly siteId: string;
}

/** Portions of a dish sold at a sitting; `soldOutAt` marks demand that was cut short. */
export interface SaleInput extends Sitting {
  readonly dishId: string;
  readonly portions: number;
  readonly soldOutAt: Date | null;
}
export interface DishSale extends SaleInput {
  readonly id: string;
  readonly siteId: string;
}

/**
 * Something known ahead: not held, the room let to one party of `covers`, `factor` times the usual,
 * or `covers` as a person states them.
 */
export const EVENT_KINDS = ['closed', 'private_hire', 'factor', 'covers'] as const;
export type EventKind = (typeof EVENT_KINDS)[number];
export interface EventInput extends Sitting {
  readonly kind: EventKind;
  readonly factor: number | null;
  readonly covers: number | null;
  readonly reason: string;
}
export interface CoversEvent extends EventInput {
  readonly id: string;
  readonly siteId: string;
  readonly enteredBy: string;
}

/** The covers a lead expects of a weekday before there is history. */
export interface StatedCovers {
  readonly weekday: number;
  readonly covers: number;
}

/** Everything kept about the covers of one site between two dates. */
export interface SiteCovers {
  readonly snapshots: readonly CoversSnapshot[];
  readonly outcomes: readonly ServiceOutcome[];
  readonly sales: readonly DishSale[];
  readonly events: readonly CoversEvent[];
  readonly stated: readonly (StatedCovers & { readonly serviceId: string })[];
}

export interface SnapshotFilter {
  readonly serviceId?: string;
  readonly fromDate?: string;
  readonly toDate?: string;
}

export interface CoversRepository {
  /** Throws Refusal `conflict` when one is there already. */
  insertSnapshots(snapshots: readonly CoversSnapshot[]): Promise<void>;
  /** @returns false when a snapshot of that sitting and instant is there already */
  insertSnapshotIfNew(snapshot: CoversSnapshot): Promise<boolean>;
  findSnapshot(sitting: Sitting, takenAt: Date): Promise<CoversSnapshot | null>;
  /** Snapshots of these services between the dates (inclusive), by date and instant. */
  snapshotsOf(
    serviceIds: readonly string[],
    fromDate: string,
    toDate: string,
  ): Promise<readonly CoversSnapshot[]>;
  snapshotPage(
    siteId: string,
    filter: SnapshotFilter,
    request: PageRequest,
  ): Promise<Page<CoversSnapshot>>;

  /** Inserts, or replaces what stands for the same sitting. Sittings must differ. */
  putOutcomes(outcomes: readonly ServiceOutcome[]): Promise<void>;
  outcomesOf(
    serviceIds: readonly string[],
    fromDate: string,
    toDate: string,
  ): Promise<readonly ServiceOutcome[]>;

  /** Inserts, or replaces what stands for the same sitting and dish. Keys must differ. */
  putSales(sales: readonly DishSale[]): Promise<void>;
  salesOf(
    serviceIds: readonly string[],
    fromDate: string,
    toDate: string,
  ): Promise<readonly DishSale[]>;

  insertEvents(events: readonly CoversEvent[], at: Date): Promise<void>;
  findEvent(id: string): Promise<CoversEvent | null>;
  removeEvent(id: string, at: Date): Promise<boolean>;
  eventsOf(siteId: string, fromDate: string, toDate: string): Promise<readonly CoversEvent[]>;

  statedOf(
    serviceIds: readonly string[],
  ): Promise<readonly (StatedCovers & { readonly serviceId: string })[]>;
  /** Replaces what is stated for the service. */
  putStated(serviceId: string, stated: readonly StatedCovers[]): Promise<void>;

  /** Everything the planner needs of one site's covers, dates inclusive. */
  forSite(siteId: string, fromDate: string, toDate: string): Promise<SiteCovers>;

  /** Dishes by id and name, archived ones too (past sales name them). */
  dishes(): Promise<readonly { readonly id: string; readonly name: string }[]>;
}

/** The repositories the covers services work with, inside one transaction. */
export interface CoversWork {
  readonly covers: CoversRepository;
  readonly sites: SitesRepository;
  readonly menus: Pick<MenusRepository, 'activeLines'>;
  readonly stock: StockRepository;
  readonly salesDraw: SalesDrawRepository;
  readonly audit: AuditTrail;
}

/** Whoever works with covers and wants to know at once when more is known of them. */
export interface CoversFollower {
  /** Called after the change is kept. */
  sittingsChanged(sittings: readonly Sitting[]): Promise<void>;
  statedChanged(serviceId: string): Promise<void>;
}
