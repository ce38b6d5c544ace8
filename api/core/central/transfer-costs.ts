import { stockCosts } from '../planning/component-runs.ts';
import { MIN_PER_DAY } from '../calendar/index.ts';
import type { EpochMin } from '../calendar/index.ts';
import type { CarriedGoods } from './transfer-problem.ts';

/**
 * What carrying weighs, in minutes of work like the rest of a plan: a trip its loading, the papers and
 * the unloading; each of the goods on it its packing, temperature and lots, at both ends. Common
 * practice, no source.
 */
export const TRANSFER_COSTS = { perTripMin: 15, perGoodsMin: 6 } as const;

/** Cost of keeping one base unit a day, and of carrying one that no need asks for. Minutes. */
export function keepingCosts(goods: Pick<CarriedGoods, 'batchQuantity'>): {
  readonly perUnitDay: number;
  readonly perUnitSurplus: number;
} {
  const costs = stockCosts(goods.batchQuantity);
  return {
    perUnitDay: costs.holdingPerUnitPerDay + costs.agePenalty,
    perUnitSurplus: costs.endSurplusPerUnit ?? 0,
  };
}

/** What stands fixed of a plan: containers by goods and trip, and what is served of each need. */
export interface CarriedFigures {
  readonly tripsUsed: number;
  readonly loads: readonly {
    readonly goods: CarriedGoods;
    readonly leaveMin: EpochMin;
    readonly quantity: number;
  }[];
  readonly served: readonly {
    readonly goods: CarriedGoods;
    readonly atMin: EpochMin;
    readonly quantity: number;
  }[];
  /** The last need of all: until then what is not eaten waits. */
  readonly endMin: EpochMin;
}

/**
 * Minutes of work: trips, goods on them, every unit's days from leaving until it is eaten (what
 * nobody eats waits to the end), and what is carried beyond the needs. Whichever of two lots is eaten
 * first, the sum is the same.
 */
export function costOfCarrying({ tripsUsed, loads, served, endMin }: CarriedFigures): number {
  const days = (from: EpochMin): number => (endMin - from) / MIN_PER_DAY;
  let cost = tripsUsed * TRANSFER_COSTS.perTripMin;
  for (const { goods, leaveMin, quantity } of loads) {
    const { perUnitDay, perUnitSurplus } = keepingCosts(goods);
    cost += TRANSFER_COSTS.perGoodsMin + quantity * (perUnitDay * days(leaveMin) + perUnitSurplus);
  }
  for (const { goods, atMin, quantity } of served) {
    const { perUnitDay, perUnitSurplus } = keepingCosts(goods);
    cost -= quantity * (perUnitDay * days(atMin) + perUnitSurplus);
  }
  return cost;
}
