import { seasonWaves } from './season-waves.ts';

/**
 * The usual level of a series: a dynamic regression on the log scale, learned service by service.
 *
 * log μ(t) = level + weekday effect + yearly waves (two harmonics) + event, where the level drifts
 * with a damped trend. The filter is the extended Kalman form of a dynamic generalised linear model
 * for over-dispersed counts (West, Harrison & Migon 1985, JASA 80; Harvey 1989, Forecasting,
 * Structural Time Series Models and the Kalman Filter; from memory): with relative surprise
 * r = (y − μ)/μ and S = x′Px + 1/μ + 1/k the step is θ += P·x·ψ(r)/S. ψ clips r at three √S
 * (Huber), so that one wild day moves the level no more than a very busy one. With fixed P·x/S it
 * is simple exponential smoothing of the seasonally adjusted series; the damped trend is that of
 * Gardner & McKenzie 1985.
 */
export interface LevelState {
  /** level, trend per day, seven weekday effects (Monday first), four yearly waves. */
  theta: number[];
  /** Covariance of theta, row by row. */
  covariance: number[];
  /** Day number of the last service learned. */
  day: number;
}

export const LEVEL = 0;
export const TREND = 1;
export const WEEKDAY = 2;
export const WAVE = 9;
export const WIDTH = 13;

/** Part of the trend that is left after a day. */
const TREND_KEEP = 0.98;
/** Variance that a day adds to each coefficient. */
const DRIFT = [1.2e-4, 1e-8, 4e-6, 4e-6, 4e-6, 4e-6, 4e-6, 4e-6, 4e-6, 1e-6, 1e-6, 1e-6, 1e-6];
/** Variance beyond which not knowing more makes no difference. */
const MOST = [1, 4e-5, 0.25, 0.25, 0.25, 0.25, 0.25, 0.25, 0.25, 0.04, 0.04, 0.04, 0.04];
/** Surprise, in its own standard deviations, beyond which a day is held to be not usual. */
export const CLIP = 3;

/** Days of trend that act over `days` days when the trend is damped: φ + φ² + … + φ^days. */
export function trendDays(days: number): number {
  return (TREND_KEEP * (1 - TREND_KEEP ** days)) / (1 - TREND_KEEP);
}

/** Variance that the level gains over `days` days ahead. */
export function driftVariance(days: number): number {
  return days * (DRIFT[LEVEL] ?? 0);
}

/** A starting state: prior means and variances by coefficient. */
export function startLevel(
  mean: readonly number[],
  variance: readonly number[],
  day: number,
): LevelState {
  const covariance = new Array<number>(WIDTH * WIDTH).fill(0);
  for (let i = 0; i < WIDTH; i += 1) covariance[i * WIDTH + i] = variance[i] ?? 0;
  return { theta: [...mean], covariance, day };
}

/** Lets `days` days pass: the trend acts and fades, and every coefficient becomes less sure. */
export function passDays(state: LevelState, days: number): void {
  if (days <= 0) return;
  const { theta, covariance: p } = state;
  const act = trendDays(days);
  const keep = TREND_KEEP ** days;
  theta[LEVEL] = (theta[LEVEL] ?? 0) + act * (theta[TREND] ?? 0);
  theta[TREND] = (theta[TREND] ?? 0) * keep;
  for (let j = 0; j < WIDTH; j += 1) {
    p[j] = (p[j] ?? 0) + act * (p[WIDTH + j] ?? 0);
    p[WIDTH + j] = (p[WIDTH + j] ?? 0) * keep;
  }
  for (let row = 0; row < WIDTH * WIDTH; row += WIDTH) {
    p[row] = (p[row] ?? 0) + act * (p[row + 1] ?? 0);
    p[row + 1] = (p[row + 1] ?? 0) * keep;
  }
  for (let i = 0; i < WIDTH; i += 1) {
    const at = i * WIDTH + i;
    const grown = (p[at] ?? 0) + days * (DRIFT[i] ?? 0);
    const most = MOST[i] ?? 0;
    if (grown <= most) p[at] = grown;
    else shrinkRow(p, i, grown, most);
  }
  state.day += days;
}

/** Scales row and column `i` so that its variance is `most` and correlations stay. */
function shrinkRow(p: number[], i: number, grown: number, most: number): void {
  const scale = Math.sqrt(most / grown);
  for (let j = 0; j < WIDTH; j += 1) {
    if (j === i) continue;
    p[i * WIDTH + j] = (p[i * WIDTH + j] ?? 0) * scale;
    p[j * WIDTH + i] = (p[j * WIDTH + i] ?? 0) * scale;
  }
  p[i * WIDTH + i] = most;
}

/** log of the usual covers from `theta`, `ahead` days on, on a weekday (0 Monday) and day. */
export function logLevel(
  theta: readonly number[],
  ahead: number,
  weekday: number,
  day: number,
): number {
  return (
    (theta[LEVEL] ?? 0) +
    (theta[TREND] ?? 0) * (ahead > 0 ? trendDays(ahead) : 0) +
    (theta[WEEKDAY + weekday] ?? 0) +
    waveEffect(theta, day)
  );
}

/** The yearly part of the log level on a day. */
export function waveEffect(theta: readonly number[], day: number): number {
  const w = seasonWaves(day);
  return (
    (theta[WAVE] ?? 0) * w[0] +
    (theta[WAVE + 1] ?? 0) * w[1] +
    (theta[WAVE + 2] ?? 0) * w[2] +
    (theta[WAVE + 3] ?? 0) * w[3]
  );
}

/**
 * Variance x′Px of the log level on a weekday (0 Monday) and day. `product` (length WIDTH) is filled
 * with P·x, which `learnLevel` needs.
 */
export function levelVariance(
  state: LevelState,
  weekday: number,
  day: number,
  product: number[],
): number {
  const p = state.covariance;
  const w = seasonWaves(day);
  const at = WEEKDAY + weekday;
  let sum = 0;
  for (let i = 0; i < WIDTH; i += 1) {
    const row = i * WIDTH;
    product[i] =
      (p[row] ?? 0) +
      (p[row + at] ?? 0) +
      (p[row + WAVE] ?? 0) * w[0] +
      (p[row + WAVE + 1] ?? 0) * w[1] +
      (p[row + WAVE + 2] ?? 0) * w[2] +
      (p[row + WAVE + 3] ?? 0) * w[3];
  }
  sum += (product[LEVEL] ?? 0) + (product[at] ?? 0);
  for (let i = 0; i < 4; i += 1) sum += (product[WAVE + i] ?? 0) * (w[i] ?? 0);
  return sum;
}

/**
 * Learns one service: `surprise` is ψ(r), `total` is S, both on the relative scale; `product` is
 * P·x as `levelVariance` left it for the same weekday and day.
 */
export function learnLevel(
  state: LevelState,
  surprise: number,
  total: number,
  product: readonly number[],
): void {
  const { theta, covariance: p } = state;
  for (let i = 0; i < WIDTH; i += 1) {
    const gain = (product[i] ?? 0) / total;
    theta[i] = (theta[i] ?? 0) + gain * surprise;
    const row = i * WIDTH;
    for (let j = 0; j < WIDTH; j += 1) p[row + j] = (p[row + j] ?? 0) - gain * (product[j] ?? 0);
  }
}
