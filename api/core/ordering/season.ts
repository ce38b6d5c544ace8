import { addDays, monthOf } from '../calendar/index.ts';
import type { ServiceDate } from '../calendar/index.ts';
import { coreError } from '../shared/errors.ts';
import { err, ok, type Result } from '../shared/result.ts';

/** When an ingredient can be had. Unsaid means: at any time. */
export interface Availability {
  readonly ingredientId: string;
  /** Months in which it is in season, 1 January … 12 December. */
  readonly months?: readonly number[];
  /** Not to be bought from this date on. */
  readonly withdrawnFrom?: ServiceDate;
  /** Stretches in which suppliers have none; without an end: until further notice. */
  readonly outOfStock?: readonly {
    readonly fromDate: ServiceDate;
    readonly toDate?: ServiceDate;
  }[];
  /** Whole days the goods keep: what is bought on one day serves that many after it; 0 when unsaid. */
  readonly keepsDays?: number;
}

export type AvailabilityState = 'available' | 'out-of-season' | 'withdrawn' | 'out-of-stock';

/**
 * Whether an ingredient can be had on a date; of several reasons the most final is told.
 * Error `out-of-range` for a month that is none.
 */
export function availabilityOn(
  availability: Availability,
  date: ServiceDate,
): Result<AvailabilityState> {
  const { months, withdrawnFrom, outOfStock = [] } = availability;
  if (months?.some((month) => !Number.isInteger(month) || month < 1 || month > 12)) {
    return err(
      coreError('out-of-range', 'Months are numbers from 1 to 12.', {
        path: ['months'],
        detail: { months, ingredientId: availability.ingredientId },
      }),
    );
  }
  if (withdrawnFrom !== undefined && date >= withdrawnFrom) return ok('withdrawn');
  const missing = outOfStock.some((s) => s.fromDate <= date && date <= (s.toDate ?? '9999-12-31'));
  if (missing) return ok('out-of-stock');
  return ok(months && !months.includes(monthOf(date)) ? 'out-of-season' : 'available');
}

/** Days from the first to the last, both included, on which something can be had. */
export interface Stretch {
  readonly fromDate: ServiceDate;
  readonly toDate: ServiceDate;
}

/**
 * The unbroken stretches of days, from the first to the last date given, on which it can be bought.
 *
 * Errors: as availabilityOn.
 */
export function availableStretches(
  availability: Availability,
  from: ServiceDate,
  to: ServiceDate,
): Result<Stretch[]> {
  const stretches: Stretch[] = [];
  for (let date = from; date <= to; date = addDays(date, 1)) {
    const state = availabilityOn(availability, date);
    if (!state.ok) return state;
    if (state.value !== 'available') continue;
    const last = stretches.at(-1);
    if (last && addDays(last.toDate, 1) === date) {
      stretches[stretches.length - 1] = { ...last, toDate: date };
    } else stretches.push({ fromDate: date, toDate: date });
  }
  return ok(stretches);
}

/**
 * Whether goods for a date can be had: bought on it, or on a day not before `today` from which they
 * keep that long. Otherwise what stands in the way on the date itself.
 *
 * Errors: as availabilityOn.
 */
export function availabilityFor(
  availability: Availability,
  date: ServiceDate,
  today: ServiceDate,
): Result<AvailabilityState> {
  const state = availabilityOn(availability, date);
  if (!state.ok || state.value === 'available') return state;
  const keptFrom = addDays(date, -(availability.keepsDays ?? 0));
  const earlier = availableStretches(availability, keptFrom < today ? today : keptFrom, date);
  if (!earlier.ok) return earlier;
  return earlier.value.length > 0 ? ok('available') : state;
}
