import type { GroupProfile } from './group-profile.ts';

/** Day of the week as ISO 8601 numbers it: 1 Monday … 7 Sunday. */
export type IsoWeekday = 1 | 2 | 3 | 4 | 5 | 6 | 7;

/** Covers on the books at one moment, `daysBefore` whole days before the service date. */
export interface BookingSnapshot {
  readonly daysBefore: number;
  /** Covers booked and not cancelled at that moment. */
  readonly booked: number;
  /** Covers cancelled so far, when the booking source counts them. */
  readonly cancelledSoFar?: number;
}

/** One service that has been held, or was closed. */
export interface CompletedService {
  readonly serviceDate: string;
  readonly weekday: IsoWeekday;
  /** Covers served. Absent: nobody recorded them (unknown, not zero). */
  readonly actualCovers?: number;
  /** Covers served to guests without a booking, when recorded; at most `actualCovers`. */
  readonly walkInCovers?: number;
  /** Booked covers that neither cancelled nor came, when recorded. */
  readonly noShowCovers?: number;
  /** Covers cancelled from the first booking to the service, when recorded. */
  readonly cancelledCovers?: number;
  /** The service was not held; nothing is learned from the day. */
  readonly closed?: boolean;
  /** The room was let to one party; nothing is learned from the day. */
  readonly privateHire?: boolean;
  readonly snapshots: readonly BookingSnapshot[];
  /** Label of the event on that day (a holiday, a fair): days with one label share an uplift. */
  readonly event?: string;
}

/** A service still to come, with the snapshots that have arrived for it. */
export interface OpenBookings {
  readonly serviceDate: string;
  readonly snapshots: readonly BookingSnapshot[];
}

/** A service to forecast. The caller works the dates out in the site's zone. */
export interface ForecastTarget {
  readonly serviceDate: string;
  readonly weekday: IsoWeekday;
  /** Whole calendar days from the day of `asOf` (in the site's zone) to the service date. */
  readonly horizonDays: number;
}

/**
 * Something known about a date to come. `closed` and `privateHire` decide the forecast; `covers`
 * replaces its mean; `factor` multiplies it (1.3 = 30% more), and where past days carry the same
 * `label` what they showed is mixed in. A label alone uses what was learned from it.
 */
export interface KnownEvent {
  readonly serviceDate: string;
  readonly label?: string;
  readonly factor?: number;
  readonly covers?: number;
  readonly closed?: boolean;
  readonly privateHire?: boolean;
}

/** What the lead says is usual on one weekday, before there is history. */
export interface StatedCovers {
  readonly weekday: IsoWeekday;
  readonly covers: number;
}

/** Everything a forecast of one series (one site and one service) is made from. */
export interface CoversForecastInput {
  /** The instant the forecast is made, RFC 3339. Kept in the answer; no clock is read. */
  readonly asOf: string;
  readonly targets: readonly ForecastTarget[];
  readonly history: readonly CompletedService[];
  readonly openBookings: readonly OpenBookings[];
  readonly statedCovers?: readonly StatedCovers[];
  /** Usual spread of one service around what is usual: standard deviation ÷ mean (default 0.25). */
  readonly usualSpread?: number;
  /** Most covers the service can take (seats × turns). Absent: no limit known. */
  readonly capacityCovers?: number;
  readonly knownEvents?: readonly KnownEvent[];
  /** What sister sites show, for a site or service with little history of its own. */
  readonly groupProfile?: GroupProfile;
  /** Quantile levels wanted (default 0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95). */
  readonly levels?: readonly number[];
}
