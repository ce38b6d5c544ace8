import type { BookingSnapshot } from './forecast-input.ts';
import { GRID, GRID_SIZE } from './booking-grid.ts';
import { learnCombination, weightsOnGrid } from './combination.ts';
import { keptOnGrid, learnKept } from './kept-model.ts';
import type { Learning } from './learning.ts';
import { knowsSeason } from './learning.ts';
import {
  LEVEL,
  WIDTH,
  boundedInverseSize,
  driftVariance,
  learnLevel,
  logLevel,
  passDays,
} from './level-model.ts';
import { MEMBER_COUNT, emptyMembers, memberForecasts } from './members.ts';
import { seasonWaves } from './season-waves.ts';
import type { Waves } from './season-waves.ts';
import { rememberLevel } from './past-levels.ts';
import { curveOnGrid, emptyCurve, learnPickup } from './pickup-model.ts';

/** A completed service ready for learning: checked, with day number and bookings on the grid. */
export interface LearnableService {
  readonly day: number;
  /** 0 Monday … 6 Sunday. */
  readonly weekday: number;
  readonly finalCovers: number;
  readonly walkInCovers: number | undefined;
  readonly snapshots: readonly BookingSnapshot[];
  /** Covers booked at each grid day, −1 where unknown. */
  readonly booked: readonly number[];
  readonly event: string | undefined;
}

/** Variance, log scale, of an event's effect before it was seen. */
export const EVENT_PRIOR_VARIANCE = 0.35 ** 2;
/** Variance an event's effect gains from one occurrence to the next. */
const EVENT_DRIFT = 0.03 ** 2;
/** Standard deviations from the combined forecast beyond which a day is learned as if at them. */
const CLIP_PICKUP = 4;

/** Space the learning of a run of services works in, so that none is asked for day by day. */
export interface Workspace {
  readonly members: ReturnType<typeof emptyMembers>;
  readonly weights: Float64Array;
  readonly curve: ReturnType<typeof emptyCurve>;
}

export function emptyWorkspace(): Workspace {
  return {
    members: emptyMembers(),
    weights: new Float64Array(MEMBER_COUNT),
    curve: emptyCurve(),
  };
}

/**
 * Learns one completed service, in date order. Changes `learning`.
 * @returns how surprising the service was, in standard deviations of what was expected
 */
export function learnService(
  learning: Learning,
  service: LearnableService,
  workspace: Workspace,
): number {
  const { level } = learning;
  const { day, weekday, finalCovers } = service;
  passDays(level, day - level.day);
  const waves = seasonWaves(day);
  const event = service.event === undefined ? undefined : learning.events[service.event];
  const effect = event?.effect ?? 0;
  const eventVariance = service.event === undefined ? 0 : (event?.variance ?? EVENT_PRIOR_VARIANCE);
  let deviations = 0;
  if (learning.levelSource === 'unknown') {
    const expected = logLevel(level.theta, 0, 0, weekday, waves) + effect;
    level.theta[LEVEL] = (level.theta[LEVEL] ?? 0) + Math.log(finalCovers + 0.5) - expected;
  } else {
    scoreGrid(learning, service, waves, effect, eventVariance, workspace);
    const lesson = learnLevel(level, weekday, waves, finalCovers, effect, eventVariance);
    deviations = lesson.deviations;
    if (service.event !== undefined) {
      const gain = eventVariance / lesson.total;
      learning.events[service.event] = {
        effect: effect + gain * lesson.clipped,
        variance: eventVariance * (1 - gain) + EVENT_DRIFT,
      };
    }
  }
  learning.levelSource = 'history';
  learnKept(
    learning.kept,
    weekday,
    service.snapshots,
    service.booked[0] ?? -1,
    finalCovers,
    service.walkInCovers,
  );
  learning.servicesLearned += 1;
  learning.firstDay ??= day;
  learning.lastDay = day;
  rememberLevel(learning.past, level);
  return deviations;
}

/** Scores what would have been forecast on each grid day, then learns the booking curve there. */
function scoreGrid(
  learning: Learning,
  service: LearnableService,
  waves: Waves,
  effect: number,
  eventVariance: number,
  workspace: Workspace,
): void {
  const { past, pickup, kept, combination } = learning;
  const { members, weights, curve } = workspace;
  const { day, weekday, finalCovers } = service;
  const inverseSize = boundedInverseSize(learning.level);
  const seasonKnown = knowsSeason(learning);
  let at = past.count - 1;
  for (let g = 0; g < GRID_SIZE; g += 1) {
    const daysBefore = GRID[g] ?? 0;
    while (at >= 0 && (past.days[at] ?? 0) >= day - daysBefore) at -= 1;
    if (at < 0) return;
    const origin = past.days[at] ?? 0;
    const ahead = day - origin;
    const season = seasonKnown ? waves : seasonWaves(origin);
    const level = Math.exp(logLevel(past.thetas, at * WIDTH, ahead, weekday, season) + effect);
    const booked = service.booked[g] ?? -1;
    if (booked < 0) curve.known = false;
    else curveOnGrid(pickup, g, weekday, level, curve);
    memberForecasts(level, booked, curve.known ? keptOnGrid(kept, g) : 1, curve, members);
    weightsOnGrid(combination, g, 0, members.values, weights);
    let combined = 0;
    for (let m = 0; m < MEMBER_COUNT; m += 1) {
      combined += (weights[m] ?? 0) * (members.values[m] ?? 0);
    }
    const unsure =
      (past.variances[at * 7 + weekday] ?? 0) + driftVariance(ahead, seasonKnown) + eventVariance;
    const variance = expectedVariance(combined, inverseSize, unsure);
    const far = CLIP_PICKUP * Math.sqrt(variance * (combination.spread[g] ?? 1));
    const final = Math.min(combined + far, Math.max(combined - far, finalCovers));
    learnCombination(combination, g, members.values, combined, variance, final, level);
    if (booked >= 0) learnPickup(pickup, g, weekday, final, booked, level, curve);
  }
}

/**
 * Variance of a service around a forecast `mean` before the horizon's own factor: negative binomial
 * mean + mean²/size, plus what is not known of the level (`unsure`, log-scale variance).
 */
export function expectedVariance(mean: number, inverseSize: number, unsure: number): number {
  return mean + mean * mean * (inverseSize + unsure);
}
