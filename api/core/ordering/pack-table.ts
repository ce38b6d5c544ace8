import type { NeedGroup, PackLot, PackNetwork } from './pack-network.ts';
import { packsToHold, priceTiers } from './pack-price.ts';
import { keepingPerPack, keptOfNeeds } from './plan-value.ts';

/** The table is only used while it stays this small; larger cases go to branch and cut. */
const MOST_STEPS = 4_000_000;
/** Pack contents are whole multiples of a thousandth of the base unit, or the table is not used. */
const STEPS_PER_BASE = 1000;

export interface TableChoice {
  readonly packs: ReadonlyMap<number, number>;
  /** Proven least objective of the part. */
  readonly objective: number;
}

function greatestCommonDivisor(a: number, b: number): number {
  return b === 0 ? a : greatestCommonDivisor(b, a % b);
}

interface TableOption {
  readonly lot: PackLot;
  /** Content of a pack in table steps. */
  readonly steps: number;
  readonly mostPacks: number;
  /** Cost of n packs with the price break reached and the cost of keeping; Infinity if not sold. */
  readonly costs: readonly number[];
}

/**
 * Least-cost packs for one ingredient at one site when no order minimum, charge or trip ties it to
 * others and every lot can serve every need: a knapsack that must be filled, solved to the optimum
 * by a table over the quantity bought (Bellman's recursion), with price breaks and the worth of
 * what is used in date after the horizon.
 *
 * @returns null when the case is not of this kind, is too large for the table or cannot be covered
 * Source: Kellerer, Pferschy & Pisinger, Knapsack Problems (2004), min-cost covering form (from
 * memory); equal to exhaustive search and to branch and cut in the tests.
 */
export function choosePacksByTable(
  network: PackNetwork,
  groups: readonly NeedGroup[],
): TableChoice | null {
  const group = groups[0];
  if (!group || groups.length > 1 || !isOneKnapsack(network, group)) return null;
  const needBase = group.needs.reduce((sum, need) => sum + need.quantityBase, 0);
  const lastDay = group.lots[0]?.lastDay ?? Infinity;
  const daysAfter = Number.isFinite(lastDay) ? Math.max(0, lastDay - network.endDay) : 0;
  const laterBase = (group.laterPerDayBase ?? 0) * daysAfter;

  const contents = group.lots.map((lot) => lot.offer.quantityBase * STEPS_PER_BASE);
  if (contents.some((c) => Math.abs(c - Math.round(c)) > 1e-6)) return null;
  const divisor = contents.map(Math.round).reduce(greatestCommonDivisor, 0);
  const stepBase = divisor / STEPS_PER_BASE;
  const options = group.lots.map((lot) =>
    optionOf(network, lot, { needBase, laterBase, stepBase }),
  );
  const mostSteps = options.reduce((sum, o) => Math.max(sum, o.steps * o.mostPacks), 0);
  const limit = mostSteps + Math.max(0, ...options.map((o) => o.steps));
  const work = options.reduce((sum, o) => sum + (o.mostPacks + 1) * (limit + 1), 0);
  if (work > MOST_STEPS) return null;

  // least[j]: least cost of buying exactly j steps; taken[i][j]: packs of option i in that plan.
  let least = new Float64Array(limit + 1).fill(Infinity);
  least[0] = 0;
  const taken: Uint32Array[] = [];
  for (const option of options) {
    const next = new Float64Array(limit + 1).fill(Infinity);
    const packs = new Uint32Array(limit + 1);
    for (let bought = 0; bought <= limit; bought += 1) {
      const most = Math.min(option.mostPacks, Math.floor(bought / option.steps));
      for (let n = 0; n <= most; n += 1) {
        const cost = (least[bought - n * option.steps] ?? Infinity) + (option.costs[n] ?? Infinity);
        if (cost < (next[bought] ?? Infinity)) {
          next[bought] = cost;
          packs[bought] = n;
        }
      }
    }
    least = next;
    taken.push(packs);
  }
  const unit = network.unitPrice.get(group.ingredientId)?.toNumber() ?? 0;
  const worth = unit * network.leftoverValueFraction;
  let best = -1;
  let objective = Infinity;
  for (let bought = packsToHold(needBase, stepBase); bought <= limit; bought += 1) {
    const surplusBase = Math.max(0, bought * stepBase - needBase);
    const value = (least[bought] ?? Infinity) - worth * Math.min(surplusBase, laterBase);
    if (value < objective - 1e-12) {
      objective = value;
      best = bought;
    }
  }
  if (best < 0) return null;
  const packs = new Map<number, number>();
  for (const [i, option] of [...options.entries()].reverse()) {
    const n = taken[i]?.[best] ?? 0;
    if (n > 0) packs.set(option.lot.index, n);
    best -= n * option.steps;
  }
  return { packs, objective: objective - keptOfNeeds(network, groups) };
}

function isOneKnapsack(network: PackNetwork, group: NeedGroup): boolean {
  const firstNeed = group.needs[0]?.day ?? 0;
  const lastNeed = group.needs.at(-1)?.day ?? 0;
  const lastDays = new Set(group.lots.map((lot) => lot.lastDay));
  const noLaterUse = (group.laterPerDayBase ?? 0) === 0 || network.leftoverValueFraction === 0;
  return (
    group.carried.length === 0 &&
    group.lots.length > 0 &&
    (lastDays.size === 1 || noLaterUse) &&
    group.lots.every(
      (lot) =>
        lot.usableDay <= firstNeed &&
        lot.lastDay >= lastNeed &&
        network.slots[lot.slotIndex]?.coupling === false,
    )
  );
}

function optionOf(
  network: PackNetwork,
  lot: PackLot,
  given: { needBase: number; laterBase: number; stepBase: number },
): TableOption {
  const { offer } = lot;
  const steps = Math.round(offer.quantityBase / given.stepBase);
  const tiers = priceTiers(offer);
  const enough = packsToHold(given.needBase + given.laterBase, offer.quantityBase);
  const mostPacks = Math.min(
    Math.max(enough, tiers.at(-1)?.fromPacks ?? 1),
    offer.maxPacks ?? Infinity,
  );
  const keep = keepingPerPack(network, lot);
  const costs = Array.from({ length: mostPacks + 1 }, (_, n) => {
    if (n === 0) return 0;
    const tier = tiers.find((t) => t.fromPacks <= n && n <= t.toPacks);
    return tier ? n * (tier.price.toNumber() + keep) : Infinity;
  });
  return { lot, steps, mostPacks, costs };
}
