import { createHash } from 'node:crypto';
import type { CompletedService, GroupProfile, SeriesState } from '../../core/forecast/index.ts';
import {
  FORECAST_MODEL_VERSION,
  dayNumber,
  learnSeries,
  learnServices,
} from '../../core/forecast/index.ts';
import { orRefuse } from '../platform/index.ts';
import type { CoversSeries } from './covers-series.ts';

/** What is learned of the covers of one service, as kept between forecasts. */
export interface KeptSeries {
  readonly serviceId: string;
  readonly siteId: string;
  readonly modelVersion: string;
  readonly state: SeriesState;
  /** First date whose outcome counts. */
  readonly historyFrom: string;
  /** Last service learned; null before the first. */
  readonly learnedTo: string | null;
  /** Fingerprint of all that was learned, up to `learnedTo`. */
  readonly historyHash: string;
  readonly servicesLearned: number;
  /** What sister services showed when this one was begun. */
  readonly groupProfile: GroupProfile | null;
  readonly learnedAt: Date;
}

/** How a series was brought up to date. */
export type Refit = 'unchanged' | 'moved-on' | 'learned-anew';

export interface BroughtUp {
  readonly kept: KeptSeries;
  readonly refit: Refit;
  readonly warnings: readonly string[];
}

interface Series {
  readonly serviceId: string;
  readonly siteId: string;
  readonly series: CoversSeries;
  readonly historyFrom: string;
  readonly now: Date;
  /** The site's date at `now`. */
  readonly today: string;
}

/**
 * The kept series with everything the rows know by now. What was learned before is not learned
 * again: services since are added. Only when something learned has changed since (a corrected
 * outcome, a private hire told afterwards, other stated covers) is it learned anew.
 */
export function bringUpToDate(kept: KeptSeries | null, input: Series): BroughtUp {
  const { series } = input;
  if (kept === null || kept.modelVersion !== FORECAST_MODEL_VERSION) {
    return learnAnew(input, kept?.groupProfile ?? null);
  }
  if (historyHash(series, kept.learnedTo, kept.groupProfile) !== kept.historyHash) {
    return learnAnew(input, kept.groupProfile);
  }
  return addServices(kept, input);
}

/** Adds the services held since, trusting what was learned before. */
export function addServices(
  kept: KeptSeries,
  { series, now }: Pick<Series, 'series' | 'now'>,
): BroughtUp {
  const fresh = series.history.filter(
    (s) => kept.learnedTo === null || s.serviceDate > kept.learnedTo,
  );
  if (fresh.length === 0) return { kept, refit: 'unchanged', warnings: [] };
  const moved = orRefuse(learnServices(kept.state, fresh, series.capacityCovers));
  const learnedTo = fresh.at(-1)?.serviceDate ?? kept.learnedTo;
  return {
    kept: {
      ...kept,
      state: moved.state,
      learnedTo,
      historyHash: fresh.reduce(addToHash, kept.historyHash),
      servicesLearned: moved.state.servicesLearned,
      learnedAt: now,
    },
    refit: 'moved-on',
    warnings: moved.warnings.map((w) => w.message),
  };
}

/** Learns a series from its whole history. */
export function learnAnew(input: Series, groupProfile: GroupProfile | null): BroughtUp {
  const { series } = input;
  const learned = orRefuse(
    learnSeries(
      {
        history: series.history,
        statedCovers: series.statedCovers,
        capacityCovers: series.capacityCovers,
        ...(groupProfile === null ? {} : { groupProfile }),
      },
      // Without history the series begins on this day.
      orRefuse(dayNumber(input.today)),
    ),
  );
  const learnedTo = series.history.at(-1)?.serviceDate ?? null;
  return {
    kept: {
      serviceId: input.serviceId,
      siteId: input.siteId,
      modelVersion: FORECAST_MODEL_VERSION,
      state: learned.state,
      historyFrom: input.historyFrom,
      learnedTo,
      historyHash: historyHash(series, learnedTo, groupProfile),
      servicesLearned: learned.state.servicesLearned,
      groupProfile,
      learnedAt: input.now,
    },
    refit: 'learned-anew',
    warnings: learned.warnings.map((w) => w.message),
  };
}

/** Chained service by service, so that services since can be added without those before. */
function historyHash(
  series: CoversSeries,
  learnedTo: string | null,
  groupProfile: GroupProfile | null,
): string {
  return series.history
    .filter((s) => learnedTo !== null && s.serviceDate <= learnedTo)
    .reduce(addToHash, fingerprint([series.capacityCovers, series.statedCovers, groupProfile]));
}

function addToHash(hash: string, service: CompletedService): string {
  return fingerprint([hash, service]);
}

/** A short name for what a result was worked out from. */
export function fingerprint(value: unknown): string {
  return createHash('sha256').update(JSON.stringify(value)).digest('base64url').slice(0, 32);
}
