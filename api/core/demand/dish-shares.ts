import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';
import { coreError } from '../shared/errors.ts';
import { expectedWhenSoldOut } from './censored-count.ts';
import type { CourseService } from './course-choice.ts';
import { courseParts } from './course-choice.ts';
import type {
  DishShare,
  DishSharesInput,
  ServiceSales,
  ShareEstimate,
  StatedShare,
} from './share-input.ts';

const DEFAULT_FORGETTING = 0.98;
const DEFAULT_WEEKDAY_STRENGTH = 150;
/** Day-to-day variation of a share assumed until sales show it, and what it is worth in services. */
const ASSUMED_DAY_VARIATION = 0.03;
const ASSUMED_SERVICES = 8;
const SOLD_OUT_ROUNDS = 60;
const SETTLED = 1e-9;

interface WeightedSales extends ServiceSales {
  readonly weight: number;
  readonly soldOutSet: ReadonlySet<string>;
}

/**
 * Learns the share of each dish (portions per cover) of one site and service from stated shares
 * and sales.
 *
 * Gamma–Poisson for how many portions of a course a cover takes, Dirichlet–multinomial for how
 * they fall on its dishes, with exponential forgetting (West & Harrison, Bayesian Forecasting and
 * Dynamic Models: discounting; from memory). Portions of a dish that ran out are replaced by what
 * was expected given at least that many (EM), so a sold-out day never lowers a share. A dish that
 * is new keeps its stated share until it sells. Each weekday starts from the share of all days.
 *
 * Shares need not add up to 1. Errors: `out-of-range` with the path of the offending value,
 * `missing-data` when a course has neither stated shares nor sales.
 */
export function dishShares(input: DishSharesInput): Result<readonly DishShare[]> {
  const fault = faultOf(input);
  if (fault !== undefined) return err(fault);
  const forgetting = input.forgetting ?? DEFAULT_FORGETTING;
  const dated = [...input.sales].sort((a, b) => (a.serviceDate < b.serviceDate ? -1 : 1));
  const sales = dated.map((s, i) => ({
    ...s,
    weight: forgetting ** (dated.length - 1 - i),
    soldOutSet: new Set(s.soldOut ?? []),
  }));
  const courses = new Map<string, StatedShare[]>();
  for (const dish of input.prior) {
    const key = dish.course === undefined ? `dish ${dish.dishId}` : `course ${dish.course}`;
    courses.set(key, [...(courses.get(key) ?? []), dish]);
  }
  const strength = input.weekdayStrength ?? DEFAULT_WEEKDAY_STRENGTH;
  const learned = new Map<string, DishShare>();
  for (const dishes of courses.values()) {
    for (const share of learnCourse(dishes, sales, strength)) learned.set(share.dishId, share);
  }
  return ok(input.prior.map((dish) => learned.get(dish.dishId) as DishShare));
}

