import type { LotLink } from '../../core/tracing/index.ts';
import type { AuditTrail } from '../platform/index.ts';
import type { ItemKind, StockRepository } from '../stock/index.ts';

/** A lot as a trace shows it, with where its quantity went (base units). */
export interface TracedLot {
  readonly id: string;
  readonly siteId: string;
  readonly siteName: string;
  readonly itemKind: ItemKind;
  readonly itemId: string;
  readonly itemName: string;
  readonly baseUnit: 'g' | 'ml' | 'each';
  readonly madeAt: Date;
  readonly useBy: Date;
  readonly sourceKind: string;
  readonly supplierLot: string | null;
  readonly supplierName: string | null;
  readonly heldReason: string | null;
  readonly left: number;
  readonly came: number;
  readonly used: number;
  readonly sold: number;
  readonly wasted: number;
  /** Left for other sites. */
  readonly sent: number;
  /** Above zero: a count found less than the record; it may have been served. */
  readonly unexplained: number;
}

/** Portions of a dish at a service that a lot went into. */
export interface ReachedService {
  readonly lotId: string;
  readonly saleId: string;
  readonly siteId: string;
  readonly siteName: string;
  readonly serviceId: string;
  readonly serviceName: string;
  readonly serviceDate: string;
  readonly dishId: string;
  readonly dishName: string;
  /** Sold at the service in all; this lot was in some of them. */
  readonly portions: number;
  readonly quantity: number;
}

export interface TracingRepository {
  /** Lots by the code on a label: the supplier's, ours, or an id; newest first. */
  findByCode(
    code: string,
    siteIds: 'all' | readonly string[],
    limit: number,
  ): Promise<readonly TracedLot[]>;
  lots(ids: readonly string[]): Promise<readonly TracedLot[]>;
  /** Lots of which something left for another site and has not come yet. */
  onTheWay(): Promise<ReadonlySet<string>>;
  /** What went into other lots from these. */
  linksFrom(lotIds: readonly string[]): Promise<readonly LotLink[]>;
  /** What these lots were made from. */
  linksTo(lotIds: readonly string[]): Promise<readonly LotLink[]>;
  servicesOf(lotIds: readonly string[]): Promise<readonly ReachedService[]>;
  /** Dishes whose recipes name one of these items. */
  dishesWith(
    itemIds: readonly string[],
  ): Promise<readonly { readonly id: string; readonly name: string }[]>;
}

export interface TracingWork {
  readonly tracing: TracingRepository;
  readonly stock: StockRepository;
  readonly audit: AuditTrail;
}
