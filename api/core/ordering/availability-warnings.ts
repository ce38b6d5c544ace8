import { daysBetween } from '../calendar/index.ts';
import type { ServiceDate } from '../calendar/index.ts';
import { ok, type Result } from '../shared/result.ts';
import { availabilityFor } from './season.ts';
import type { Availability, AvailabilityState } from './season.ts';

/** A dish of a service that needs the ingredient on a date, directly or through its components. */
export interface DishUse {
  readonly ingredientId: string;
  readonly siteId: string;
  readonly date: ServiceDate;
  readonly serviceId: string;
  readonly dishId: string;
  /** Expected guests of the service; null where nobody can say yet. */
  readonly covers: number | null;
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
    readonly sittings: readonly {
      readonly date: ServiceDate;
      readonly serviceId: string;
      readonly covers: number | null;
    }[];
  }[];
  /** Guests of all services concerned, each service once; null where none is known. */
  readonly covers: number | null;
}

/**
 * Warns before the menu date: every ingredient and reason once, with the dishes, sites, services and
 * covers concerned from today on, the soonest first. Ingredients of which nothing is said are taken
 * as available, and so are those that can be bought earlier and keep until then.
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
    const state = availabilityFor(availability, use.date, today);
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
    { dishId: string; siteId: string; sittings: Map<string, DishUse> }
  >();
  const sittings = new Map<string, number | null>();
  for (const use of uses) {
    const key = JSON.stringify([use.dishId, use.siteId]);
    const { dishId, siteId } = use;
    const dish = dishes.get(key) ?? { dishId, siteId, sittings: new Map<string, DishUse>() };
    const sitting = JSON.stringify([use.date, use.serviceId]);
    dish.sittings.set(sitting, use);
    dishes.set(key, dish);
    sittings.set(JSON.stringify([siteId, sitting]), use.covers);
  }
  const counted = [...sittings.values()].filter((covers) => covers !== null);
  return {
    ingredientId: uses[0]?.ingredientId ?? '',
    state,
    firstDate,
    lastDate: dates.at(-1) ?? firstDate,
    daysAhead: daysBetween(today, firstDate),
    dishes: [...dishes.values()].map(({ dishId, siteId, sittings: own }) => ({
      dishId,
      siteId,
      sittings: [...own.values()]
        .map(({ date, serviceId, covers }) => ({ date, serviceId, covers }))
        .sort((a, b) => a.date.localeCompare(b.date) || a.serviceId.localeCompare(b.serviceId)),
    })),
    covers: counted.length === 0 ? null : counted.reduce((sum, covers) => sum + covers, 0),
  };
}
