import { addDays } from '../../core/calendar/index.ts';
import { explode } from '../../core/explosion/index.ts';
import type { CountDistribution } from '../../core/distributions/index.ts';
import { countFromMoments, pointCount, varianceOf } from '../../core/distributions/index.ts';
import { weekdayOf } from '../../core/calendar/index.ts';
import { coversOf, type ParBasis, type ParSitting } from './par-basis.ts';

/** Sittings whose demand leftovers may still meet. */
const MOST_LATER = 14;

/** What one portion of a dish takes of the item: 1 of a dish itself, base units of a component. */
export interface ItemUse {
  readonly dishId: string;
  readonly perPortion: number;
}

/** The dishes that use an item, directly or through other components, and how much of it. */
export function usesOf(basis: ParBasis, itemId: string): readonly ItemUse[] {
  const { graph } = basis.kitchen;
  const dishIds = new Set(basis.sittings.flatMap((s) => s.dishes.map((d) => d.line.dishId)));
  return [...dishIds].sort().flatMap((dishId) => {
    if (dishId === itemId) return [{ dishId, perPortion: 1 }];
    if (!graph.recipes.has(dishId)) return [];
    const needs = explode(graph, [{ itemId: dishId, quantity: 1 }]);
    const perPortion = needs.ok ? (needs.value.get(itemId) ?? 0) : 0;
    return perPortion > 0 ? [{ dishId, perPortion }] : [];
  });
}

/** The demand for an item at one sitting, in portions of `portionSize`. */
export interface SittingDemand {
  readonly sitting: ParSitting;
  readonly distribution: CountDistribution;
}

/** The demand that a par must meet until more can be ready, and the demand after it. */
export interface ParDemand {
  /** Base units in one portion of the demand: 1 of a dish. */
  readonly portionSize: number;
  readonly window: readonly SittingDemand[];
  /** Sittings after the window at which what is left over is still in date. */
  readonly later: readonly SittingDemand[];
  readonly lastDate: string;
  readonly uses: readonly ItemUse[];
}

/**
 * The demand for a dish or component over review plus lead days from today, sitting by sitting, and
 * over the time after that in which leftovers are in date.
 *
 * Several dishes may take different amounts of one component: its demand is then counted in portions
 * of the mean size, with the variance of the sum (the covers they share, the orders, and what is not
 * known of each share; law of total variance). Null where nothing on the menu uses it in that time.
 */
export function parDemand(
  basis: ParBasis,
  itemId: string,
  days: number,
  keepsMin: number,
): ParDemand | null {
  const uses = usesOf(basis, itemId);
  const lastDate = addDays(basis.today, days - 1);
  const using = basis.sittings.filter((s) => usedAt(s, uses).length > 0);
  const within = using.filter((s) => s.serviceDate <= lastDate);
  const first = within[0];
  if (first === undefined) return null;
  const inDateTo = first.startMs + keepsMin * 60_000;
  const after = using.filter((s) => s.serviceDate > lastDate && s.startMs <= inDateTo);
  const portionSize = meanSize(within, uses);
  if (portionSize === null) return null;
  const demandOf = (sitting: ParSitting): SittingDemand => ({
    sitting,
    distribution: sittingDemand(basis, sitting, uses, portionSize),
  });
  return {
    portionSize,
    window: within.map(demandOf),
    later: after.slice(0, MOST_LATER).map(demandOf),
    lastDate,
    uses,
  };
}

function meanSize(sittings: readonly ParSitting[], uses: readonly ItemUse[]): number | null {
  let [amount, portions] = [0, 0];
  for (const { mean, perPortion } of sittings.flatMap((s) => usedAt(s, uses))) {
    amount += perPortion * mean;
    portions += mean;
  }
  return portions > 0 ? amount / portions : null;
}

function usedAt(sitting: ParSitting, uses: readonly ItemUse[]) {
  return sitting.dishes.flatMap((dish) => {
    const use = uses.find((one) => one.dishId === dish.line.dishId);
    if (!use) return [];
    const own = dish.share.byWeekday[weekdayOf(sitting.serviceDate)];
    const mean = coversOf(sitting).mean * own.mean;
    return [{ dish, share: own, mean, perPortion: use.perPortion }];
  });
}

function sittingDemand(
  basis: ParBasis,
  sitting: ParSitting,
  uses: readonly ItemUse[],
  portionSize: number,
): CountDistribution {
  const used = usedAt(sitting, uses);
  const [only] = used;
  if (only === undefined) return pointCount(0);
  if (used.length === 1 && Math.abs(only.perPortion - portionSize) < 1e-9 * portionSize) {
    return basis.portions(sitting, only.dish).distribution;
  }
  const covers = coversOf(sitting);
  let [mean, perCover, orders, unsure] = [0, 0, 0, 0];
  for (const { dish, share, mean: portions, perPortion } of used) {
    const size = perPortion / portionSize;
    mean += size * portions;
    perCover += size * share.mean;
    orders += size * size * portions;
    const relative =
      share.mean > 0 ? 1 / (share.strength * share.mean) + dish.share.dayVariation : 0;
    unsure += size * size * portions * portions * relative;
  }
  return countFromMoments(
    mean,
    perCover * perCover * varianceOf(covers.distribution) + orders + unsure,
  );
}

/** Minutes that what is left over of a dish or component keeps: a dish as long as its shortest-lived part. */
export function keepsMinutes(basis: ParBasis, itemId: string): number {
  const { inForce, graph } = basis.kitchen;
  const version = inForce.get(itemId);
  if (!version) return 0;
  if (graph.items.get(itemId)?.kind !== 'dish') return version.shelfLifeMin;
  const parts = version.lines.flatMap((line) =>
    line.componentId === null ? [] : (inForce.get(line.componentId)?.shelfLifeMin ?? []),
  );
  return parts.length === 0 ? version.shelfLifeMin : Math.min(...parts);
}
