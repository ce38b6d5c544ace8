import type { Backtest } from '../../core/backtest/index.ts';
import type { ForecastsRepository } from '../forecasts/index.ts';
import type { SitesRepository } from '../sites/index.ts';

/** Which mornings and how many days ahead a test looks at. */
export interface BacktestSettings {
  readonly horizons: readonly number[];
  /** First and last morning on which a forecast is made. */
  readonly from: string;
  readonly to: string;
  readonly everyDays: number;
}

/** A test as kept. */
export interface KeptBacktest {
  readonly id: string;
  readonly siteId: string;
  readonly serviceId: string;
  readonly ranAt: Date;
  readonly ranBy: string;
  readonly modelVersion: string;
  readonly settings: BacktestSettings;
  readonly result: Omit<Backtest, 'modelVersion'>;
}

export interface BacktestsRepository {
  insert(backtest: KeptBacktest): Promise<void>;
  find(id: string): Promise<KeptBacktest | null>;
  /** Newest first, at most `most`, without their results. */
  ofSite(
    siteId: string,
    serviceId: string | null,
    most: number,
  ): Promise<readonly Omit<KeptBacktest, 'result'>[]>;
  /** Forgets all but the newest of a service. */
  keepNewest(serviceId: string, count: number): Promise<void>;
}

export interface BacktestsWork {
  readonly backtests: BacktestsRepository;
  readonly forecasts: Pick<ForecastsRepository, 'rowsOf' | 'overridesOf'>;
  readonly sites: SitesRepository;
}
