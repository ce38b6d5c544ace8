import { daysBetween, monthOf } from '../calendar/index.ts';
import type { ServiceDate } from '../calendar/index.ts';
import { Decimal } from '../money/index.ts';
import { coreError } from '../shared/errors.ts';
import { err, ok, type Result } from '../shared/result.ts';

/** When an ingredient can be had. Unsaid means: at any time. */
export interface Availability {
  readonly ingredientId: string;
  /** Months in which it is in season, 1 January … 12 December. */
  readonly months?: readonly number[];
  /** Not to be bought from this date on. */
  readonly withdrawnFrom?: ServiceDate;
  /** Stretches in which suppliers have none; without an end: until further notice. */
  readonly outOfStock?: readonly {
    readonly fromDate: ServiceDate;
    readonly toDate?: ServiceDate;
  }[];
}

export type AvailabilityState = 'available' | 'out-of-season' | 'withdrawn' | 'out-of-stock';

/**
 * Whether an ingredient can be had on a date; of several reasons the most final is told.
 * Error `out-of-range` for a month that is none.
 */
export function availabilityOn(
  availability: Availability,
  date: ServiceDate,
): Result<AvailabilityState> {
  const { months, withdrawnFrom, outOfStock = [] } = availability;
  if (months?.some((month) => !Number.isInteger(month) || month < 1 || month > 12)) {
    return err(
      coreError('out-of-range', 'Months are numbers from 1 to 12.', {
        path: ['months'],
        detail: { months, ingredientId: availability.ingredientId },
      }),
    );
  }
  if (withdrawnFrom !== undefined && date >= withdrawnFrom) return ok('withdrawn');
  const missing = outOfStock.some((s) => s.fromDate <= date && date <= (s.toDate ?? '9999-12-31'));
  if (missing) return ok('out-of-stock');
  return ok(months && !months.includes(monthOf(date)) ? 'out-of-season' : 'available');
}

/** A dish on a menu that needs the ingredient on a date, directly or through its components. */
export interface DishUse {
  readonly ingredientId: string;
  readonly siteId: string;
  readonly date: ServiceDate;
  readonly dishId: string;
  readonly covers: number;
}

/** An ingredient that a menu counts on and that cannot be had: who and what it concerns. */
export interface AvailabilityWarning {
  readonly ingredientId: string;
  readonly state: Exclude<AvailabilityState, 'available'>;
  readonly firstDate: ServiceDate;
  readonly lastDate: ServiceDate;
  /** Days from today to the first date concerned. */
  readonly daysAhead: number;
  readonly dishes: readonly {
    readonly dishId: string;
    readonly siteId: string;
    readonly dates: readonly ServiceDate[];
    readonly covers: number;
  }[];
  readonly covers: number;
}

/**
 * Warns before the menu date: every ingredient and reason once, with the dishes, sites, dates and
 * covers concerned from today on, the soonest first. Ingredients of which nothing is said are taken
 * as available.
 *
 * Errors: as availabilityOn.
 */
export function availabilityWarnings(
  availabilities: readonly Availability[],
  uses: readonly DishUse[],
  today: ServiceDate,
): Result<AvailabilityWarning[]> {
  const known = new Map(availabilities.map((a) => [a.ingredientId, a]));
  const concerned = new Map<string, { state: AvailabilityWarning['state']; uses: DishUse[] }>();
  for (const use of uses) {
    const availability = known.get(use.ingredientId);
    if (!availability || use.date < today) continue;
    const state = availabilityOn(availability, use.date);
    if (!state.ok) return state;
    if (state.value === 'available') continue;
    const key = JSON.stringify([use.ingredientId, state.value]);
    const entry = concerned.get(key) ?? { state: state.value, uses: [] };
    entry.uses.push(use);
    concerned.set(key, entry);
  }
  const warnings = [...concerned.values()].map(({ state, uses: own }) =>
    warningOf(state, own, today),
  );
  return ok(
    warnings.sort(
      (a, b) =>
        a.firstDate.localeCompare(b.firstDate) || a.ingredientId.localeCompare(b.ingredientId),
    ),
  );
}

function warningOf(
  state: AvailabilityWarning['state'],
  uses: readonly DishUse[],
  today: ServiceDate,
): AvailabilityWarning {
  const dates = uses.map((use) => use.date).sort();
  const firstDate = dates[0] ?? today;
  const dishes = new Map<
    string,
    { dishId: string; siteId: string; dates: string[]; covers: number }
  >();
  for (const { dishId, siteId, date, covers } of uses) {
    const key = JSON.stringify([dishId, siteId]);
    const dish = dishes.get(key) ?? { dishId, siteId, dates: [], covers: 0 };
    if (!dish.dates.includes(date)) dish.dates.push(date);
    dish.dates.sort();
    dish.covers += covers;
    dishes.set(key, dish);
  }
  return {
    ingredientId: uses[0]?.ingredientId ?? '',
    state,
    firstDate,
    lastDate: dates.at(-1) ?? firstDate,
    daysAhead: daysBetween(today, firstDate),
    dishes: [...dishes.values()],
    covers: uses.reduce((sum, use) => sum + use.covers, 0),
  };
}

