import type { GroupProfile } from './group-profile.ts';
import type { Learning } from './learning.ts';
import { emptyLearning } from './learning.ts';
import { LEVEL, TREND, UNKNOWN_WAVE_VARIANCE, WEEKDAY, WIDTH } from './level-model.ts';
import { rememberLevel } from './past-levels.ts';
import { seasonWaves } from './season-waves.ts';
import { seedPickup } from './pickup-model.ts';

/** What a series starts from. */
export interface SeriesStart {
  /** Usual covers by weekday (index 0 Monday), as the lead states them. */
  readonly stated: readonly (number | undefined)[];
  /** Standard deviation ÷ mean of one service. */
  readonly usualSpread: number;
  readonly groupProfile?: GroupProfile;
}

/** Services the stated or borrowed spread is worth. */
const PRIOR_SPREAD_SERVICES = 8;
/** Variances (log scale) of what is not known: level, weekday effect, yearly wave, trend a day. */
const UNKNOWN = { level: 0.25, weekday: 0.09, wave: UNKNOWN_WAVE_VARIANCE, trend: 1e-6 };
/** Variances of what the lead states: the lead is seldom 20% off, less so between weekdays. */
const STATED = { level: 0.04, weekday: 0.02 };

/**
 * The state of a series before its first service, at the day before `day`. Stated covers win over
 * the group's profile for level and weekdays; the group gives the rest; then nothing is assumed.
 */
export function startSeries(start: SeriesStart, day: number): Learning {
  const group = start.groupProfile;
  const spread = group?.inverseSize ?? start.usualSpread ** 2;
  const mean = Array.from({ length: WIDTH }, (_, i) => group?.thetaMean[i] ?? 0);
  const variance = Array.from({ length: WIDTH }, (_, i) => {
    const between = group?.thetaVariance[i];
    if (between !== undefined) return between;
    if (i === LEVEL) return UNKNOWN.level;
    if (i === TREND) return UNKNOWN.trend;
    return i < WEEKDAY + 7 ? UNKNOWN.weekday : UNKNOWN.wave;
  });
  const logs = start.stated.map((c) => (c !== undefined && c > 0 ? Math.log(c) : undefined));
  const known = logs.filter((l) => l !== undefined);
  if (known.length > 0) {
    const level = known.reduce((a, l) => a + l, 0) / known.length;
    mean[LEVEL] = level;
    variance[LEVEL] = STATED.level;
    logs.forEach((l, w) => {
      if (l === undefined) return;
      mean[WEEKDAY + w] = l - level;
      variance[WEEKDAY + w] = STATED.weekday;
    });
  }
  const learning = emptyLearning();
  learning.levelSource = known.length > 0 ? 'stated' : group !== undefined ? 'group' : 'unknown';
  learning.seasonBorrowed = group?.seasonKnown ?? false;
  const { level, past, pickup } = learning;
  level.day = day - 1;
  level.theta.set(mean);
  for (let i = 0; i < WIDTH; i += 1) level.covariance[i * WIDTH + i] = variance[i] ?? 0;
  level.inverseSize = spread;
  level.inverseSizeWeight = PRIOR_SPREAD_SERVICES;
  if (group !== undefined) seedPickup(pickup, group.curve, Math.exp(mean[LEVEL] ?? 0));
  if (learning.levelSource !== 'unknown') rememberLevel(past, level, seasonWaves(level.day));
  return learning;
}
