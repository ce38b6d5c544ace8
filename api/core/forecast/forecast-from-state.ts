import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';
import { coreError } from '../shared/errors.ts';
import type { CoversForecastInput, KnownEvent, OpenBookings } from './forecast-input.ts';
import type { CoversForecast, ForecastWarning, TargetForecast } from './forecast-output.ts';
import { MAX_HORIZON_DAYS } from './booking-grid.ts';
import { forecastTarget } from './forecast-target.ts';
import { openState } from './learning.ts';
import type { Learning } from './learning.ts';
import { aboveCapacity, holdsMoreThan, readSnapshots, wrongWeekday } from './read-history.ts';
import { dayNumber, serviceDateOf, weekdayOf } from './service-day.ts';
import type { SeriesState } from './series-state.ts';
import { FORECAST_MODEL_VERSION } from './series-state.ts';

/** A forecast from what was learned before: the input without history and starting values. */
export type ForecastRequest = Omit<
  CoversForecastInput,
  'history' | 'statedCovers' | 'usualSpread' | 'groupProfile'
>;

export const DEFAULT_LEVELS = [0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95] as const;
/** Days without a recorded service after which the answer says so. */
const GAP_DAYS = 42;

/**
 * Forecasts targets from a stored state: what a newly arrived snapshot needs, nothing is refitted.
 *
 * Errors: `out-of-range` (a target before `asOf` or past MAX_HORIZON_DAYS, a state that has seen
 * services after `asOf`, broken counts, levels or events), `invalid-date`, `missing-data` (no
 * history, no stated covers and no group to start from; a private hire without its guests).
 */
export function forecastFromState(
  state: SeriesState,
  request: ForecastRequest,
): Result<CoversForecast> {
  if (state.modelVersion !== FORECAST_MODEL_VERSION) {
    return err(
      coreError(
        'missing-data',
        'The series was learned by another model version; learn it again.',
        {
          path: ['state', 'modelVersion'],
          detail: { stored: state.modelVersion, current: FORECAST_MODEL_VERSION },
        },
      ),
    );
  }
  const made = forecastFromLearning(openState(state), request);
  return made.ok ? ok({ ...made.value, state }) : made;
}

/** The same from the working form; the answer carries no state. */
export function forecastFromLearning(
  learning: Learning,
  request: ForecastRequest,
): Result<Omit<CoversForecast, 'state'>> {
  const warnings: ForecastWarning[] = [];
  const checked = checkRequest(learning.lastDay, request, warnings);
  if (!checked.ok) return checked;
  const { bookings, events } = checked.value;
  const capacity = request.capacityCovers ?? Infinity;
  const levels = request.levels ?? DEFAULT_LEVELS;
  const targets: TargetForecast[] = [];
  for (let i = 0; i < request.targets.length; i += 1) {
    const target = request.targets[i];
    if (target === undefined) continue;
    const open = bookings.get(target.serviceDate) ?? [];
    const snapshots = readSnapshots(open, target.horizonDays, target.serviceDate, warnings);
    if (!snapshots.ok) {
      const at = request.openBookings.findLastIndex((o) => o.serviceDate === target.serviceDate);
      return err({
        ...snapshots.error,
        path: ['openBookings', at, ...(snapshots.error.path ?? [])],
      });
    }
    if (holdsMoreThan(snapshots.value, capacity)) {
      warnings.push(aboveCapacity(target.serviceDate, capacity));
    }
    const event = events.get(target.serviceDate);
    const forecast = forecastTarget(learning, {
      target,
      snapshots: snapshots.value,
      capacity,
      levels,
      warnings,
      ...(event === undefined ? {} : { event }),
    });
    if (!forecast.ok) return err({ ...forecast.error, path: ['targets', i] });
    targets.push(forecast.value);
  }
  return ok({
    asOf: request.asOf,
    modelVersion: FORECAST_MODEL_VERSION,
    targets,
    warnings,
  });
}

interface CheckedRequest {
  readonly bookings: ReadonlyMap<string, OpenBookings['snapshots']>;
  readonly events: ReadonlyMap<string, KnownEvent>;
}

function checkRequest(
  lastDay: number | null,
  request: ForecastRequest,
  warnings: ForecastWarning[],
): Result<CheckedRequest> {
  const refuse = (message: string, path: (string | number)[], value: unknown) =>
    err(coreError('out-of-range', message, { path, detail: { value } }));
  const asOfDay = asOfDayOf(request);
  if (!asOfDay.ok) return asOfDay;
  if (lastDay !== null && asOfDay.value !== null) {
    if (lastDay > asOfDay.value) {
      return refuse('The series has learned from services after this moment.', ['asOf'], {
        asOf: request.asOf,
        learnedTo: serviceDateOf(lastDay),
      });
    }
    if (asOfDay.value - lastDay > GAP_DAYS) {
      const last = serviceDateOf(lastDay);
      warnings.push({
        kind: 'gap-in-history',
        message: `No covers recorded since ${last}; the usual level is less sure.`,
        serviceDate: last,
      });
    }
  }
  const capacity = request.capacityCovers;
  if (capacity !== undefined && !(Number.isInteger(capacity) && capacity > 0)) {
    return refuse('The room takes a whole number of covers above 0.', ['capacityCovers'], capacity);
  }
  const badLevel = (request.levels ?? []).findIndex((l) => !(l > 0 && l < 1));
  if (badLevel >= 0) {
    const level = request.levels?.[badLevel];
    return refuse('A quantile level lies between 0 and 1.', ['levels', badLevel], level);
  }
  const events = new Map<string, KnownEvent>();
  const known = request.knownEvents ?? [];
  for (let i = 0; i < known.length; i += 1) {
    const event = known[i] as KnownEvent;
    const { factor, covers } = event;
    if (factor !== undefined && !(factor > 0 && Number.isFinite(factor))) {
      return refuse("An event's factor is above 0.", ['knownEvents', i, 'factor'], factor);
    }
    if (covers !== undefined && !(Number.isInteger(covers) && covers >= 0)) {
      return refuse("An event's covers are a whole number.", ['knownEvents', i, 'covers'], covers);
    }
    events.set(event.serviceDate, event);
  }
  const bookings = new Map(request.openBookings.map((o) => [o.serviceDate, o.snapshots] as const));
  return ok({ bookings, events });
}

/** The day of `asOf` as the targets have it (null without targets); every target must agree. */
export function asOfDayOf(request: Pick<ForecastRequest, 'targets'>): Result<number | null> {
  let asOfDay: number | null = null;
  for (let i = 0; i < request.targets.length; i += 1) {
    const target = request.targets[i];
    if (target === undefined) continue;
    const day = dayNumber(target.serviceDate);
    if (!day.ok) return err({ ...day.error, path: ['targets', i, 'serviceDate'] });
    if (weekdayOf(day.value) !== target.weekday) return err(wrongWeekday(['targets', i], target));
    const { horizonDays } = target;
    if (!Number.isInteger(horizonDays) || horizonDays < 0 || horizonDays > MAX_HORIZON_DAYS) {
      return err(
        coreError('out-of-range', `A forecast reaches 0 to ${MAX_HORIZON_DAYS} days ahead.`, {
          path: ['targets', i, 'horizonDays'],
          detail: { horizonDays, most: MAX_HORIZON_DAYS },
        }),
      );
    }
    asOfDay ??= day.value - horizonDays;
    if (asOfDay !== day.value - horizonDays) {
      return err(
        coreError('invalid-date', 'The targets do not count their days from the same day.', {
          path: ['targets', i, 'horizonDays'],
          detail: { ...target },
        }),
      );
    }
  }
  return ok(asOfDay);
}
