import type { CoversSnapshot } from '../covers/index.ts';
import type { MenusRepository } from '../menus/index.ts';
import type { AuditTrail } from '../platform/index.ts';
import type { SitesRepository } from '../sites/index.ts';

/** Portions of one dish that a party will have. */
export interface PreOrderLine {
  readonly dishId: string;
  readonly portions: number;
}

/** What a party ordered beforehand, or the set menu it will eat. */
export interface PreOrderInput {
  readonly serviceId: string;
  readonly serviceDate: string;
  /** The name it is booked under. */
  readonly party: string;
  /** Its guests, who then choose nothing else. */
  readonly covers: number;
  readonly note: string | null;
  readonly lines: readonly PreOrderLine[];
}

export interface PreOrder extends PreOrderInput {
  readonly id: string;
  readonly siteId: string;
  readonly enteredBy: string;
  readonly createdAt: Date;
  readonly removedAt: Date | null;
  readonly rev: number;
}

export interface PreOrdersRepository {
  /** Standing ones of service dates from the first to the last, in order of date and entry. */
  ofSite(siteId: string, from: string, to: string): Promise<readonly PreOrder[]>;
  find(id: string): Promise<PreOrder | null>;
  insert(order: PreOrder): Promise<void>;
  /** @returns null when the revision is not current */
  update(id: string, input: PreOrderInput, rev: number): Promise<PreOrder | null>;
  /** @returns whether it still stood */
  remove(id: string, at: Date): Promise<boolean>;
  /** Names of dishes among these ids; what is no dish is left out. */
  dishNames(ids: readonly string[]): Promise<ReadonlyMap<string, string>>;
}

export interface PreOrdersWork {
  readonly preOrders: PreOrdersRepository;
  readonly sites: SitesRepository;
  readonly menus: Pick<MenusRepository, 'activeLines'>;
  readonly covers: {
    snapshotsOf(
      serviceIds: readonly string[],
      from: string,
      to: string,
    ): Promise<readonly CoversSnapshot[]>;
  };
  readonly audit: AuditTrail;
}