function learnCourse(
  dishes: readonly StatedShare[],
  sales: readonly WeightedSales[],
  weekdayStrength: number,
): DishShare[] {
  const held = sales.filter((s) => dishes.some((d) => s.portions[d.dishId] !== undefined));
  const prior = dishes.map((d) => d.share * d.strength);
  const strength = dishes.reduce((a, d) => a + d.strength, 0) / dishes.length;
  const priorPortions = dishes.reduce((a, d) => a + d.share, 0) * strength;
  // Portions as they would have been; sold-out ones start at what was sold and are raised.
  const filled = held.map((s) => dishes.map((d) => s.portions[d.dishId]));
  let parts: number[] = [];
  let takeUp = 0;
  let variation = dishes.map(() => ASSUMED_DAY_VARIATION);
  const anySoldOut = held.some((s) => dishes.some((d) => s.soldOutSet.has(d.dishId)));
  for (let round = 0; round < (anySoldOut ? SOLD_OUT_ROUNDS : 2); round += 1) {
    const services = held.map((s, i) => asCourseService(filled[i] ?? [], s.weight));
    parts = courseParts(prior, services);
    const portions = held.reduce((a, s, i) => a + s.weight * total(filled[i] ?? []), priorPortions);
    const covers = held.reduce((a, s) => a + s.weight * s.covers, strength);
    takeUp = covers > 0 ? portions / covers : 0;
    variation = dishes.map((_, d) => dayVariation(d, held, filled, parts, takeUp, dishes));
    const moved = fillSoldOut(filled, held, dishes, parts, takeUp, variation);
    if (round > 0 && moved < SETTLED) break;
  }
  const reach = held.map((s) =>
    dishes.reduce((a, d, i) => a + (s.portions[d.dishId] === undefined ? 0 : (parts[i] ?? 0)), 0),
  );
  return dishes.map((dish, d) => {
    const mean = takeUp * (parts[d] ?? 0);
    const on = held.flatMap((s, i) => (s.portions[dish.dishId] === undefined ? [] : [i]));
    const coversSeen = on.reduce((a, i) => a + weightOf(held, i) * coversOf(held, i), 0);
    const byWeekday = {} as Record<1 | 2 | 3 | 4 | 5 | 6 | 7, ShareEstimate>;
    for (const weekday of [1, 2, 3, 4, 5, 6, 7] as const) {
      let portions = mean * weekdayStrength;
      let covers = weekdayStrength;
      for (const i of on) {
        if (held[i]?.weekday !== weekday) continue;
        // With all dishes offered, this one would have had the part that the others leave it.
        portions += weightOf(held, i) * (filled[i]?.[d] ?? 0) * (reach[i] ?? 1);
        covers += weightOf(held, i) * coversOf(held, i);
      }
      byWeekday[weekday] = {
        mean: portions / covers,
        strength: covers - weekdayStrength + Math.min(weekdayStrength, dish.strength + coversSeen),
      };
    }
    const statedFactor = dish.strength / (dish.strength + coversSeen);
    return {
      dishId: dish.dishId,
      mean,
      strength: dish.strength + coversSeen,
      dayVariation: variation[d] ?? ASSUMED_DAY_VARIATION,
      byWeekday,
      servicesSeen: on.length,
      servicesSoldOut: on.filter((i) => held[i]?.soldOutSet.has(dish.dishId)).length,
      terms: shareTerms(mean, dish.share, statedFactor),
    };
  });
}

/** The mean as what was stated and what sales showed; unsold dishes only make room in their course. */
function shareTerms(mean: number, stated: number, statedFactor: number): DishShare['terms'] {
  const first = { label: 'stated share', value: stated, factor: statedFactor };
  if (statedFactor < 1) {
    const shown = (mean - statedFactor * stated) / (1 - statedFactor);
    return [first, { label: 'share shown by sales', value: shown, factor: 1 - statedFactor }];
  }
  return mean === stated
    ? [first]
    : [first, { label: 'room shared within its course', value: mean - stated, factor: 1 }];
}

function asCourseService(row: readonly (number | undefined)[], weight: number): CourseService {
  const offered: number[] = [];
  const portions: number[] = [];
  row.forEach((n, dish) => {
    if (n === undefined) return;
    offered.push(dish);
    portions.push(n);
  });
  return { offered, portions, weight };
}

const total = (row: readonly (number | undefined)[]): number =>
  row.reduce<number>((a, n) => a + (n ?? 0), 0);
const weightOf = (held: readonly WeightedSales[], i: number): number => held[i]?.weight ?? 0;
const coversOf = (held: readonly WeightedSales[], i: number): number => held[i]?.covers ?? 0;

/** Portions expected of dish `d` at a service, given the dishes that were offered. */
function expectedPortions(
  service: WeightedSales,
  d: number,
  parts: readonly number[],
  takeUp: number,
  dishes: readonly StatedShare[],
): number {
  const reach = dishes.reduce(
    (a, dish, i) => a + (service.portions[dish.dishId] === undefined ? 0 : (parts[i] ?? 0)),
    0,
  );
  return reach > 0 ? (service.covers * takeUp * (parts[d] ?? 0)) / reach : 0;
}

