import { exponential } from './exponential.ts';
import type { Waves } from './season-waves.ts';

/**
 * The usual level of a series: a dynamic regression on the log scale, learned service by service.
 *
 * log μ(t) = level + weekday effect + yearly waves (two harmonics) + event, where the level drifts
 * with a damped trend. The filter is the extended Kalman form of a dynamic generalised linear model
 * for over-dispersed counts (West, Harrison & Migon 1985, JASA 80; Harvey 1989, Forecasting,
 * Structural Time Series Models and the Kalman Filter; from memory): with relative surprise
 * r = (y − μ)/μ and S = x′Px + 1/μ + 1/size the step is θ += P·x·ψ(r)/S. ψ clips r at three √S
 * (Huber), so that one wild day moves the level no more than a very busy one. With fixed P·x/S it
 * is simple exponential smoothing of the seasonally adjusted series; the damped trend is that of
 * Gardner & McKenzie 1985.
 */
export interface LevelModel {
  /** Day number of the last service learned. */
  day: number;
  /** level, trend per day, seven weekday effects (Monday first), four yearly waves. */
  readonly theta: Float64Array;
  /** Covariance of theta, row by row; only what is on or above the diagonal is kept up. */
  readonly covariance: Float64Array;
  /** P·x as `levelVariance` last left it. */
  readonly product: Float64Array;
  /** 1/size of the negative binomial spread of a service around its usual level, before bounds. */
  inverseSize: number;
  /** Services' weight behind it. */
  inverseSizeWeight: number;
  /** How far surprises have lately added up above and below what chance explains. */
  surprisesUp: number;
  surprisesDown: number;
}

// Where each coefficient lies. The names without capitals are for this file: an exported name is
// looked up and checked anew at every use, these are constants to the compiler.
const levelAt = 0;
const trendAt = 1;
const weekdayAt = 2;
const waveAt = 9;
const width = 13;
export const LEVEL = levelAt;
export const TREND = trendAt;
export const WEEKDAY = weekdayAt;
export const WAVE = waveAt;
export const WIDTH = width;

/** Part of the trend that is left after a day. */
const TREND_KEEP = 0.98;
/** Variance that a day adds to each coefficient. */
const DRIFT = Float64Array.of(
  1.2e-4,
  1e-8,
  ...[4e-6, 4e-6, 4e-6, 4e-6, 4e-6, 4e-6, 4e-6],
  ...[1e-6, 1e-6, 1e-6, 1e-6],
);
/** Variance beyond which not knowing more makes no difference. */
const MOST = Float64Array.of(
  1,
  4e-5,
  ...[0.25, 0.25, 0.25, 0.25, 0.25, 0.25, 0.25],
  ...[0.04, 0.04, 0.04, 0.04],
);
/** Surprise, in its own standard deviations, beyond which a day is held to be not usual. */
const CLIP = 3;
/** Usual covers are taken to be at least this when a surprise is measured against them. */
const LEAST_MEAN = 0.1;
/**
 * A wild day is an odd day, but a row of them is a new usual. Surprises, in standard deviations and
 * clipped, are added up less SURPRISE_ALLOWED a service (the cumulative sum test of Page 1954,
 * Biometrika 41; from memory). When a sum passes SURPRISE_MOST the level is taken to have jumped
 * and LEVEL_JUMP is added to its variance, so that the next days find it anew (intervention as in
 * West & Harrison, Bayesian Forecasting and Dynamic Models; from memory).
 */
const SURPRISE_ALLOWED = 1;
const SURPRISE_MOST = 5;
const LEVEL_JUMP = 0.3;
const KEEP_SPREAD = 0.99;
const INVERSE_SIZE = { least: 1e-4, most: 4 };

/** Days of trend that act over the first days, so that no power is taken day by day. */
const TREND_DAYS = Float64Array.from({ length: 256 }, (_, days) => dampedDays(days));

function dampedDays(days: number): number {
  return (TREND_KEEP * (1 - TREND_KEEP ** days)) / (1 - TREND_KEEP);
}

/** Days of trend that act over `days` days when the trend is damped: φ + φ² + … + φ^days. */
export function trendDays(days: number): number {
  return TREND_DAYS[days] ?? dampedDays(days);
}

/** Variance of each yearly wave's height before any season was seen. */
export const UNKNOWN_WAVE_VARIANCE = 0.01;
/** Variance of the slope of two such waves, a day²: Σ variance·(k·2π/year)² over k = 1, 2. */
const UNKNOWN_SLOPE_VARIANCE = UNKNOWN_WAVE_VARIANCE * 5 * ((2 * Math.PI) / 365.2425) ** 2;

