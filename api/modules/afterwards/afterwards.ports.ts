import type { AfterFacts, EndedTask, Plain, Reasoned } from '../../core/afterwards/index.ts';
import type { SitesRepository } from '../sites/index.ts';

/** A stretch of days at a site: service dates, and the instants that bound them. */
export interface Stretch {
  readonly siteId: string;
  readonly fromDate: string;
  readonly toDate: string;
  readonly from: Date;
  /** Not included. */
  readonly before: Date;
}

/** What a plan expected, service date by service date. */
export interface PlanView {
  readonly id: string;
  readonly workedOutAt: Date;
  readonly fromDate: string;
  readonly toDate: string;
  readonly short: readonly (Reasoned & { readonly serviceDate: string })[];
  readonly unused: readonly (Plain & { readonly useByMin: number })[];
}

export interface SoldOutDish {
  readonly dishName: string;
  readonly serviceName: string;
  readonly serviceDate: string;
  readonly soldOutAt: Date;
}

export interface AfterwardsRepository {
  stockFacts(
    stretch: Stretch,
  ): Promise<Pick<AfterFacts, 'made' | 'used' | 'sold' | 'sent' | 'came' | 'wasted' | 'drift'>>;
  /** Tasks of these days that a plan still stood by. */
  tasks(stretch: Stretch): Promise<readonly EndedTask[]>;
  /** When each plan that covers some of these days was worked out, oldest first. */
  planTimes(
    stretch: Stretch,
  ): Promise<readonly Pick<PlanView, 'id' | 'workedOutAt' | 'fromDate' | 'toDate'>[]>;
  plans(ids: readonly string[]): Promise<readonly PlanView[]>;
  soldOut(stretch: Stretch): Promise<readonly SoldOutDish[]>;
  components(ids: readonly string[]): Promise<
    readonly {
      readonly id: string;
      readonly name: string;
      readonly baseUnit: 'g' | 'ml' | 'each';
    }[]
  >;
}

/** What the report is put together from. Nothing here is changed. */
export interface AfterwardsRead {
  readonly afterwards: AfterwardsRepository;
  readonly sites: SitesRepository;
}
