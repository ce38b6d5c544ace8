import { daysBetween, weekdayOf } from '../../core/calendar/index.ts';
import type { CountDistribution } from '../../core/distributions/index.ts';
import type { KnownEvent, TargetForecast } from '../../core/forecast/index.ts';
import { MAX_HORIZON_DAYS, forecastFromState } from '../../core/forecast/index.ts';
import { fromCoreError } from '../platform/index.ts';
import type { MealService } from '../sites/index.ts';
import type { CoversSeries } from './covers-series.ts';
import type { CoversOverride, KeptForecast, SittingResult } from './forecasts.ports.ts';
import { fingerprint, type KeptSeries } from './kept-series.ts';
import type { SeriesRows } from './series-rows.ts';

/** The quantiles every kept forecast has. */
export const KEPT_LEVELS = [0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95] as const;

/** A forecast before it has an id. */
export type MadeForecast = Omit<KeptForecast, 'id'>;

export interface SittingsToForecast {
  readonly service: MealService;
  readonly series: CoversSeries;
  readonly kept: KeptSeries;
  readonly rows: SeriesRows;
  readonly overrides: readonly CoversOverride[];
  readonly now: Date;
  readonly today: string;
  /** From today on. */
  readonly dates: readonly string[];
  readonly warnings: readonly string[];
}

/**
 * Forecasts sittings of one service from what is kept of it: nothing is learned here. Where a
 * person has set the covers, the same is worked out once more with their figure in place of the mean.
 */
export function forecastSittings(input: SittingsToForecast): readonly MadeForecast[] {
  const { service, kept, rows, now, today } = input;
  const dates = input.dates.filter((date) => daysBetween(today, date) <= MAX_HORIZON_DAYS);
  if (dates.length === 0) return [];
  const plain = resultsOf(input, dates, (date) => input.series.eventOn(date));
  const overrides = new Map(input.overrides.map((o) => [o.serviceDate, o]));
  const overridden = dates.filter((date) => overrides.has(date));
  const changed = resultsOf(input, overridden, (date) => ({
    serviceDate: date,
    covers: overrides.get(date)?.covers ?? 0,
  }));
  return dates.flatMap((date): MadeForecast[] => {
    const found = plain.get(date);
    if (!found) return [];
    const snapshot = newestSnapshot(rows, service.id, date, now);
    const eventIds = rows.events
      .filter((event) => event.serviceId === service.id && event.serviceDate === date)
      .map((event) => event.id)
      .sort();
    const override = overrides.get(date);
    const horizonDays = daysBetween(today, date);
    return [
      {
        siteId: service.siteId,
        serviceId: service.id,
        serviceDate: date,
        madeAt: now,
        horizonDays,
        modelVersion: kept.modelVersion,
        result: found.result,
        snapshotId: snapshot?.id ?? null,
        eventIds,
        historyFrom: kept.historyFrom,
        learnedTo: kept.learnedTo,
        servicesLearned: kept.servicesLearned,
        overrideId: override?.id ?? null,
        overrideResult: override ? (changed.get(date)?.result ?? null) : null,
        warnings: [...found.warnings],
        inputsHash: fingerprint([
          kept.modelVersion,
          kept.historyHash,
          horizonDays,
          snapshot?.id,
          eventIds,
          override?.id,
          service.seats,
        ]),
      },
    ];
  });
}

interface Found {
  readonly result: SittingResult;
  readonly warnings: readonly string[];
}

function resultsOf(
  input: SittingsToForecast,
  dates: readonly string[],
  eventOn: (date: string) => KnownEvent | undefined,
): ReadonlyMap<string, Found> {
  const results = new Map<string, Found>();
  if (dates.length === 0) return results;
  const forecast = forecastFromState(input.kept.state, {
    asOf: input.now.toISOString(),
    targets: dates.map((serviceDate) => ({
      serviceDate,
      weekday: weekdayOf(serviceDate),
      horizonDays: daysBetween(input.today, serviceDate),
    })),
    openBookings: dates.map((date) => input.series.bookingsOf(date)),
    knownEvents: dates.flatMap((date) => eventOn(date) ?? []),
    capacityCovers: input.series.capacityCovers,
    levels: KEPT_LEVELS,
  });
  if (!forecast.ok) {
    if (forecast.error.kind !== 'missing-data') throw fromCoreError(forecast.error);
    return bookedOnly(input, dates);
  }
  for (const target of forecast.value.targets) {
    const warnings = forecast.value.warnings
      .filter((w) => w.serviceDate === undefined || w.serviceDate === target.serviceDate)
      .map((w) => w.message);
    results.set(target.serviceDate, { result: resultOf(target), warnings });
  }
  return results;
}

function resultOf(target: TargetForecast): SittingResult {
  const { method, mean, distribution, quantiles, weights, parts, terms } = target;
  return { method, mean, distribution, quantiles, weights, parts, terms };
}

/** Nothing to learn from: what is booked is all that is known. */
function bookedOnly(
  input: SittingsToForecast,
  dates: readonly string[],
): ReadonlyMap<string, Found> {
  return new Map(
    dates.map((date) => {
      const booked = newestSnapshot(input.rows, input.service.id, date, input.now)?.booked ?? 0;
      const distribution: CountDistribution = { kind: 'point', mean: booked };
      const result: SittingResult = {
        method: 'booked-only',
        mean: booked,
        distribution,
        quantiles: KEPT_LEVELS.map((level) => ({ level, covers: booked })),
        weights: {},
        parts: { firmCovers: booked, spreadCovers: 0, servicesLearned: 0, booked },
        terms: [{ label: 'Booked', value: booked, factor: 1 }],
      };
      const warnings = [
        'There is no history and nobody has stated the usual covers, so only what is booked counts.',
      ];
      return [date, { result, warnings }];
    }),
  );
}

/** The last booking figure of a sitting known at `now`. */
export function newestSnapshot(
  rows: Pick<SeriesRows, 'snapshots'>,
  serviceId: string,
  date: string,
  now: Date,
): SeriesRows['snapshots'][number] | undefined {
  let newest: SeriesRows['snapshots'][number] | undefined;
  for (const row of rows.snapshots) {
    if (row.serviceId !== serviceId || row.serviceDate !== date || row.takenAt > now) continue;
    if (newest === undefined || row.takenAt > newest.takenAt) newest = row;
  }
  return newest;
}

/** What is planned with: the person's figure where there is one, else the forecast. */
export function plannedResult(
  forecast: Pick<KeptForecast, 'result' | 'overrideResult'>,
): SittingResult {
  return forecast.overrideResult ?? forecast.result;
}
