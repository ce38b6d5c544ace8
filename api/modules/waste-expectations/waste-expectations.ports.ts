import type { AuditTrail } from '../platform/index.ts';
import type { SitesRepository } from '../sites/index.ts';

/** The part of an item a site expects to throw away, as a person states it from a date on. */
export interface WasteExpectationInput {
  /** An ingredient or a component; null: everything nothing else is known of. */
  readonly itemId: string | null;
  readonly fraction: number;
  /** Where the figure comes from. */
  readonly source: string;
  readonly validFrom: string;
}
export interface WasteExpectation extends WasteExpectationInput {
  readonly id: string;
  readonly siteId: string;
  readonly enteredBy: string;
  readonly enteredAt: Date;
}

/** What costs of a site read. Instants from the first, before the second. */
export interface WasteRead {
  /** Newest first. */
  statedAt(siteId: string): Promise<readonly WasteExpectation[]>;
  /** Base units thrown away, by item. */
  thrownAway(siteId: string, from: Date, before: Date): Promise<ReadonlyMap<string, number>>;
  /** Portions sold by dish on service dates, both included. */
  sold(siteId: string, from: string, to: string): Promise<ReadonlyMap<string, number>>;
}

export interface WasteRepository extends WasteRead {
  insert(expectation: WasteExpectation): Promise<void>;
  /** Whether an ingredient or component has this id. */
  hasItem(id: string): Promise<boolean>;
}

export interface WasteWork {
  readonly waste: WasteRepository;
  readonly sites: SitesRepository;
  readonly audit: AuditTrail;
}
