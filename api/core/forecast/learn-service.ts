import { learnKept } from './kept-model.ts';
import type { LearnableService } from './learnable-service.ts';
import type { Learning } from './learning.ts';
import { LEVEL, learnLevel, logLevel, passDays } from './level-model.ts';
import { rememberLevel } from './past-levels.ts';
import { scoreGrid } from './score-grid.ts';
import { seasonWaves } from './season-waves.ts';

/** Variance, log scale, of an event's effect before it was seen. */
export const EVENT_PRIOR_VARIANCE = 0.35 ** 2;
/** Variance an event's effect gains from one occurrence to the next. */
const EVENT_DRIFT = 0.03 ** 2;
/**
 * Learns one completed service, in date order. Changes `learning`.
 * @returns how surprising the service was, in standard deviations of what was expected
 */
export function learnService(learning: Learning, service: LearnableService): number {
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
    scoreGrid(learning, service, waves, effect, eventVariance);
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
  learnKept(learning.kept, service);
  learning.servicesLearned += 1;
  learning.firstDay ??= day;
  learning.lastDay = day;
  rememberLevel(learning.past, level, waves);
  return deviations;
}

/**
 * Variance of a service around a forecast `mean` before the horizon's own factor: negative binomial
 * mean + mean²/size, plus what is not known of the level (`unsure`, log-scale variance).
 */
export function expectedVariance(mean: number, inverseSize: number, unsure: number): number {
  return mean + mean * mean * (inverseSize + unsure);
}
