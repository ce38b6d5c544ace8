import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';
import { coreError } from '../shared/errors.ts';
import type { CompletedService, ForecastTarget, SeriesState } from '../forecast/index.ts';
import {
  FORECAST_MODEL_VERSION,
  dayNumber,
  forecastFromState,
  learnSeries,
  learnServices,
  serviceDateOf,
} from '../forecast/index.ts';
import type { Backtest, BacktestInput, BacktestPoint } from './backtest-types.ts';
import { bookedOnly, lastSameWeekday, meanOfLastFour } from './baselines.ts';
import { scoreHorizons } from './score-horizons.ts';

/** Levels every backtest asks for: the ends of the central 50, 80 and 90% intervals and the median. */
export const BACKTEST_LEVELS = [0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95] as const;
const DAYS_IN_WEEK = 7;

interface DatedService extends CompletedService {
  readonly day: number;
}

/**
 * Rolls the origin over a series: every `everyDays` morning a forecast is made from nothing but
 * services held before that day, bookings known by then and events known by then, and is set
 * against what came. Closed and private-hire services are not scored.
 *
 * Errors: `invalid-date`, `out-of-range` (origins the wrong way round, no horizon) and those of
 * the forecast, except that services before anything is known are only counted.
 */
export function backtestCovers(input: BacktestInput): Result<Backtest> {
  const first = dayNumber(input.firstOrigin);
  if (!first.ok) return err({ ...first.error, path: ['firstOrigin'] });
  const last = dayNumber(input.lastOrigin);
  if (!last.ok) return err({ ...last.error, path: ['lastOrigin'] });
  const every = input.everyDays ?? 1;
  if (last.value < first.value || !(Number.isInteger(every) && every > 0)) {
    return err(
      coreError('out-of-range', 'The last origin is not before the first, and days are whole.', {
        path: ['lastOrigin'],
        detail: { firstOrigin: input.firstOrigin, lastOrigin: input.lastOrigin, everyDays: every },
      }),
    );
  }
  const dated = dateServices(input.history);
  if (!dated.ok) return dated;
  const services = dated.value;
  const byDay = new Map(services.map((s) => [s.day, s] as const));
  const learned = learnSeries({ ...input, history: services.filter((s) => s.day < first.value) });
  if (!learned.ok) return learned;
  let state: SeriesState = learned.value.state;
  const points: BacktestPoint[] = [];
  let notForecast = 0;
  let next = services.findIndex((s) => s.day >= first.value);
  if (next < 0) next = services.length;
  const known = knownCovers(services.slice(0, next));
  for (let origin = first.value; origin <= last.value; origin += every) {
    const fresh: DatedService[] = [];
    for (; next < services.length; next += 1) {
      const service = services[next];
      if (service === undefined || service.day >= origin) break;
      fresh.push(service);
      remember(known, service);
    }
    if (fresh.length > 0) {
      const moved = learnServices(state, fresh, input.capacityCovers);
      if (!moved.ok) return moved;
      state = moved.value.state;
    }
    const made = forecastOrigin(input, state, origin, byDay, known);
    if (made.ok) points.push(...made.value);
    else if (made.error.kind === 'missing-data') notForecast += 1;
    else return made;
  }
  const scale = weeklyScale(services.filter((s) => s.day < first.value));
  const horizons = scoreHorizons(points, input.horizons, scale);
  return ok({ modelVersion: FORECAST_MODEL_VERSION, horizons, points, notForecast, scale });
}

function dateServices(history: readonly CompletedService[]): Result<DatedService[]> {
  const byDay = new Map<number, DatedService>();
  for (const [i, service] of history.entries()) {
    const day = dayNumber(service.serviceDate);
    if (!day.ok) return err({ ...day.error, path: ['history', i, 'serviceDate'] });
    byDay.set(day.value, { ...service, day: day.value });
  }
  return ok([...byDay.values()].sort((a, b) => a.day - b.day));
}

function isScored(
  service: CompletedService,
): service is CompletedService & { actualCovers: number } {
  return service.actualCovers !== undefined && !service.closed && !service.privateHire;
}

function forecastOrigin(
  input: BacktestInput,
  state: SeriesState,
  origin: number,
  byDay: ReadonlyMap<number, DatedService>,
  known: ReadonlyMap<number, readonly number[]>,
): Result<BacktestPoint[]> {
  const originDate = serviceDateOf(origin);
  const targets: ForecastTarget[] = [];
  const held: (DatedService & { actualCovers: number })[] = [];
  for (const horizonDays of input.horizons) {
    const service = byDay.get(origin + horizonDays);
    if (service === undefined || !isScored(service)) continue;
    targets.push({ serviceDate: service.serviceDate, weekday: service.weekday, horizonDays });
    held.push(service);
  }
  if (targets.length === 0) return ok([]);
  const forecast = forecastFromState(state, {
    asOf: `${originDate}T00:00:00Z`,
    targets,
    openBookings: held.map((service, i) => ({
      serviceDate: service.serviceDate,
      snapshots: service.snapshots.filter((s) => s.daysBefore >= (targets[i]?.horizonDays ?? 0)),
    })),
    knownEvents: (input.events ?? []).filter((e) => (e.knownFrom ?? originDate) <= originDate),
    levels: BACKTEST_LEVELS,
    ...(input.capacityCovers === undefined ? {} : { capacityCovers: input.capacityCovers }),
  });
  if (!forecast.ok) return forecast;
  return ok(
    forecast.value.targets.flatMap((target, i) => {
      const service = held[i];
      if (service === undefined) return [];
      const past = known.get(service.weekday) ?? [];
      const guesses = {
        'same-weekday-last-week': lastSameWeekday(past),
        'mean-of-last-four': meanOfLastFour(past),
        'booked-only': bookedOnly(service.snapshots, target.horizonDays),
      };
      const override = (input.overrides ?? []).find(
        (o) => o.serviceDate === service.serviceDate && o.daysBefore >= target.horizonDays,
      );
      return [
        {
          origin: originDate,
          serviceDate: target.serviceDate,
          horizonDays: target.horizonDays,
          actual: service.actualCovers,
          mean: target.mean,
          quantiles: target.quantiles,
          baselines: Object.fromEntries(
            Object.entries(guesses).filter(([, covers]) => covers !== undefined),
          ),
          ...(override === undefined ? {} : { override: override.covers }),
        },
      ];
    }),
  );
}

function knownCovers(services: readonly DatedService[]): Map<number, number[]> {
  const known = new Map<number, number[]>();
  for (const service of services) remember(known, service);
  return known;
}

function remember(known: Map<number, number[]>, service: DatedService): void {
  if (!isScored(service)) return;
  const list = known.get(service.weekday) ?? [];
  list.push(service.actualCovers);
  known.set(service.weekday, list);
}

/** Mean |step| from one week's service to the next week's on the same weekday. */
function weeklyScale(services: readonly DatedService[]): number | null {
  const covers = new Map<number, number>();
  for (const s of services) if (isScored(s)) covers.set(s.day, s.actualCovers);
  const steps: number[] = [];
  for (const [day, y] of covers) {
    const before = covers.get(day - DAYS_IN_WEEK);
    if (before !== undefined) steps.push(Math.abs(y - before));
  }
  const mean = steps.reduce((a, x) => a + x, 0) / steps.length;
  return mean > 0 ? mean : null;
}
