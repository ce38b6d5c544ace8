import type { CombinationState } from './combination.ts';
import type { KeptState } from './kept-model.ts';
import type { LevelState } from './level-model.ts';
import type { PickupState } from './pickup-model.ts';

/** Names the model in stored results. Changes whenever the same input would give other figures. */
export const FORECAST_MODEL_VERSION = 'covers-1';

/**
 * All that is learned about one series (one site and one service). Plain data: it can be stored as
 * JSON and read back. `learnServices` moves it on by completed services without looking at the
 * ones before; `forecastFromState` answers from it. Treat the inside as sealed.
 */
export interface SeriesState {
  readonly modelVersion: string;
  /** Services learned from. */
  readonly servicesLearned: number;
  /** First and last day number learned; null before the first. */
  readonly firstDay: number | null;
  readonly lastDay: number | null;
  readonly level: LevelState;
  /** Where the level comes from; `unknown` while there is no history, stated covers or group. */
  readonly levelSource: 'unknown' | 'stated' | 'group' | 'history';
  /** [Σ of relative excess variance, Σ weight] of 1/size. */
  readonly inverseSize: readonly [number, number];
  /** Level states as they were, oldest first, to score what was forecast days ahead. */
  readonly past: readonly PastLevel[];
  /** Learned effect of each event label on the log level, with its variance. */
  readonly events: Readonly<Record<string, { readonly effect: number; readonly variance: number }>>;
  readonly pickup: PickupState;
  readonly kept: KeptState;
  readonly combination: CombinationState;
}

/** The level model after one service: coefficients and, by weekday, the variance of the log level. */
export interface PastLevel {
  readonly day: number;
  readonly theta: readonly number[];
  readonly variance: readonly number[];
}
