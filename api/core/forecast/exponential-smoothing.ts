/**
 * Exponential smoothing with fixed parameters, as building blocks and for comparison. The
 * recursions are those of R's stats::HoltWinters (R Core Team), which follows Holt 1957 and
 * Winters 1960; the tests hold them to its output.
 */

/** One pass of a smoothing: the state after the last value, fitted values and their error. */
export interface Smoothing {
  readonly level: number;
  readonly trend: number;
  /** Seasonal figures for the periods to come, the next period first; empty without a season. */
  readonly season: readonly number[];
  /** One-step-ahead forecasts, one for every value from the first that could be forecast. */
  readonly fitted: readonly number[];
  /** Sum of squared one-step-ahead errors. */
  readonly squaredError: number;
}

/** Simple exponential smoothing; the start level is the first value. `alpha` in (0, 1]. */
export function simpleSmoothing(values: readonly number[], alpha: number): Smoothing {
  let level = values[0] ?? Number.NaN;
  let squaredError = 0;
  const fitted: number[] = [];
  for (let t = 1; t < values.length; t += 1) {
    fitted.push(level);
    const error = (values[t] ?? 0) - level;
    squaredError += error * error;
    level += alpha * error;
  }
  return { level, trend: 0, season: [], fitted, squaredError };
}

export interface TrendParameters {
  readonly alpha: number;
  readonly beta: number;
  /** Part of the trend kept per period, 0 < phi ≤ 1 (default 1: not damped). Gardner & McKenzie 1985. */
  readonly phi?: number;
}

/** Holt's linear trend; starts at the second value with the first difference as trend, as R does. */
export function holtSmoothing(values: readonly number[], p: TrendParameters): Smoothing {
  const phi = p.phi ?? 1;
  let level = values[1] ?? Number.NaN;
  let trend = level - (values[0] ?? Number.NaN);
  let squaredError = 0;
  const fitted: number[] = [];
  for (let t = 2; t < values.length; t += 1) {
    const expected = level + phi * trend;
    fitted.push(expected);
    const error = (values[t] ?? 0) - expected;
    squaredError += error * error;
    const next = expected + p.alpha * error;
    trend = p.beta * (next - level) + (1 - p.beta) * phi * trend;
    level = next;
  }
  return { level, trend, season: [], fitted, squaredError };
}

export interface SeasonParameters extends TrendParameters {
  readonly gamma: number;
}

export interface SeasonStart {
  readonly level: number;
  readonly trend: number;
  /** One figure per period of the season, the first value's period first. */
  readonly season: readonly number[];
}

export type SeasonKind = 'additive' | 'multiplicative';

/**
 * Holt–Winters with given start values. As in R the first season is spent on the start: fitting
 * begins with the value of index `start.season.length`.
 */
export function holtWinters(
  values: readonly number[],
  p: SeasonParameters,
  start: SeasonStart,
  kind: SeasonKind,
): Smoothing {
  const phi = p.phi ?? 1;
  const length = start.season.length;
  const season = [...start.season];
  let { level, trend } = start;
  let squaredError = 0;
  const fitted: number[] = [];
  for (let t = length; t < values.length; t += 1) {
    const at = t % length;
    const usual = season[at] ?? 0;
    const y = values[t] ?? 0;
    const base = level + phi * trend;
    const expected = kind === 'additive' ? base + usual : base * usual;
    fitted.push(expected);
    squaredError += (y - expected) ** 2;
    const adjusted = kind === 'additive' ? y - usual : y / usual;
    const next = p.alpha * adjusted + (1 - p.alpha) * base;
    trend = p.beta * (next - level) + (1 - p.beta) * phi * trend;
    season[at] = p.gamma * (kind === 'additive' ? y - next : y / next) + (1 - p.gamma) * usual;
    level = next;
  }
  const turn = values.length % length;
  return {
    level,
    trend,
    season: [...season.slice(turn), ...season.slice(0, turn)],
    fitted,
    squaredError,
  };
}

/** Forecasts 1…`periods` ahead of a smoothing. */
export function smoothingForecast(
  s: Smoothing,
  periods: number,
  kind: SeasonKind = 'additive',
  phi = 1,
): number[] {
  let reach = 0;
  let keep = 1;
  return Array.from({ length: periods }, (_, h) => {
    keep *= phi;
    reach += keep;
    const base = s.level + reach * s.trend;
    if (s.season.length === 0) return base;
    const usual = s.season[h % s.season.length] ?? 0;
    return kind === 'additive' ? base + usual : base * usual;
  });
}

/**
 * Start values from the first two seasons, as R's HoltWinters takes them: classical decomposition
 * by a centred moving average, the season averaged and centred, and a straight line through the
 * trend that is left.
 */
export function seasonStart(
  values: readonly number[],
  length: number,
  kind: SeasonKind,
): SeasonStart {
  const first = values.slice(0, 2 * length);
  const half = Math.floor(length / 2);
  const trend: (number | undefined)[] = first.map((_, t) => {
    if (t < half || t >= first.length - half) return undefined;
    let sum = 0;
    for (let i = -half; i <= half; i += 1) {
      const ends = length % 2 === 0 && Math.abs(i) === half ? 0.5 : 1;
      sum += ends * (first[t + i] ?? 0);
    }
    return sum / length;
  });
  const figure = Array.from({ length }, (_, at) => {
    const seen: number[] = [];
    for (let t = at; t < first.length; t += length) {
      const middle = trend[t];
      if (middle === undefined) continue;
      const y = first[t] ?? 0;
      seen.push(kind === 'additive' ? y - middle : y / middle);
    }
    return seen.reduce((a, x) => a + x, 0) / seen.length;
  });
  const mean = figure.reduce((a, x) => a + x, 0) / length;
  const season = figure.map((x) => (kind === 'additive' ? x - mean : x / mean));
  const line = trend.filter((x) => x !== undefined);
  const n = line.length;
  const middleX = (n + 1) / 2;
  const middleY = line.reduce((a, y) => a + y, 0) / n;
  const xy = line.reduce((a, y, i) => a + (i + 1 - middleX) * (y - middleY), 0);
  const xx = line.reduce((a, _, i) => a + (i + 1 - middleX) ** 2, 0);
  const slope = xx > 0 ? xy / xx : 0;
  return { level: middleY - slope * middleX, trend: slope, season };
}
