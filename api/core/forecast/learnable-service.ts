import type { BookingSnapshot } from './forecast-input.ts';

/** A completed service ready for learning: checked, with day number and bookings on the grid. */
export interface LearnableService {
  readonly day: number;
  /** 0 Monday … 6 Sunday. */
  readonly weekday: number;
  readonly finalCovers: number;
  readonly walkInCovers: number | undefined;
  readonly noShowCovers: number | undefined;
  readonly cancelledCovers: number | undefined;
  readonly snapshots: readonly BookingSnapshot[];
  /** Covers booked at each grid day, −1 where unknown; GRID_SIZE of them from `bookedFrom` on. */
  readonly booked: Float64Array;
  readonly bookedFrom: number;
  readonly event: string | undefined;
}
