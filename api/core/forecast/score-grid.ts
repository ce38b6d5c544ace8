import { GRID, GRID_SIZE } from './booking-grid.ts';
import { CLIP_SPREAD, LEAST_ERROR, gainAfter } from './combination.ts';
import { exponential } from './exponential.ts';
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

// Copies, because an imported name is looked up and checked anew at every use and these are
// constants to the compiler: a fifth of the time that learning takes.
const gridSize = GRID_SIZE;
const waveAt = WAVE;
const weekdayAt = WEEKDAY;
const width = WIDTH;
const leastUsualBooked = LEAST_USUAL_BOOKED;
const memberCount = MEMBER_COUNT;
const mostRatio = MOST_RATIO;
const allWeekdays = ALL;
const borrowedServices = BORROWED_SERVICES;
const cells = CELLS;
const keepAll = KEEP_ALL;
const keepSlope = KEEP_SLOPE;
const keepWeekday = KEEP_WEEKDAY;
const leastLevel = LEAST_LEVEL;
const mostSlope = MOST_SLOPE;
const perCell = PER_CELL;
const priorSlopeWeight = PRIOR_SLOPE_WEIGHT;
const clipSpread = CLIP_SPREAD;
const leastError = LEAST_ERROR;
const gridDays = GRID;
const exponentialOf = exponential;
const gainOf = gainAfter;
const driftOf = driftVariance;
const trendOf = trendDays;
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
  const bookedAll = service.booked;
  let at = past.count - 1;
  for (let g = 0; g < gridSize; g += 1) {
    const lastDay = day - gridDays[g]!;
    while (at >= 0 && days[at]! >= lastDay) at -= 1;
    if (at < 0) return;
    const ahead = day - days[at]!;
    const theta = at * width;
    const season = seasonKnown
      ? thetas[theta + waveAt]! * w0 +
        thetas[theta + waveAt + 1]! * w1 +
        thetas[theta + waveAt + 2]! * w2 +
        thetas[theta + waveAt + 3]! * w3
      : seasons[at]!;
    const level = exponentialOf(
      thetas[theta]! +
        thetas[theta + 1]! * trendOf(ahead) +
        thetas[theta + weekdayAt + weekday]! +
        season +
        effect,
    );
    const unsure = variances[at * 7 + weekday]! + driftOf(ahead, seasonKnown) + eventVariance;

    // What the days before this one taught, read once: what is learned is written back below.
    const booked = bookedAll[bookedFrom + g]!;
    const own = (g * cells + weekday) * perCell;
    const all = (g * cells + allWeekdays) * perCell;
    const first = g * memberCount;
    const pair = g * 2;
    const ownFinal = sums[own]!;
    const ownBooked = sums[own + 1]!;
    const ownLevel = sums[own + 2]!;
    const allFinal = sums[all]!;
    const allBooked = sums[all + 1]!;
    const allLevel = sums[all + 2]!;
    const slopeXy = slopes[pair]!;
    const slopeXx = slopes[pair + 1]!;
    const levelError = errors[first]!;
    const additiveError = errors[first + 1]!;
    const curveError = errors[first + 3]!;
    const spreadHere = spread[g]!;
    const known = booked >= 0 && allLevel > leastLevel;

    // The members, and their mean by the weights.
    let combined = level;
    let bookedFraction = 0;
    let finalFraction = 0;
    let additive = -1;
    let times = -1;
    let timesError = 0;
    let curve = -1;
    if (known) {
      // As in `curveOnGrid` with the two fractions brought over one denominator.
      const borrowedLevel = borrowedServices * notBelow(leastLevel, level);
      const bookedSum = ownBooked * allLevel + borrowedLevel * allBooked;
      const finalSum = ownFinal * allLevel + borrowedLevel * allFinal;
      // One division for the three of them: it takes as long as a dozen multiplications.
      const levels = allLevel * (ownLevel + borrowedLevel);
      const spreadOut = slopeXx + priorSlopeWeight;
      const hasRatio =
        bookedSum * level >= leastUsualBooked * levels && finalSum <= mostRatio * bookedSum;
      const divisor = hasRatio ? bookedSum : 1;
      const spreadDivisor = spreadOut * divisor;
      const inverse = 1 / (levels * spreadDivisor);
      const perLevel = inverse * spreadDivisor;
      bookedFraction = bookedSum * perLevel;
      finalFraction = finalSum * perLevel;
      const perSpread = inverse * levels;
      const slope = between(0, (slopeXy + priorSlopeWeight) * perSpread * divisor, mostSlope);
      const keep = kept[g]!;
      const usualBooked = bookedFraction * level;
      additive = notBelow(0, booked * keep + (finalFraction - keep * bookedFraction) * level);
      curve = notBelow(0, finalFraction * level + slope * (booked - usualBooked));
      // Weights 1/e⁴, multiplied through by every e⁴ so that one division serves them all.
      const q0 = fourth(levelError);
      const q1 = fourth(additiveError);
      const q3 = fourth(curveError);
      const q01 = q0 * q1;
      if (hasRatio) {
        times = booked * finalSum * perSpread * spreadOut;
        timesError = errors[first + 2]!;
        const q2 = fourth(timesError);
        const q23 = q2 * q3;
        combined =
          ((q1 * level + q0 * additive) * q23 + (q3 * times + q2 * curve) * q01) /
          ((q0 + q1) * q23 + (q2 + q3) * q01);
      } else {
        combined = ((q1 * level + q0 * additive) * q3 + curve * q01) / ((q0 + q1) * q3 + q01);
      }
    }
    const variance = combined + combined * combined * (inverseSize + unsure);
    let error = finalCovers - combined;
    const most = CLIP_PICKUP * CLIP_PICKUP * variance * spreadHere;
    if (error * error > most) error = error < 0 ? -Math.sqrt(most) : Math.sqrt(most);
    const final = combined + error;

    // What the day taught about members and spread.
    const services = counts[pair]!;
    const gain = gainOf(services);
    const scale = level > 1 ? 1 / level : 1;
    counts[pair] = services + 1;
    errors[first] = averaged(levelError, gain, final - level, scale);
    const ratio = between(0, (error * error) / notBelow(1e-9, variance), clipSpread);
    spread[g] = spreadHere + gain * (ratio - spreadHere);
    if (booked < 0) continue;
    if (known) {
      const seen = counts[pair + 1]!;
      const gainBooked = gainOf(seen);
      counts[pair + 1] = seen + 1;
      errors[first + 1] = averaged(additiveError, gainBooked, final - additive, scale);
      if (times >= 0) errors[first + 2] = averaged(timesError, gainBooked, final - times, scale);
      errors[first + 3] = averaged(curveError, gainBooked, final - curve, scale);
      const x = booked - bookedFraction * level;
      const scaled = x * scale;
      slopes[pair] = slopeXy * keepSlope + scaled * (final - finalFraction * level);
      slopes[pair + 1] = slopeXx * keepSlope + scaled * x;
    }

    // What it taught about the curve.
    sums[own] = ownFinal * keepWeekday + final;
    sums[own + 1] = ownBooked * keepWeekday + booked;
    sums[own + 2] = ownLevel * keepWeekday + level;
    sums[all] = allFinal * keepAll + final;
    sums[all + 1] = allBooked * keepAll + booked;
    sums[all + 2] = allLevel * keepAll + level;
  }
}

// Comparisons, because Math.min and Math.max take care of NaN and −0 that cannot be here.
function notBelow(least: number, value: number): number {
  return value > least ? value : least;
}

function between(least: number, value: number, most: number): number {
  return value > most ? most : value > least ? value : least;
}

/** The fourth power of a squared error: the inverse of its weight. */
function fourth(error: number): number {
  const e = error < leastError ? leastError : error;
  const square = e * e;
  return square * square;
}

function averaged(mean: number, gain: number, error: number, scale: number): number {
  return mean + gain * (error * error * scale - mean);
}