/** An ingredient as a stand-in is judged: per base unit as purchased. */
export interface SubstituteProfile {
  readonly ingredientId: string;
  /** Decimal text per base unit; null when no price is known. */
  readonly pricePerBase: string | null;
  /** Fraction kept after trim and cooking, above 0 to 1. */
  readonly yieldFraction: number;
  /** Allergens contained or possibly contained; null when not declared. */
  readonly allergens: readonly string[] | null;
  /** Prepared base units that stand in for one of the original; 1 when left out. */
  readonly ratio?: number;
  readonly available?: boolean;
}

export interface RankedSubstitute {
  readonly ingredientId: string;
  readonly quantityBase: number;
  /** Against buying the original; null when a price is not known. */
  readonly costChange: string | null;
  readonly yieldChange: number;
  /** `not-declared` when either side is: nobody may call that the same. */
  readonly allergenChange: 'none' | 'fewer' | 'more' | 'not-declared';
  readonly allergensAdded: readonly string[];
  readonly allergensRemoved: readonly string[];
}

/** Shown wherever a substitute is offered. */
export const SUBSTITUTE_NOTICE =
  'Check the label of the substitute and tell the floor before it is served. Declarations here may be out of date; local rules decide.';

/**
 * Stand-ins for an ingredient that cannot be had, best first: those that bring no allergen in, then
 * those that bring one, then those not declared; within each the cheapest, unknown prices last.
 * Unavailable ones are left out.
 *
 * @param quantityBase as-purchased quantity of the original, base unit
 * Errors: `out-of-range` for yields outside 0 to 1, ratios or quantities not above zero.
 */
export function rankSubstitutes(
  original: SubstituteProfile,
  candidates: readonly SubstituteProfile[],
  quantityBase: number,
): Result<RankedSubstitute[]> {
  const odd = [original, ...candidates].find(
    (p) => !(p.yieldFraction > 0 && p.yieldFraction <= 1) || !((p.ratio ?? 1) > 0),
  );
  if (odd || !(quantityBase > 0)) {
    return err(
      coreError('out-of-range', 'Yields lie above 0 up to 1; ratios and quantities above 0.', {
        detail: { ingredientId: odd?.ingredientId ?? original.ingredientId, quantityBase },
      }),
    );
  }
  const preparedBase = quantityBase * original.yieldFraction;
  const costOf = (profile: SubstituteProfile, quantity: number): Decimal | null =>
    profile.pricePerBase === null ? null : new Decimal(profile.pricePerBase).times(quantity);
  const before = costOf(original, quantityBase);
  const ranked = candidates
    .filter((candidate) => candidate.available !== false)
    .map((candidate): RankedSubstitute => {
      const needed = (preparedBase * (candidate.ratio ?? 1)) / candidate.yieldFraction;
      const cost = costOf(candidate, needed);
      return {
        ingredientId: candidate.ingredientId,
        quantityBase: needed,
        costChange: before && cost ? cost.minus(before).toString() : null,
        yieldChange: candidate.yieldFraction - original.yieldFraction,
        ...allergenChange(original.allergens, candidate.allergens),
      };
    });
  const order = { none: 0, fewer: 0, more: 1, 'not-declared': 2 } as const;
  const costRank = (s: RankedSubstitute): number =>
    s.costChange === null ? Infinity : Number(s.costChange);
  return ok(
    ranked.sort(
      (a, b) =>
        order[a.allergenChange] - order[b.allergenChange] ||
        (costRank(a) === costRank(b) ? 0 : costRank(a) - costRank(b)) ||
        a.ingredientId.localeCompare(b.ingredientId),
    ),
  );
}

function allergenChange(
  before: readonly string[] | null,
  after: readonly string[] | null,
): Pick<RankedSubstitute, 'allergenChange' | 'allergensAdded' | 'allergensRemoved'> {
  if (before === null || after === null) {
    return { allergenChange: 'not-declared', allergensAdded: after ?? [], allergensRemoved: [] };
  }
  const added = after.filter((allergen) => !before.includes(allergen));
  const removed = before.filter((allergen) => !after.includes(allergen));
  const change = added.length > 0 ? 'more' : removed.length > 0 ? 'fewer' : 'none';
  return { allergenChange: change, allergensAdded: added, allergensRemoved: removed };
}