/** Moment estimate of the relative variance of a share beyond chance, from days it did not run out. */
function dayVariation(
  d: number,
  held: readonly WeightedSales[],
  filled: readonly (readonly (number | undefined)[])[],
  parts: readonly number[],
  takeUp: number,
  dishes: readonly StatedShare[],
): number {
  let excess = 0;
  let weight = 0;
  let squares = 0;
  held.forEach((service, i) => {
    const n = filled[i]?.[d];
    if (n === undefined || service.soldOutSet.has(dishes[d]?.dishId ?? '')) return;
    const mean = expectedPortions(service, d, parts, takeUp, dishes);
    excess += service.weight * ((n - mean) ** 2 - mean);
    squares += service.weight * mean * mean;
    weight += service.weight;
  });
  if (!(squares > 0)) return ASSUMED_DAY_VARIATION;
  const prior = (ASSUMED_SERVICES * squares) / weight;
  return Math.max(0, (excess + ASSUMED_DAY_VARIATION * prior) / (squares + prior));
}

/** Raises the portions of sold-out dishes to what is expected; gives the largest move. */
function fillSoldOut(
  filled: (number | undefined)[][],
  held: readonly WeightedSales[],
  dishes: readonly StatedShare[],
  parts: readonly number[],
  takeUp: number,
  variation: readonly number[],
): number {
  let moved = 0;
  held.forEach((service, i) => {
    dishes.forEach((dish, d) => {
      const sold = service.portions[dish.dishId];
      if (sold === undefined || !service.soldOutSet.has(dish.dishId)) return;
      const mean = expectedPortions(service, d, parts, takeUp, dishes);
      const demand = expectedWhenSoldOut(mean, variation[d] ?? 0, sold);
      const row = filled[i];
      if (row === undefined) return;
      moved = Math.max(moved, Math.abs(demand - (row[d] ?? 0)));
      row[d] = demand;
    });
  });
  return moved;
}

function faultOf(input: DishSharesInput) {
  const refuse = (message: string, path: (string | number)[], value: unknown) =>
    coreError('out-of-range', message, { path, detail: { value } });
  const { forgetting, weekdayStrength } = input;
  if (forgetting !== undefined && !(forgetting > 0 && forgetting <= 1)) {
    return refuse('Forgetting lies above 0 and is at most 1.', ['forgetting'], forgetting);
  }
  if (weekdayStrength !== undefined && !(weekdayStrength > 0)) {
    return refuse("A weekday's strength is above 0.", ['weekdayStrength'], weekdayStrength);
  }
  const seen = new Set<string>();
  for (const [i, dish] of input.prior.entries()) {
    if (!(dish.share >= 0 && Number.isFinite(dish.share))) {
      return refuse('A share is at least 0.', ['prior', i, 'share'], dish.share);
    }
    if (!(dish.strength > 0 && Number.isFinite(dish.strength))) {
      return refuse(
        'The strength of a stated share is above 0.',
        ['prior', i, 'strength'],
        dish.strength,
      );
    }
    if (seen.has(dish.dishId)) {
      return refuse('A dish is stated once.', ['prior', i, 'dishId'], dish.dishId);
    }
    seen.add(dish.dishId);
  }
  for (const [i, day] of input.sales.entries()) {
    if (!(Number.isInteger(day.covers) && day.covers >= 0)) {
      return refuse('Covers are a whole number.', ['sales', i, 'covers'], day.covers);
    }
    for (const [dishId, n] of Object.entries(day.portions)) {
      if (!(Number.isInteger(n) && n >= 0)) {
        return refuse('Portions sold are a whole number.', ['sales', i, 'portions', dishId], n);
      }
    }
  }
  return undefined;
}
