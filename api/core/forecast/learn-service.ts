import type { BookingSnapshot } from './forecast-input.ts';
import { GRID, GRID_SIZE } from './booking-grid.ts';
import { learnCombination, spreadAt, weightsAt } from './combination.ts';
import { keptAt, learnKept } from './kept-model.ts';
import type { LevelState } from './level-model.ts';
import {
  CLIP,
  LEVEL,
  WEEKDAY,
  WIDTH,
  driftVariance,
  learnLevel,
  levelVariance,
  logLevel,
  passDays,
} from './level-model.ts';
import { memberForecasts } from './members.ts';
import { curveAt, learnPickup } from './pickup-model.ts';
import type { PastLevel, SeriesState } from './series-state.ts';

/** The state while it is being learned: the same shape as SeriesState, writable. */
export type Learning = { -readonly [K in keyof SeriesState]: SeriesState[K] } & {
  past: PastLevel[];
  events: Record<string, { effect: number; variance: number }>;
};

/** A completed service ready for learning: checked, with day number and bookings on the grid. */
export interface LearnableService {
  readonly day: number;
  /** 0 Monday … 6 Sunday. */
  readonly weekday: number;
  readonly finalCovers: number;
  readonly walkInCovers?: number;
  readonly snapshots: readonly BookingSnapshot[];
  /** Covers booked at each grid day, −1 where unknown. */
  readonly booked: readonly number[];
  readonly event?: string;
}

const KEEP_SPREAD = 0.99;
/** Variance, log scale, of an event's effect before it was seen. */
export const EVENT_PRIOR_VARIANCE = 0.35 ** 2;
/** Variance an event's effect gains from one occurrence to the next. */
const EVENT_DRIFT = 0.03 ** 2;
/** How far back level states are kept: the furthest grid day and what lies before it. */
const PAST_DAYS = 29;
/** Standard deviations from the combined forecast beyond which a day is learned as if at them. */
const CLIP_PICKUP = 4;
/** Least and most 1/size of the spread around the level. */
const INVERSE_SIZE = { least: 1e-4, most: 4 };

/** 1/size of the negative binomial spread of one service around its usual level. */
export function inverseSizeOf(state: SeriesState): number {
  const [sum, weight] = state.inverseSize;
  return Math.min(INVERSE_SIZE.most, Math.max(INVERSE_SIZE.least, sum / weight));
}

/** The record of a level state that later services are scored against. */
export function pastLevelOf(level: LevelState): PastLevel {
  const p = level.covariance;
  const variance: number[] = [];
  for (let w = 0; w < 7; w += 1) {
    const i = WEEKDAY + w;
    variance.push((p[0] ?? 0) + 2 * (p[i] ?? 0) + (p[i * WIDTH + i] ?? 0));
  }
  return { day: level.day, theta: [...level.theta], variance };
}

/**
 * Learns one completed service, in date order. Changes `learning`.
 * @returns how surprising the service was, in standard deviations of what was expected
 */
export function learnService(learning: Learning, service: LearnableService): number {
  const { level } = learning;
  const { day, weekday, finalCovers } = service;
  passDays(level, day - level.day);
  const event = service.event === undefined ? undefined : learning.events[service.event];
  const effect = event?.effect ?? 0;
  const eventVariance = service.event === undefined ? 0 : (event?.variance ?? EVENT_PRIOR_VARIANCE);
  let surprise = 0;
  if (learning.levelSource === 'unknown') {
    const expected = logLevel(level.theta, 0, weekday, day) + effect;
    level.theta[LEVEL] = (level.theta[LEVEL] ?? 0) + Math.log(finalCovers + 0.5) - expected;
  } else {
    scoreGrid(learning, service, effect, eventVariance);
    surprise = updateLevel(learning, service, effect, eventVariance);
  }
  learning.levelSource = 'history';
  const bookedOnDay = service.booked[0] ?? -1;
  learnKept(
    learning.kept,
    weekday,
    service.snapshots,
    bookedOnDay,
    finalCovers,
    service.walkInCovers,
  );
  learning.servicesLearned += 1;
  learning.firstDay ??= day;
  learning.lastDay = day;
  learning.past.push(pastLevelOf(level));
  while (learning.past.length > 1 && (learning.past[1]?.day ?? day) <= day - PAST_DAYS) {
    learning.past.shift();
  }
  return surprise;
}

