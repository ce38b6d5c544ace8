import { GRID, GRID_SIZE } from './booking-grid.ts';
import { CLIP_SPREAD, LEAST_ERROR, gainAfter } from './combination.ts';
import { keptByGrid } from './kept-model.ts';
import type { LearnableService } from './learnable-service.ts';
import type { Learning } from './learning.ts';
import { knowsSeason } from './learning.ts';
import {
  WAVE,
  WEEKDAY,
  WIDTH,
  boundedInverseSize,
  driftVariance,
  trendDays,
} from './level-model.ts';
import { LEAST_USUAL_BOOKED, MEMBER_COUNT, MOST_RATIO } from './members.ts';
import {
  ALL,
  BORROWED_SERVICES,
  CELLS,
  KEEP_ALL,
  KEEP_SLOPE,
  KEEP_WEEKDAY,
  LEAST_LEVEL,
  MOST_SLOPE,
  PER_CELL,
  PRIOR_SLOPE_WEIGHT,
} from './pickup-model.ts';
import type { Waves } from './season-waves.ts';

/** Standard deviations from the combined forecast beyond which a day is learned as if at them. */
const CLIP_PICKUP = 4;

/**
 * Scores what would have been forecast on each grid day before a service, then learns the booking
 * curve there. The forecast is that of `curveOnGrid`, `memberForecasts` and `weightsOnGrid`, written
 * out over plain numbers together with what is learned from it: this runs ten times for every
 * service of every series and is most of the time that learning takes. A test holds the two to the
 * same figures.
 */
export function scoreGrid(
  learning: Learning,
  service: LearnableService,
  waves: Waves,
  effect: number,
  eventVariance: number,
): void {
  const { past } = learning;
  const { days, thetas, variances, seasons } = past;
  const { sums, slopes } = learning.pickup;
  const { errors, spread, counts } = learning.combination;
  const kept = keptByGrid(learning.kept);
  const { day, weekday, bookedFrom, finalCovers } = service;
  const inverseSize = boundedInverseSize(learning.level);
  const seasonKnown = knowsSeason(learning);
  const [w0, w1, w2, w3] = waves;
  let at = past.count - 1;
  for (let g = 0; g < GRID_SIZE; g += 1) {
    const lastDay = day - GRID[g]!;
    while (at >= 0 && days[at]! >= lastDay) at -= 1;
    if (at < 0) return;
    const ahead = day - days[at]!;
    const theta = at * WIDTH;
    const season = seasonKnown
      ? thetas[theta + WAVE]! * w0 +
        thetas[theta + WAVE + 1]! * w1 +
        thetas[theta + WAVE + 2]! * w2 +
        thetas[theta + WAVE + 3]! * w3
      : seasons[at]!;
    const level = Math.exp(
      thetas[theta]! +
        thetas[theta + 1]! * trendDays(ahead) +
        thetas[theta + WEEKDAY + weekday]! +
        season +
        effect,
    );
    const unsure = variances[at * 7 + weekday]! + driftVariance(ahead, seasonKnown) + eventVariance;

    // The usual curve on this grid day.
    const booked = service.booked[bookedFrom + g]!;
    const all = (g * CELLS + ALL) * PER_CELL;
    const own = (g * CELLS + weekday) * PER_CELL;
    const allLevel = sums[all + 2]!;
    const known = booked >= 0 && allLevel > LEAST_LEVEL;

    // The members and their weights.
    const first = g * MEMBER_COUNT;
    let combined = level;
    let bookedFraction = 0;
    let finalFraction = 0;
    const services = counts[g * 2]!;
    const gain = gainAfter(services);
    const scale = level > 1 ? 1 / level : 1;
    let additive = -1;
    let times = -1;
    let curve = -1;
    if (known) {
      const borrowedLevel = BORROWED_SERVICES * notBelow(LEAST_LEVEL, level);
      const borrowed = borrowedLevel / allLevel;
      const perLevel = 1 / (sums[own + 2]! + borrowedLevel);
      bookedFraction = (sums[own + 1]! + borrowed * sums[all + 1]!) * perLevel;
      finalFraction = (sums[own]! + borrowed * sums[all]!) * perLevel;
      const slope = between(
        0,
        (slopes[g * 2]! + PRIOR_SLOPE_WEIGHT) / (slopes[g * 2 + 1]! + PRIOR_SLOPE_WEIGHT),
        MOST_SLOPE,
      );
      const keep = kept[g]!;
      const usualBooked = bookedFraction * level;
      additive = notBelow(0, booked * keep + (finalFraction - keep * bookedFraction) * level);
      if (usualBooked >= LEAST_USUAL_BOOKED && finalFraction <= MOST_RATIO * bookedFraction) {
        times = (booked * finalFraction) / bookedFraction;
      }
      curve = notBelow(0, finalFraction * level + slope * (booked - usualBooked));
      const p0 = precision(errors[first]!);
      const p1 = precision(errors[first + 1]!);
      const p2 = times < 0 ? 0 : precision(errors[first + 2]!);
      const p3 = precision(errors[first + 3]!);
      combined = (p0 * level + p1 * additive + p2 * times + p3 * curve) / (p0 + p1 + p2 + p3);
    }
    const variance = combined + combined * combined * (inverseSize + unsure);
    const far = CLIP_PICKUP * Math.sqrt(variance * spread[g]!);
    const final = between(combined - far, finalCovers, combined + far);

    // What the day taught about members and spread.
    counts[g * 2] = services + 1;
    errors[first] = averaged(errors[first]!, gain, final - level, scale);
    if (known) {
      const seen = counts[g * 2 + 1]!;
      const gainBooked = gainAfter(seen);
      counts[g * 2 + 1] = seen + 1;
      errors[first + 1] = averaged(errors[first + 1]!, gainBooked, final - additive, scale);
      if (times >= 0)
        errors[first + 2] = averaged(errors[first + 2]!, gainBooked, final - times, scale);
      errors[first + 3] = averaged(errors[first + 3]!, gainBooked, final - curve, scale);
    }
    const error = final - combined;
    const ratio = between(0, (error * error) / notBelow(1e-9, variance), CLIP_SPREAD);
    spread[g] = spread[g]! + gain * (ratio - spread[g]!);

    // What it taught about the curve.
    if (booked < 0) continue;
    if (known) {
      const x = booked - bookedFraction * level;
      const scaled = x * scale;
      slopes[g * 2] = slopes[g * 2]! * KEEP_SLOPE + scaled * (final - finalFraction * level);
      slopes[g * 2 + 1] = slopes[g * 2 + 1]! * KEEP_SLOPE + scaled * x;
    }
    sums[own] = sums[own]! * KEEP_WEEKDAY + final;
    sums[own + 1] = sums[own + 1]! * KEEP_WEEKDAY + booked;
    sums[own + 2] = sums[own + 2]! * KEEP_WEEKDAY + level;
    sums[all] = sums[all]! * KEEP_ALL + final;
    sums[all + 1] = sums[all + 1]! * KEEP_ALL + booked;
    sums[all + 2] = sums[all + 2]! * KEEP_ALL + level;
  }
}

// Comparisons, because Math.min and Math.max take care of NaN and −0 that cannot be here.
function notBelow(least: number, value: number): number {
  return value > least ? value : least;
}

function between(least: number, value: number, most: number): number {
  return value > most ? most : value > least ? value : least;
}

function precision(error: number): number {
  const e = error < LEAST_ERROR ? LEAST_ERROR : error;
  const square = e * e;
  return 1 / (square * square);
}

function averaged(mean: number, gain: number, error: number, scale: number): number {
  return mean + gain * (error * error * scale - mean);
}
