import type { CombinationModel } from './combination.ts';
import { emptyCombination } from './combination.ts';
import type { KeptModel } from './kept-model.ts';
import { emptyKept } from './kept-model.ts';
import type { LevelModel } from './level-model.ts';
import { WIDTH } from './level-model.ts';
import type { PastLevels } from './past-levels.ts';
import { completePast, emptyPast } from './past-levels.ts';
import type { PickupModel } from './pickup-model.ts';
import { emptyPickup } from './pickup-model.ts';
import type { LearnedEvent, LevelSource, SeriesState } from './series-state.ts';
import { FORECAST_MODEL_VERSION } from './series-state.ts';

/**
 * A series while it is being learned or forecast from: the same figures as SeriesState, in typed
 * lists that are changed in place because a series of two years touches each of them 700 times.
 */
export interface Learning {
  servicesLearned: number;
  firstDay: number | null;
  lastDay: number | null;
  levelSource: LevelSource;
  /** The yearly season comes from the group. */
  seasonBorrowed: boolean;
  readonly level: LevelModel;
  readonly past: PastLevels;
  readonly events: Record<string, LearnedEvent>;
  readonly pickup: PickupModel;
  readonly kept: KeptModel;
  readonly combination: CombinationModel;
}

/** Days of history from which the yearly season is trusted to say what comes. */
const SEASON_DAYS = 330;

/**
 * True when the season is known: from most of a year of own history, or from the group. Before
 * that a forecast keeps the season of the day it is made on.
 */
export function knowsSeason(learning: Learning): boolean {
  if (learning.seasonBorrowed) return true;
  if (learning.firstDay === null || learning.lastDay === null) return false;
  return learning.lastDay - learning.firstDay >= SEASON_DAYS;
}

/** A working form with nothing in it. */
export function emptyLearning(): Learning {
  return {
    servicesLearned: 0,
    firstDay: null,
    lastDay: null,
    levelSource: 'unknown',
    seasonBorrowed: false,
    level: {
      day: 0,
      theta: new Float64Array(WIDTH),
      covariance: new Float64Array(WIDTH * WIDTH),
      product: new Float64Array(WIDTH),
      inverseSize: 0,
      inverseSizeWeight: 0,
      surprisesUp: 0,
      surprisesDown: 0,
    },
    past: emptyPast(),
    events: {},
    pickup: emptyPickup(),
    kept: emptyKept(),
    combination: emptyCombination(),
  };
}

/** The working form of a stored state; the state is not changed by what happens to it. */
export function openState(state: SeriesState): Learning {
  const learning = emptyLearning();
  learning.servicesLearned = state.servicesLearned;
  learning.firstDay = state.firstDay;
  learning.lastDay = state.lastDay;
  learning.levelSource = state.levelSource;
  learning.seasonBorrowed = state.seasonBorrowed;
  const { level, past, pickup, kept, combination } = learning;
  level.day = state.level.day;
  level.theta.set(state.level.theta);
  level.covariance.set(state.level.covariance);
  [level.inverseSize, level.inverseSizeWeight] = state.level.inverseSize;
  [level.surprisesUp, level.surprisesDown] = state.level.surprises;
  past.count = state.past.days.length;
  past.days.set(state.past.days);
  past.thetas.set(state.past.thetas);
  past.variances.set(state.past.variances);
  completePast(past);
  Object.assign(learning.events, state.events);
  pickup.sums.set(state.pickup.sums);
  pickup.slopes.set(state.pickup.slopes);
  kept.cancelled.set(state.kept.cancelled);
  kept.noShow.set(state.kept.noShow);
  kept.walkIns.set(state.kept.walkIns);
  combination.errors.set(state.combination.errors);
  combination.spread.set(state.combination.spread);
  combination.counts.set(state.combination.counts);
  return learning;
}

/** The stored form of what was learned. */
export function sealState(learning: Learning): SeriesState {
  const { level, past, pickup, kept, combination } = learning;
  return {
    modelVersion: FORECAST_MODEL_VERSION,
    servicesLearned: learning.servicesLearned,
    firstDay: learning.firstDay,
    lastDay: learning.lastDay,
    levelSource: learning.levelSource,
    seasonBorrowed: learning.seasonBorrowed,
    level: {
      day: level.day,
      theta: listOf(level.theta),
      covariance: listOf(level.covariance),
      inverseSize: [level.inverseSize, level.inverseSizeWeight],
      surprises: [level.surprisesUp, level.surprisesDown],
    },
    past: {
      days: listOf(past.days, past.count),
      thetas: listOf(past.thetas, past.count * WIDTH),
      variances: listOf(past.variances, past.count * 7),
    },
    events: { ...learning.events },
    pickup: { sums: listOf(pickup.sums), slopes: listOf(pickup.slopes) },
    kept: {
      cancelled: listOf(kept.cancelled),
      noShow: listOf(kept.noShow),
      walkIns: listOf(kept.walkIns),
    },
    combination: {
      errors: listOf(combination.errors),
      spread: listOf(combination.spread),
      counts: listOf(combination.counts),
    },
  };
}

/** The figures as a plain list; Array.from takes twenty times as long. */
function listOf(values: Float64Array | Int32Array, count = values.length): number[] {
  const list = new Array<number>(count);
  for (let i = 0; i < count; i += 1) list[i] = values[i] ?? 0;
  return list;
}