function updateLevel(
  learning: Learning,
  service: LearnableService,
  effect: number,
  eventVariance: number,
): number {
  const { level } = learning;
  const product = new Array<number>(WIDTH).fill(0);
  const fromLevel = levelVariance(level, service.weekday, service.day, product);
  const mean = Math.exp(logLevel(level.theta, 0, service.weekday, service.day) + effect);
  const ownVariance = 1 / Math.max(0.1, mean) + inverseSizeOf(learning);
  const total = fromLevel + eventVariance + ownVariance;
  const relative = (service.finalCovers - mean) / Math.max(0.1, mean);
  const limit = CLIP * Math.sqrt(total);
  const clipped = Math.min(limit, Math.max(-limit, relative));
  learnLevel(level, clipped, total, product);
  if (service.event !== undefined) {
    const gain = eventVariance / total;
    learning.events[service.event] = {
      effect: effect + gain * clipped,
      variance: eventVariance * (1 - gain) + EVENT_DRIFT,
    };
  } else {
    const excess = clipped * clipped - fromLevel - 1 / Math.max(0.1, mean);
    const [sum, weight] = learning.inverseSize;
    learning.inverseSize = [sum * KEEP_SPREAD + excess, weight * KEEP_SPREAD + 1];
  }
  return relative / Math.sqrt(total);
}

/** Scores what would have been forecast on each grid day, then learns the booking curve there. */
function scoreGrid(
  learning: Learning,
  service: LearnableService,
  effect: number,
  eventVariance: number,
): void {
  const { day, weekday, finalCovers } = service;
  const inverseSize = inverseSizeOf(learning);
  let at = learning.past.length - 1;
  for (let g = 0; g < GRID_SIZE; g += 1) {
    const daysBefore = GRID[g] ?? 0;
    while (at >= 0 && (learning.past[at]?.day ?? 0) >= day - daysBefore) at -= 1;
    const past = learning.past[at];
    if (past === undefined) return;
    const ahead = day - past.day;
    const level = Math.exp(logLevel(past.theta, ahead, weekday, day) + effect);
    const booked = service.booked[g] ?? -1;
    const curve = booked < 0 ? undefined : curveAt(learning.pickup, daysBefore, weekday, level);
    const kept = curve === undefined ? 1 : keptAt(learning.kept, daysBefore).kept;
    const { values } = memberForecasts(level, booked, kept, curve);
    const weights = weightsAt(learning.combination, daysBefore, values);
    let combined = 0;
    for (let m = 0; m < weights.length; m += 1) combined += (weights[m] ?? 0) * (values[m] ?? 0);
    const unsure = (past.variance[weekday] ?? 0) + driftVariance(ahead) + eventVariance;
    const variance = expectedVariance(combined, inverseSize, unsure);
    const sd = Math.sqrt(variance * spreadAt(learning.combination, daysBefore));
    const final = Math.min(
      combined + CLIP_PICKUP * sd,
      Math.max(combined - CLIP_PICKUP * sd, finalCovers),
    );
    learnCombination(learning.combination, g, values, combined, variance, final, level);
    if (booked >= 0) learnPickup(learning.pickup, g, weekday, final, booked, level);
  }
}

/**
 * Variance of a service around a forecast `mean` before the horizon's own factor: negative binomial
 * mean + mean²/size, plus what is not known of the level (`unsure`, log-scale variance).
 */
export function expectedVariance(mean: number, inverseSize: number, unsure: number): number {
  return mean + mean * mean * (inverseSize + unsure);
}
