import type { EpochMin, OpenInterval, ServiceDate } from '../calendar/index.ts';
import { MIN_PER_HOUR } from '../calendar/index.ts';
import { cutPars, otherDishes } from './menu-remedies.ts';
import type { SitePlanInput } from './plan-input.ts';
import type { Missing, Remedy } from './remedy.ts';
import type { SitePlan, TightRun } from './plan-output.ts';
import { takersOf } from './takers.ts';

/** What a remedy does, by the plan worked out with it. */
export interface RemedyEffect {
  /** Base units still short on the service date. */
  readonly shortAfter: number;
  /** Whether a run of it that is due then is still late, moved or without time. */
  readonly tightAfter: boolean;
  /** How late the latest of them is. */
  readonly lateAfterMin: number;
  /** Shortages of anything, before and with it. */
  readonly shortagesBefore: number;
  readonly shortagesAfter: number;
}

/** How much earlier the kitchen opens, and how much later it closes. */
const OPEN_EARLIER_MIN = 2 * MIN_PER_HOUR;
const CLOSE_LATER_MIN = MIN_PER_HOUR;
const EVEN_CHANCE = 0.5;
/** Equipment to try, the first that the item's own steps use. */
const MOST_EQUIPMENT = 3;

/**
 * The remedies that make sense for a shortage: only those that change something up to when it is
 * needed. Pure; each is a whole input, to be worked out like any plan.
 */
export function remediesFor(input: SitePlanInput, missing: Missing): readonly Remedy[] {
  const remedies: Remedy[] = [];
  const { shifts } = input;
  const upTo = ({ fromMin }: OpenInterval): boolean => fromMin < missing.atMin;
  if (shifts?.some(upTo)) {
    remedies.push({
      kind: 'one-more-pair-of-hands',
      input: {
        ...input,
        shifts: shifts.map((one) => (upTo(one) ? { ...one, people: one.people + 1 } : one)),
      },
    });
  }
  const open = widened(input.open, input.nowMin, missing.atMin);
  if (open.some((one) => !input.open.includes(one))) {
    remedies.push({
      kind: 'start-earlier',
      input: {
        ...input,
        open,
        ...(shifts ? { shifts: widened(shifts, input.nowMin, missing.atMin) } : {}),
      },
    });
  }
  for (const equipmentKind of equipmentOf(input, missing.itemId).slice(0, MOST_EQUIPMENT)) {
    remedies.push({
      kind: 'borrow-equipment',
      equipmentKind,
      input: {
        ...input,
        equipment: (input.equipment ?? []).map((one) =>
          one.kind === equipmentKind ? { ...one, units: one.units + 1 } : one,
        ),
      },
    });
  }
  const takers = takersOf(input.versions, missing.itemId);
  const lowers = (serviceDate: ServiceDate, dish: { dishId: string; level: number }): boolean =>
    serviceDate <= missing.serviceDate && takers.has(dish.dishId) && dish.level > EVEN_CHANCE;
  const isLowered = input.services.some(({ serviceDate, dishes }) =>
    dishes.some((dish) => lowers(serviceDate, dish)),
  );
  if (isLowered) {
    remedies.push({
      kind: 'even-chance',
      input: {
        ...input,
        services: input.services.map((service) => ({
          ...service,
          dishes: service.dishes.map((dish) =>
            lowers(service.serviceDate, dish) ? { ...dish, level: EVEN_CHANCE } : dish,
          ),
        })),
      },
    });
  }
  return [...remedies, ...cutPars(input, missing), ...otherDishes(input, missing)];
}

/**
 * Runs of an item that people or equipment leave no room for when they are wanted.
 *
 * @param dueOn whether a run is due on the day asked about
 */
export function tightOf(
  plan: SitePlan,
  itemId: string,
  dueOn: (dueMin: EpochMin) => boolean,
): readonly TightRun[] {
  return plan.tight.filter((run) => run.itemId === itemId && dueOn(run.dueMin));
}

/** What a plan leaves short of an item on a service date, base units. */
export function shortOn(plan: SitePlan, { itemId, serviceDate }: Omit<Missing, 'atMin'>): number {
  return plan.shortages
    .filter((short) => short.itemId === itemId && short.serviceDate === serviceDate)
    .reduce((sum, { quantity }) => sum + quantity, 0);
}

/**
 * What changes from one plan to the other.
 *
 * @param dueOn as `tightOf`
 */
export function remedyEffect(
  before: SitePlan,
  after: SitePlan,
  missing: Omit<Missing, 'atMin'>,
  dueOn: (dueMin: EpochMin) => boolean = () => false,
): RemedyEffect {
  const tight = tightOf(after, missing.itemId, dueOn);
  return {
    shortAfter: shortOn(after, missing),
    tightAfter: tight.length > 0,
    lateAfterMin: Math.max(0, ...tight.map(({ lateMin }) => lateMin)),
    shortagesBefore: before.shortages.length,
    shortagesAfter: after.shortages.length,
  };
}

/**
 * Longer days up to `untilMin`, but never into the next one. A day whose earlier opening has been
 * keeps its own: what is offered must still be there to take.
 *
 * @returns ascending; days that stay as they are are the same objects
 */
function widened<T extends OpenInterval>(
  intervals: readonly T[],
  nowMin: EpochMin,
  untilMin: EpochMin,
): T[] {
  const sorted = [...intervals].sort((a, b) => a.fromMin - b.fromMin);
  return sorted.map((one, i) => {
    if (one.fromMin >= untilMin || one.toMin <= nowMin) return one;
    const before = sorted[i - 1];
    const after = sorted[i + 1];
    const earliest = Math.max(before ? before.toMin + CLOSE_LATER_MIN : -Infinity, 0);
    const latest = after ? after.fromMin - OPEN_EARLIER_MIN : Infinity;
    const wanted = Math.max(one.fromMin - OPEN_EARLIER_MIN, earliest);
    const fromMin = wanted < nowMin ? one.fromMin : Math.min(one.fromMin, wanted);
    const toMin = Math.max(one.toMin, Math.min(one.toMin + CLOSE_LATER_MIN, latest));
    return fromMin === one.fromMin && toMin === one.toMin ? one : { ...one, fromMin, toMin };
  });
}

/** Kinds on record that the item's steps use, then those of what it is made of. */
function equipmentOf(input: SitePlanInput, itemId: string): readonly string[] {
  const known = new Set((input.equipment ?? []).map(({ kind }) => kind));
  const found = new Set<string>();
  const seen = new Set<string>();
  const visit = (id: string): void => {
    if (seen.has(id)) return;
    seen.add(id);
    const versions = input.versions.filter((version) => version.itemId === id);
    for (const { steps } of versions) {
      for (const { equipment } of steps) {
        for (const { kind } of equipment === undefined ? [] : [equipment].flat()) {
          if (known.has(kind)) found.add(kind);
        }
      }
    }
    for (const { recipe } of versions) for (const line of recipe.lines) visit(line.itemId);
  };
  visit(itemId);
  return [...found];
}
