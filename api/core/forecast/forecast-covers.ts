import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';
import { coreError } from '../shared/errors.ts';
import type { CompletedService, CoversForecastInput } from './forecast-input.ts';
import type { CoversForecast, ForecastWarning } from './forecast-output.ts';
import { asOfDayOf, forecastFromLearning } from './forecast-from-state.ts';
import type { LearnableService } from './learnable-service.ts';
import { learnService } from './learn-service.ts';
import type { Learning } from './learning.ts';
import { openState, sealState } from './learning.ts';
import { readHistory } from './read-history.ts';
import { serviceDateOf } from './service-day.ts';
import type { SeriesState } from './series-state.ts';
import { startSeries } from './start-series.ts';

/** Standard deviation ÷ mean of one service until its history shows it (common practice, no source). */
export const DEFAULT_SPREAD = 0.25;
/** Surprise, in standard deviations, from which a day is reported as far from usual. */
const FAR = 6;

/** What a series is learned from. */
export type LearnInput = Pick<
  CoversForecastInput,
  'history' | 'statedCovers' | 'usualSpread' | 'groupProfile' | 'capacityCovers'
>;

/**
 * Forecasts the covers of one series (one site and one service) as distributions.
 *
 * The mean weighs four forecasts by their past errors at the same horizon: the usual level, the
 * additive and the multiplicative booking-curve pickup, and the curve regression; see
 * `level-model.ts`, `pickup-model.ts`, `members.ts` and `combination.ts` for formulas and sources.
 * Around it lies an over-dispersed count (negative binomial) whose certain part is the bookings
 * less high cancellations, and whose width is what past forecasts at that horizon showed.
 *
 * Days are calendar days of the site: neither daylight saving nor 29 February needs care here.
 * Nothing after `asOf` is used (see the warnings). Errors as `learnSeries` and `forecastFromState`.
 */
export function forecastCovers(input: CoversForecastInput): Result<CoversForecast> {
  const asOfDay = asOfDayOf(input);
  if (!asOfDay.ok) return asOfDay;
  const learned = learnHistory(input, asOfDay.value ?? Infinity);
  if (!learned.ok) return learned;
  const { learning } = learned.value;
  const forecast = forecastFromLearning(learning, input);
  if (!forecast.ok) return forecast;
  const warnings = [...learned.value.warnings, ...forecast.value.warnings];
  return ok({ ...forecast.value, warnings, state: sealState(learning) });
}

/**
 * Learns a series from its history up to and including day number `lastDay`.
 * Errors: `invalid-date`, `out-of-range` with the path of the record.
 */
export function learnSeries(
  input: LearnInput,
  lastDay = Infinity,
): Result<{ readonly state: SeriesState; readonly warnings: readonly ForecastWarning[] }> {
  const learned = learnHistory(input, lastDay);
  if (!learned.ok) return learned;
  return ok({ state: sealState(learned.value.learning), warnings: learned.value.warnings });
}

function learnHistory(
  input: LearnInput,
  lastDay: number,
): Result<{ learning: Learning; warnings: ForecastWarning[] }> {
  const spread = input.usualSpread ?? DEFAULT_SPREAD;
  if (!(spread > 0 && spread <= 2)) {
    return err(
      coreError('out-of-range', 'The usual spread lies above 0 and is at most 2.', {
        path: ['usualSpread'],
        detail: { usualSpread: spread },
      }),
    );
  }
  const stated = new Array<number | undefined>(7).fill(undefined);
  for (const [i, entry] of (input.statedCovers ?? []).entries()) {
    if (!(entry.covers >= 0 && Number.isFinite(entry.covers))) {
      return err(
        coreError('out-of-range', 'Stated covers are a number of at least 0.', {
          path: ['statedCovers', i, 'covers'],
          detail: { covers: entry.covers },
        }),
      );
    }
    stated[entry.weekday - 1] = entry.covers;
  }
  const read = readHistory(input.history, lastDay, input.capacityCovers ?? Infinity);
  if (!read.ok) return read;
  const firstDay = read.value.services[0]?.day ?? (Number.isFinite(lastDay) ? lastDay : 0);
  const learning = startSeries(
    {
      stated,
      usualSpread: spread,
      ...(input.groupProfile === undefined ? {} : { groupProfile: input.groupProfile }),
    },
    firstDay,
  );
  const warnings = [...read.value.warnings, ...learnAll(learning, read.value.services)];
  return ok({ learning, warnings });
}

/**
 * Moves a stored state on by services held since, in any order among themselves. Services on or
 * before the last one learned are refused (`out-of-range`): learning them would need the services
 * after them to be learned again. The state given is not changed.
 */
export function learnServices(
  state: SeriesState,
  history: readonly CompletedService[],
  capacityCovers = Infinity,
): Result<{ readonly state: SeriesState; readonly warnings: readonly ForecastWarning[] }> {
  const read = readHistory(history, Infinity, capacityCovers);
  if (!read.ok) return read;
  const first = read.value.services[0];
  if (first !== undefined && state.lastDay !== null && first.day <= state.lastDay) {
    return err(
      coreError(
        'out-of-range',
        'A service before the last one learned needs the series relearned.',
        {
          detail: {
            serviceDate: serviceDateOf(first.day),
            learnedTo: serviceDateOf(state.lastDay),
          },
        },
      ),
    );
  }
  const learning = openState(state);
  const warnings = [...read.value.warnings, ...learnAll(learning, read.value.services)];
  return ok({ state: sealState(learning), warnings });
}

function learnAll(learning: Learning, services: readonly LearnableService[]): ForecastWarning[] {
  const warnings: ForecastWarning[] = [];
  for (const service of services) {
    const surprise = learnService(learning, service);
    if (Math.abs(surprise) < FAR) continue;
    const serviceDate = serviceDateOf(service.day);
    warnings.push({
      kind: 'far-from-usual',
      message: `${serviceDate} had ${service.finalCovers} covers, far from usual; it was given little weight.`,
      serviceDate,
    });
  }
  return warnings;
}
