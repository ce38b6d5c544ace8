/** Names the model in stored results. Changes whenever the same input would give other figures. */
export const FORECAST_MODEL_VERSION = 'covers-2';

/** Where the usual level of a series comes from. */
export type LevelSource = 'unknown' | 'stated' | 'group' | 'history';

/** Learned effect of an event label on the log level, with its variance. */
export interface LearnedEvent {
  readonly effect: number;
  readonly variance: number;
}

/**
 * All that is learned about one series (one site and one service). Plain data: it can be stored as
 * JSON and read back without losing a digit. `learnServices` moves it on by completed services
 * without looking at the ones before; `forecastFromState` answers from it. The lists are laid out
 * by the models (see `learning.ts`); treat them as sealed.
 */
export interface SeriesState {
  readonly modelVersion: string;
  /** Services learned from. */
  readonly servicesLearned: number;
  /** First and last day number learned; null before the first. */
  readonly firstDay: number | null;
  readonly lastDay: number | null;
  readonly levelSource: LevelSource;
  /** The yearly season comes from the group. */
  readonly seasonBorrowed: boolean;
  readonly level: {
    /** Day number the coefficients stand for. */
    readonly day: number;
    /** level, trend per day, seven weekday effects (Monday first), four yearly waves. */
    readonly theta: readonly number[];
    /** Covariance of theta, row by row. */
    readonly covariance: readonly number[];
    /** 1/size of the spread around the level, and the weight behind it in services. */
    readonly inverseSize: readonly [number, number];
    /** How far surprises above and below have added up, standard deviations. */
    readonly surprises: readonly [number, number];
  };
  /** The level as it was after past services, oldest first, to score forecasts made days ahead. */
  readonly past: {
    readonly days: readonly number[];
    readonly thetas: readonly number[];
    readonly variances: readonly number[];
  };
  readonly events: Readonly<Record<string, LearnedEvent>>;
  readonly pickup: { readonly sums: readonly number[]; readonly slopes: readonly number[] };
  readonly kept: {
    readonly cancelled: readonly number[];
    readonly noShow: readonly number[];
    readonly walkIns: readonly number[];
  };
  readonly combination: {
    readonly errors: readonly number[];
    readonly spread: readonly number[];
    readonly counts: readonly number[];
  };
}
