import type { LevelModel } from './level-model.ts';
import { WEEKDAY, WIDTH, waveEffect } from './level-model.ts';
import { seasonWaves } from './season-waves.ts';
import type { Waves } from './season-waves.ts';

/** The level as it was after past services: what would have been forecast from there. */
export interface PastLevels {
  /** How many are kept, oldest first. */
  count: number;
  readonly days: Int32Array;
  /** `count` × WIDTH coefficients. */
  readonly thetas: Float64Array;
  /** `count` × 7: variance of the log level by weekday. */
  readonly variances: Float64Array;
  /** `count`: what the yearly waves said on the day itself. Follows from the others; not stored. */
  readonly seasons: Float64Array;
}

// A constant to the compiler, which an imported name is not.
const width = WIDTH;
/** How far back they are needed: the furthest grid day, and one service before it. */
const REACH_DAYS = 29;
/** Room before the oldest are dropped. */
const ROOM = 48;

export function emptyPast(): PastLevels {
  return {
    count: 0,
    days: new Int32Array(ROOM),
    thetas: new Float64Array(ROOM * WIDTH),
    variances: new Float64Array(ROOM * 7),
    seasons: new Float64Array(ROOM),
  };
}

/** Keeps the level as it now is, `waves` being those of its day, and drops those that no grid day can reach any more. */
export function rememberLevel(past: PastLevels, level: LevelModel, waves: Waves): void {
  if (past.count === ROOM) dropOld(past, level.day - REACH_DAYS);
  const at = past.count;
  const p = level.covariance;
  past.days[at] = level.day;
  // A loop: `set` takes longer than so few values do.
  const { theta } = level;
  const { thetas } = past;
  for (let i = 0, to = at * width; i < width; i += 1, to += 1) thetas[to] = theta[i] ?? 0;
  const first = p[0] ?? 0;
  for (let w = 0; w < 7; w += 1) {
    const i = WEEKDAY + w;
    past.variances[at * 7 + w] = first + 2 * (p[i] ?? 0) + (p[i * WIDTH + i] ?? 0);
  }
  past.seasons[at] = waveEffect(level.theta, 0, waves);
  past.count += 1;
}

/** Drops all before the newest one on or before `day`. At least one service is dropped. */
function dropOld(past: PastLevels, day: number): void {
  let from = 1;
  while (from + 1 < past.count && (past.days[from + 1] ?? 0) <= day) from += 1;
  past.days.copyWithin(0, from, past.count);
  past.thetas.copyWithin(0, from * WIDTH, past.count * WIDTH);
  past.variances.copyWithin(0, from * 7, past.count * 7);
  past.seasons.copyWithin(0, from, past.count);
  past.count -= from;
}

/** Fills in what follows from the rest, after the rest was read from storage. */
export function completePast(past: PastLevels): void {
  for (let at = 0; at < past.count; at += 1) {
    past.seasons[at] = waveEffect(past.thetas, at * WIDTH, seasonWaves(past.days[at] ?? 0));
  }
}