/**
 * Variance that the log level gains over `days` days ahead: its drift, and the turn of a season
 * that is not known.
 */
export function driftVariance(days: number, seasonKnown: boolean): number {
  const drift = days * (DRIFT[levelAt] ?? 0);
  return seasonKnown ? drift : drift + days * days * UNKNOWN_SLOPE_VARIANCE;
}

/** 1/size of the negative binomial spread of one service around its usual level. */
export function boundedInverseSize(level: LevelModel): number {
  return Math.min(INVERSE_SIZE.most, Math.max(INVERSE_SIZE.least, level.inverseSize));
}

/** Lets `days` days pass: the trend acts and fades, and every coefficient becomes less sure. */
export function passDays(level: LevelModel, days: number): void {
  if (days <= 0) return;
  const { theta, covariance: p } = level;
  const act = trendDays(days);
  const keep = days === 1 ? TREND_KEEP : TREND_KEEP ** days;
  theta[levelAt] = (theta[levelAt] ?? 0) + act * (theta[trendAt] ?? 0);
  theta[trendAt] = (theta[trendAt] ?? 0) * keep;
  // F·P·F′ for F = [1 act; 0 keep] on level and trend.
  const p01 = p[1] ?? 0;
  const p11 = p[width + 1] ?? 0;
  p[0] = (p[0] ?? 0) + 2 * act * p01 + act * act * p11;
  p[1] = keep * (p01 + act * p11);
  p[width + 1] = keep * keep * p11;
  for (let j = 2; j < width; j += 1) {
    const trend = p[width + j] ?? 0;
    p[j] = (p[j] ?? 0) + act * trend;
    p[width + j] = keep * trend;
  }
  for (let i = 0; i < width; i += 1) {
    const at = i * width + i;
    const grown = (p[at] ?? 0) + days * (DRIFT[i] ?? 0);
    if (grown <= (MOST[i] ?? 0)) p[at] = grown;
    else shrinkRow(p, i, grown, MOST[i] ?? 0);
  }
  level.day += days;
}

/** Scales row and column `i` so that its variance is `most` and correlations stay. */
function shrinkRow(p: Float64Array, i: number, grown: number, most: number): void {
  const scale = Math.sqrt(most / grown);
  for (let j = 0; j < width; j += 1) {
    if (j === i) continue;
    p[i * width + j] = (p[i * width + j] ?? 0) * scale;
    p[j * width + i] = (p[j * width + i] ?? 0) * scale;
  }
  p[i * width + i] = most;
}

/**
 * log of the usual covers from the coefficients at `offset` of `theta`, `ahead` days on, on a
 * weekday (0 Monday) and a day's waves.
 */
export function logLevel(
  theta: Float64Array,
  offset: number,
  ahead: number,
  weekday: number,
  waves: Waves,
): number {
  return (
    (theta[offset + levelAt] ?? 0) +
    (theta[offset + trendAt] ?? 0) * trendDays(ahead) +
    (theta[offset + weekdayAt + weekday] ?? 0) +
    waveEffect(theta, offset, waves)
  );
}

/** The yearly part of the log level, given a day's waves. */
export function waveEffect(theta: Float64Array, offset: number, w: Waves): number {
  const at = offset + waveAt;
  return (
    (theta[at] ?? 0) * w[0] +
    (theta[at + 1] ?? 0) * w[1] +
    (theta[at + 2] ?? 0) * w[2] +
    (theta[at + 3] ?? 0) * w[3]
  );
}

/** Variance x′Px of the log level on a weekday (0 Monday) and a day's waves; leaves P·x in `product`. */
export function levelVariance(level: LevelModel, weekday: number, w: Waves): number {
  const { covariance: p, product } = level;
  const at = weekdayAt + weekday;
  const row = at * width;
  const [w0, w1, w2, w3] = w;
  for (let i = 0; i < width; i += 1) {
    const first = i * width + waveAt;
    product[i] =
      (p[i] ?? 0) +
      (p[i < at ? i * width + at : row + i] ?? 0) +
      (p[first] ?? 0) * w0 +
      (p[first + 1] ?? 0) * w1 +
      (p[first + 2] ?? 0) * w2 +
      (p[first + 3] ?? 0) * w3;
  }
  return (
    (product[levelAt] ?? 0) +
    (product[at] ?? 0) +
    (product[waveAt] ?? 0) * w[0] +
    (product[waveAt + 1] ?? 0) * w[1] +
    (product[waveAt + 2] ?? 0) * w[2] +
    (product[waveAt + 3] ?? 0) * w[3]
  );
}

