import type {
  CompletedService,
  GroupProfile,
  KnownEvent,
  QuantileCovers,
  StatedCovers,
} from '../forecast/index.ts';
import type { BaselineName } from './baselines.ts';

/** An event with the day from which it was known; absent: known all along, as a public holiday is. */
export interface DatedEvent extends KnownEvent {
  readonly knownFrom?: string;
}

/** Covers a person set over the forecast, and how many days before service. */
export interface ScoredOverride {
  readonly serviceDate: string;
  readonly covers: number;
  readonly daysBefore: number;
}

/** One series over time, and how to roll the origin over it. */
export interface BacktestInput {
  readonly history: readonly CompletedService[];
  readonly statedCovers?: readonly StatedCovers[];
  readonly usualSpread?: number;
  readonly capacityCovers?: number;
  /** Must itself have been learned before `firstOrigin`. */
  readonly groupProfile?: GroupProfile;
  readonly events?: readonly DatedEvent[];
  readonly overrides?: readonly ScoredOverride[];
  /** Days ahead that are scored. */
  readonly horizons: readonly number[];
  /** First and last morning on which a forecast is made. */
  readonly firstOrigin: string;
  readonly lastOrigin: string;
  /** Days between origins (default 1). */
  readonly everyDays?: number;
}

/** One forecast set against what came. */
export interface BacktestPoint {
  readonly origin: string;
  readonly serviceDate: string;
  readonly horizonDays: number;
  readonly actual: number;
  readonly mean: number;
  readonly quantiles: readonly QuantileCovers[];
  readonly baselines: Readonly<Partial<Record<BaselineName, number>>>;
  readonly override?: number;
}

export interface PointScore {
  readonly wape: number | null;
  readonly mase: number | null;
  /** Mean of forecast − actual, covers. */
  readonly bias: number | null;
}

export interface HorizonScore extends PointScore {
  readonly horizonDays: number;
  /** Services scored. */
  readonly services: number;
  readonly pinball: readonly { readonly level: number; readonly loss: number | null }[];
  /** Part of the actuals inside the central 50, 80 and 90% intervals. */
  readonly coverage: {
    readonly fifty: number | null;
    readonly eighty: number | null;
    readonly ninety: number | null;
  };
  /** Each baseline and the forecast over the services for which every baseline had an answer. */
  readonly compared: {
    readonly services: number;
    readonly forecast: PointScore;
    readonly baselines: Readonly<Record<BaselineName, PointScore>>;
    /** 1 − WAPE ÷ the best baseline's WAPE; above 0 the forecast was better. */
    readonly gainOverBest: number | null;
  };
  /** The site's own overrides and the forecast over the services that were overridden. */
  readonly overridden: {
    readonly services: number;
    readonly forecast: PointScore;
    readonly override: PointScore;
  };
}

export interface Backtest {
  readonly modelVersion: string;
  readonly horizons: readonly HorizonScore[];
  readonly points: readonly BacktestPoint[];
  /** Services that could not be forecast because nothing was known yet. */
  readonly notForecast: number;
  /** Mean step from week to week before the first origin: the scale of the MASE, covers. */
  readonly scale: number | null;
}
