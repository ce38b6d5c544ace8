import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';
import { coreError } from '../shared/errors.ts';
import type { CountDistribution } from '../distributions/index.ts';
import {
  cappedCount,
  countFromMoments,
  pointCount,
  quantiles,
  varianceOf,
} from '../distributions/index.ts';
import { GRID_LAST, snapshotAt } from './booking-grid.ts';
import { spreadAt, weightsAt } from './combination.ts';
import { eventEffect } from './event-effect.ts';
import type { BookingSnapshot, ForecastTarget, KnownEvent } from './forecast-input.ts';
import type {
  ForecastMethod,
  ForecastParts,
  ForecastTerm,
  ForecastWarning,
  QuantileCovers,
  TargetForecast,
} from './forecast-output.ts';
import { keptAt, walkInsOn } from './kept-model.ts';
import { expectedVariance } from './learn-service.ts';
import type { Learning } from './learning.ts';
import { knowsSeason } from './learning.ts';
import {
  TREND,
  WEEKDAY,
  boundedInverseSize,
  driftVariance,
  levelVariance,
  logLevel,
  trendDays,
  waveEffect,
} from './level-model.ts';
import type { ForecastMember } from './members.ts';
import { MEMBERS, emptyMembers, memberForecasts } from './members.ts';
import { curveAt, emptyCurve } from './pickup-model.ts';
import { seasonWaves } from './season-waves.ts';
import { dayNumber } from './service-day.ts';

export interface TargetInput {
  readonly target: ForecastTarget;
  readonly snapshots: readonly BookingSnapshot[];
  readonly event?: KnownEvent;
  /** Most covers the room takes; Infinity when not known. */
  readonly capacity: number;
  readonly levels: readonly number[];
  /** Warnings found on the way are added here. */
  readonly warnings: ForecastWarning[];
}

type Writable<T> = { -readonly [K in keyof T]: T[K] };

/** Standard deviations of losses by which firm covers stay under the kept bookings (95%). */
const FIRM_DEVIATIONS = 1.645;
/** Covers lost together, because parties cancel as one (common practice, no source). */
const PARTY_COVERS = 2.5;

/**
 * The forecast of one service, from the state and the bookings known for it.
 * Errors: `missing-data` when nothing is known to start from, `invalid-date`.
 */
export function forecastTarget(state: Learning, input: TargetInput): Result<TargetForecast> {
  const { target, event, snapshots, capacity } = input;
  const day = dayNumber(target.serviceDate);
  if (!day.ok) return day;
  const newest = snapshotAt(snapshots, target.horizonDays);
  const booked = newest === undefined ? undefined : Math.min(capacity, newest.booked);
  if (event?.closed === true) return ok(exactly(state, input, 0, 'closed', 'closed'));
  if (event?.privateHire === true) {
    const guests = event.covers ?? booked;
    if (guests === undefined) {
      return err(
        coreError('missing-data', 'A private hire needs its number of guests.', {
          detail: { serviceDate: target.serviceDate },
        }),
      );
    }
    return ok(exactly(state, input, guests, 'private-hire', 'guests of the private hire'));
  }
  if (event?.covers === undefined && state.levelSource === 'unknown') {
    return err(
      coreError(
        'missing-data',
        'There is no history, no stated covers and no sister site to forecast from.',
        { detail: { serviceDate: target.serviceDate } },
      ),
    );
  }
  return ok(weighed(state, input, day.value, newest, booked));
}

/** A service whose covers are certain. */
function exactly(
  state: Learning,
  input: TargetInput,
  covers: number,
  method: ForecastMethod,
  label: string,
): TargetForecast {
  const parts: ForecastParts = {
    firmCovers: covers,
    spreadCovers: 0,
    servicesLearned: state.servicesLearned,
  };
  const terms = [{ label, value: covers, factor: 1 }];
  return finish(input, pointCount(covers), method, {}, parts, terms);
}

