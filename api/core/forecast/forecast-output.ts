import type { CountDistribution } from '../distributions/index.ts';
import type { ForecastMember } from './members.ts';
import type { IsoWeekday } from './forecast-input.ts';
import type { SeriesState } from './series-state.ts';

/** The ways a mean can come about. */
export type ForecastMethod =
  | 'combined'
  | 'level'
  | 'stated-covers'
  | 'group-level'
  | 'stated-event'
  | 'private-hire'
  | 'closed';

/** One addend of the mean: `value` × `factor`. */
export interface ForecastTerm {
  readonly label: string;
  readonly value: number;
  readonly factor: number;
}

/** What went into the mean, for the explanation. Absent: not used or not known. */
export interface ForecastParts {
  /** Covers on the books in the newest usable snapshot. */
  readonly booked?: number;
  /** Whole days before service of that snapshot. */
  readonly bookedDaysBefore?: number;
  /** Part of those bookings expected to sit down: (1 − cancelled) × (1 − no-show). */
  readonly keptFraction?: number;
  readonly cancelledFraction?: number;
  readonly noShowFraction?: number;
  /** Covers still to come: later bookings that are kept, and walk-ins. */
  readonly pickup?: number;
  /** Walk-ins inside the pickup, where they are recorded. */
  readonly walkIns?: number;
  /** Part of the usual level that is usually on the books this many days before. */
  readonly bookedFractionUsual?: number;
  /** Usual covers for that day: level, weekday, season and event. */
  readonly level?: number;
  readonly weekdayFactor?: number;
  readonly seasonFactor?: number;
  readonly trendFactor?: number;
  readonly eventFactor?: number;
  /** Covers that cannot fall away even if cancellations run high: no quantile is under it. */
  readonly firmCovers: number;
  readonly capacityCovers?: number;
  /** Standard deviation of the distribution, covers. */
  readonly spreadCovers: number;
  /** Services learned from. */
  readonly servicesLearned: number;
}

export interface QuantileCovers {
  readonly level: number;
  readonly covers: number;
}

export interface TargetForecast {
  readonly serviceDate: string;
  readonly weekday: IsoWeekday;
  readonly horizonDays: number;
  readonly mean: number;
  readonly distribution: CountDistribution;
  readonly quantiles: readonly QuantileCovers[];
  readonly method: ForecastMethod;
  /** Weight of each member in the mean; they add up to 1 (empty when none was used). */
  readonly weights: Readonly<Partial<Record<ForecastMember, number>>>;
  readonly parts: ForecastParts;
  /** Σ value × factor = mean, within 1e-9. */
  readonly terms: readonly ForecastTerm[];
}

/** Something odd in the data that was dealt with, not refused. */
export interface ForecastWarning {
  readonly kind:
    | 'snapshot-in-future'
    | 'history-in-future'
    | 'duplicate-day'
    | 'above-capacity'
    | 'far-from-usual'
    | 'snapshot-too-old'
    | 'gap-in-history';
  readonly message: string;
  readonly serviceDate?: string;
}

export interface CoversForecast {
  readonly asOf: string;
  readonly modelVersion: string;
  readonly targets: readonly TargetForecast[];
  readonly warnings: readonly ForecastWarning[];
  /** What was learned, ready to be stored and refreshed. */
  readonly state: SeriesState;
}
