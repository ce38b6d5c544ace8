import type { CountDistribution } from '../../core/distributions/index.ts';
import type {
  ForecastMember,
  ForecastParts,
  ForecastTerm,
  GroupProfile,
  QuantileCovers,
} from '../../core/forecast/index.ts';
import type { MenusRepository } from '../menus/index.ts';
import type { AuditTrail } from '../platform/index.ts';
import type { SitesRepository } from '../sites/index.ts';
import type { KeptSeries } from './kept-series.ts';
import type { PreOrderRow, SaleRow, SeriesRows } from './series-rows.ts';

/** How the mean of a sitting came about; `booked-only`: nothing else is known of the service. */
export type SittingMethod = string;

/** The figures of one sitting. */
export interface SittingResult {
  readonly method: SittingMethod;
  readonly mean: number;
  readonly distribution: CountDistribution;
  readonly quantiles: readonly QuantileCovers[];
  readonly weights: Readonly<Partial<Record<ForecastMember, number>>>;
  readonly parts: ForecastParts;
  readonly terms: readonly ForecastTerm[];
}

/** The covers expected of one sitting, as worked out at one instant, and from what. */
export interface KeptForecast {
  readonly id: string;
  readonly siteId: string;
  readonly serviceId: string;
  readonly serviceDate: string;
  readonly madeAt: Date;
  readonly horizonDays: number;
  readonly modelVersion: string;
  readonly result: SittingResult;
  /** The newest bookings used. */
  readonly snapshotId: string | null;
  readonly eventIds: readonly string[];
  readonly historyFrom: string;
  readonly learnedTo: string | null;
  readonly servicesLearned: number;
  readonly overrideId: string | null;
  /** The same sitting with the covers that a person set. */
  readonly overrideResult: SittingResult | null;
  readonly warnings: readonly string[];
  /** Two forecasts with the same one say the same. */
  readonly inputsHash: string;
}

/** The portions of one dish that go with a covers forecast. */
export interface KeptPortions {
  readonly id: string;
  readonly forecastId: string;
  readonly dishId: string;
  readonly madeAt: Date;
  readonly menuLineId: string;
  readonly statedShare: number;
  readonly share: number;
  /** Covers' experience behind the share. */
  readonly strength: number;
  readonly dayVariation: number;
  readonly servicesSeen: number;
  readonly mean: number;
  readonly quantiles: readonly { readonly level: number; readonly portions: number }[];
  readonly inputsHash: string;
}

/** Covers that a person puts in place of the forecast. */
export interface CoversOverride {
  readonly id: string;
  readonly siteId: string;
  readonly serviceId: string;
  readonly serviceDate: string;
  readonly covers: number;
  readonly reason: string;
  readonly forecastMean: number | null;
  readonly enteredBy: string;
  readonly enteredAt: Date;
}

export interface KeptGroup {
  readonly name: string;
  readonly modelVersion: string;
  readonly profile: GroupProfile;
  readonly seriesCount: number;
  readonly learnedAt: Date;
}

export interface ForecastsRepository {
  /** Bookings, outcomes, events and stated covers of services; outcomes from `from` on. */
  rowsOf(serviceIds: readonly string[], from: string, to: string): Promise<SeriesRows>;
  salesOf(siteId: string, from: string, to: string): Promise<readonly SaleRow[]>;
  /** Parties that ordered beforehand, of service dates from the first to the last. */
  preOrdersOf(siteId: string, from: string, to: string): Promise<readonly PreOrderRow[]>;
  /** Names and kinds of recipes. */
  dishNames(ids: readonly string[]): Promise<ReadonlyMap<string, string>>;

  seriesOf(serviceIds: readonly string[]): Promise<readonly KeptSeries[]>;
  saveSeries(series: KeptSeries): Promise<void>;
  group(name: string): Promise<KeptGroup | null>;
  saveGroup(group: KeptGroup): Promise<void>;

  /** The newest forecast of each sitting between the dates; `before` bounds when it was made. */
  newest(serviceIds: readonly string[], from: string, to: string): Promise<readonly KeptForecast[]>;
  find(id: string): Promise<KeptForecast | null>;
  insert(forecasts: readonly KeptForecast[]): Promise<void>;
  /** Forgets all but the last forecast of each sitting before `date`. @returns how many */
  forgetBefore(siteId: string, date: string): Promise<number>;
  portionsOf(forecastIds: readonly string[]): Promise<readonly KeptPortions[]>;
  insertPortions(portions: readonly KeptPortions[]): Promise<void>;

  /** Overrides that stand, by sitting. */
  overridesOf(
    serviceIds: readonly string[],
    from: string,
    to: string,
  ): Promise<readonly CoversOverride[]>;
  findOverride(id: string): Promise<CoversOverride | null>;
  /** One writer of a sitting's override at a time, for this transaction. */
  lockSitting(serviceId: string, serviceDate: string): Promise<void>;
  insertOverride(override: CoversOverride): Promise<void>;
  removeOverride(id: string, at: Date, by: string): Promise<boolean>;
}

/** The repositories forecasts are worked out with, inside one transaction. */
export interface ForecastsWork {
  readonly forecasts: ForecastsRepository;
  readonly sites: SitesRepository;
  readonly menus: Pick<MenusRepository, 'activeLines'>;
  readonly audit: AuditTrail;
}