function weighed(
  state: Learning,
  input: TargetInput,
  day: number,
  newest: BookingSnapshot | undefined,
  booked: number | undefined,
): TargetForecast {
  const { target, event, capacity, warnings } = input;
  const weekday = target.weekday - 1;
  const ahead = Math.max(0, day - state.level.day);
  const { effect, variance: eventVariance } = eventEffect(state.events, event);
  const theta = state.level.theta;
  const seasonKnown = knowsSeason(state);
  const waves = seasonWaves(seasonKnown ? day : state.level.day);
  const level = Math.exp(logLevel(theta, 0, ahead, weekday, waves) + effect);

  const daysBefore = newest?.daysBefore ?? target.horizonDays;
  const usable = booked !== undefined && daysBefore <= GRID_LAST;
  if (booked !== undefined && !usable && target.horizonDays <= GRID_LAST) {
    warnings.push({
      kind: 'snapshot-too-old',
      message: `The newest bookings of ${target.serviceDate} are ${daysBefore} days before service; only the floor uses them.`,
      serviceDate: target.serviceDate,
    });
  }
  const curve = usable ? curveAt(state.pickup, daysBefore, weekday, level) : emptyCurve();
  const kept = keptAt(state.kept, daysBefore);
  const members = emptyMembers();
  memberForecasts(level, usable ? booked : -1, kept.kept, curve, members);
  const weights = weightsAt(state.combination, daysBefore, members.values);

  const terms: ForecastTerm[] = [];
  let method: ForecastMethod;
  if (event?.covers !== undefined) {
    method = 'stated-event';
    terms.push({ label: 'covers stated for the event', value: event.covers, factor: 1 });
  } else if (!curve.known || booked === undefined) {
    method =
      state.levelSource === 'stated'
        ? 'stated-covers'
        : state.levelSource === 'group'
          ? 'group-level'
          : 'level';
    terms.push({ label: 'usual level', value: level, factor: 1 });
  } else {
    method = 'combined';
    const wLevel = weights[0] ?? 0;
    const wAdd = weights[1] ?? 0;
    const wTimes = weights[2] ?? 0;
    const wCurve = weights[3] ?? 0;
    const onCurve = curve.finalFraction - curve.slope * curve.bookedFraction;
    terms.push(
      { label: 'usual level', value: level, factor: wLevel + wCurve * onCurve },
      {
        label: 'booked',
        value: booked,
        factor: wAdd * kept.kept + wTimes * members.ratio + wCurve * curve.slope,
      },
      { label: 'pickup', value: members.pickup, factor: wAdd },
    );
  }
  const firm = firmCovers(booked, kept.kept, members.ratio);
  let mean = sumOf(terms);
  const least = method === 'combined' ? firm : Math.max(firm, (booked ?? 0) * kept.kept);
  if (mean < least) {
    terms.push({ label: 'raised to the bookings that are kept', value: least - mean, factor: 1 });
    mean = sumOf(terms);
  }
  const unsure =
    levelVariance(state.level, weekday, waves) + driftVariance(ahead, seasonKnown) + eventVariance;
  const spread = spreadAt(state.combination, method === 'combined' ? daysBefore : GRID_LAST);
  const variance = expectedVariance(mean, boundedInverseSize(state.level), unsure) * spread;
  const floor = Math.min(firm, Math.floor(mean));
  const free = countFromMoments(mean, variance, floor);
  const distribution = capacity !== Infinity ? cappedCount(free, capacity) : free;
  if (distribution.mean !== mean) {
    const value = distribution.mean - mean;
    terms.push({ label: 'above what the room takes', value, factor: 1 });
  }
  const parts: Writable<ForecastParts> = {
    level,
    weekdayFactor: Math.exp(theta[WEEKDAY + weekday] ?? 0),
    seasonFactor: Math.exp(waveEffect(theta, 0, waves)),
    trendFactor: Math.exp((theta[TREND] ?? 0) * trendDays(ahead)),
    eventFactor: Math.exp(effect),
    firmCovers: floor,
    spreadCovers: Math.sqrt(varianceOf(distribution)),
    servicesLearned: state.servicesLearned,
  };
  if (booked !== undefined) {
    parts.booked = booked;
    parts.bookedDaysBefore = daysBefore;
    parts.keptFraction = kept.kept;
    parts.cancelledFraction = kept.cancelled;
    parts.noShowFraction = kept.noShow;
  }
  if (method === 'combined') {
    parts.pickup = members.pickup;
    parts.bookedFractionUsual = curve.bookedFraction;
  }
  const walkIns = walkInsOn(state.kept, weekday);
  if (walkIns !== undefined) parts.walkIns = walkIns;
  if (capacity !== Infinity) parts.capacityCovers = capacity;
  const named: Partial<Record<ForecastMember, number>> = {};
  if (method !== 'stated-event') {
    for (let m = 0; m < MEMBERS.length; m += 1) {
      const member = MEMBERS[m];
      const weight = weights[m] ?? 0;
      if (member !== undefined && weight > 0) named[member] = weight;
    }
  }
  return finish(input, distribution, method, named, parts, terms);
}

/**
 * Covers that stay even if cancellations run high: booked × kept less 1.645 standard deviations of
 * the loss, lost by the party. Where the series has shown a smaller part kept, that part counts.
 */
function firmCovers(booked: number | undefined, kept: number, ratio: number): number {
  if (booked === undefined) return 0;
  const part = ratio > 0 ? Math.min(kept, ratio) : kept;
  const deviation = Math.sqrt(booked * part * Math.max(0, 1 - part) * PARTY_COVERS);
  return Math.max(0, Math.floor(booked * part - FIRM_DEVIATIONS * deviation));
}

function sumOf(terms: readonly ForecastTerm[]): number {
  let sum = 0;
  for (const term of terms) sum += term.value * term.factor;
  return sum;
}

function finish(
  input: TargetInput,
  distribution: CountDistribution,
  method: ForecastMethod,
  weights: Partial<Record<ForecastMember, number>>,
  parts: ForecastParts,
  terms: readonly ForecastTerm[],
): TargetForecast {
  const { target, levels } = input;
  const found = quantiles(distribution, levels);
  const answers: QuantileCovers[] = [];
  for (let i = 0; i < levels.length; i += 1) {
    answers.push({ level: levels[i] ?? 0, covers: found[i] ?? 0 });
  }
  return {
    serviceDate: target.serviceDate,
    weekday: target.weekday,
    horizonDays: target.horizonDays,
    mean: distribution.mean,
    distribution,
    quantiles: answers,
    method,
    weights,
    parts,
    terms,
  };
}