/** What one service taught the level. */
export interface LevelLesson {
  /** (covers − usual) ÷ usual, clipped. */
  readonly clipped: number;
  /** Variance of that. */
  readonly total: number;
  /** The surprise unclipped, in standard deviations. */
  readonly deviations: number;
}

/**
 * Learns one service on the day the level stands at.
 * @param effect the event's effect on the log level (0 without one), `eventVariance` its variance
 */
export function learnLevel(
  level: LevelModel,
  weekday: number,
  waves: Waves,
  finalCovers: number,
  effect: number,
  eventVariance: number,
): LevelLesson {
  const { theta, covariance: p, product } = level;
  let fromLevel = levelVariance(level, weekday, waves);
  const mean = Math.max(LEAST_MEAN, exponential(logLevel(theta, 0, 0, weekday, waves) + effect));
  let total = fromLevel + eventVariance + 1 / mean + boundedInverseSize(level);
  const relative = (finalCovers - mean) / mean;
  if (eventVariance === 0 && hasJumped(level, relative / Math.sqrt(total))) {
    p[levelAt] = (p[levelAt] ?? 0) + LEVEL_JUMP;
    total -= fromLevel;
    fromLevel = levelVariance(level, weekday, waves);
    total += fromLevel;
  }
  const deviation = Math.sqrt(total);
  // Far above the usual the step is taken on the log scale, or a jump would be overshot.
  const stretched = relative > 1 ? 1 + Math.log(relative) : relative;
  const clipped = Math.min(CLIP * deviation, Math.max(-CLIP * deviation, stretched));
  const step = clipped / total;
  for (let i = 0; i < width; i += 1) theta[i] = (theta[i] ?? 0) + (product[i] ?? 0) * step;
  takeOuterProduct(p, product, 1 / total);
  if (eventVariance === 0) {
    const excess = clipped * clipped - fromLevel - 1 / mean;
    level.inverseSizeWeight = level.inverseSizeWeight * KEEP_SPREAD + 1;
    level.inverseSize += (excess - level.inverseSize) / level.inverseSizeWeight;
  }
  return { clipped, total, deviations: relative / deviation };
}

/** Adds a surprise to the sums; true, and the sums cleared, when one of them is past chance. */
function hasJumped(level: LevelModel, deviations: number): boolean {
  const z = Math.min(CLIP, Math.max(-CLIP, deviations));
  level.surprisesUp = Math.max(0, level.surprisesUp + z - SURPRISE_ALLOWED);
  level.surprisesDown = Math.max(0, level.surprisesDown - z - SURPRISE_ALLOWED);
  if (Math.max(level.surprisesUp, level.surprisesDown) <= SURPRISE_MOST) return false;
  level.surprisesUp = 0;
  level.surprisesDown = 0;
  return true;
}

/**
 * P −= s·v·v′ on and above the diagonal, in blocks of rows with the columns written out: a loop over
 * them would take four times as long as the arithmetic, and this is done for every service of every
 * series. The last block is done whole, because `levelVariance` reads it row by row.
 */
function takeOuterProduct(p: Float64Array, v: Float64Array, s: number): void {
  const v0 = v[0]!;
  const v1 = v[1]!;
  const v2 = v[2]!;
  const v3 = v[3]!;
  const v4 = v[4]!;
  const v5 = v[5]!;
  const v6 = v[6]!;
  const v7 = v[7]!;
  const v8 = v[8]!;
  const v9 = v[9]!;
  const v10 = v[10]!;
  const v11 = v[11]!;
  const v12 = v[12]!;
  for (let i = 0, row = 0; i < width; i += 1, row += width) {
    const g = (v[i] ?? 0) * s;
    if (i < 5) {
      p[row]! -= g * v0;
      p[row + 1]! -= g * v1;
      p[row + 2]! -= g * v2;
      p[row + 3]! -= g * v3;
      p[row + 4]! -= g * v4;
    }
    if (i < waveAt) {
      p[row + 5]! -= g * v5;
      p[row + 6]! -= g * v6;
      p[row + 7]! -= g * v7;
      p[row + 8]! -= g * v8;
    }
    p[row + 9]! -= g * v9;
    p[row + 10]! -= g * v10;
    p[row + 11]! -= g * v11;
    p[row + 12]! -= g * v12;
  }
}
