import { Decimal } from '../money/index.ts';
import type { NeedGroup, PackLot, PackNetwork } from './pack-network.ts';
import { servesOn } from './pack-network.ts';
import { packsToHold, priceTiers } from './pack-price.ts';

/** How many packs of a lot a least-cost plan could hold. */
export interface PackLimits {
  /** Enough for every need it can serve and for the use after the horizon, or for a price break. */
  readonly useful: number;
  /** On top of that: packs that only help an order to reach its minimum, and are wasted. */
  readonly filler: number;
}

/**
 * The most packs of each lot that any least-cost plan could hold. The two limits are kept apart
 * because a tight one on the useful packs keeps the model strong.
 */
export function mostPacks(
  network: PackNetwork,
  groups: readonly NeedGroup[],
  lots: ReadonlyMap<number, PackLot>,
): Map<number, PackLimits> {
  const servedBase = new Map<number, number>();
  const add = (lot: PackLot, quantityBase: number): void => {
    servedBase.set(lot.index, (servedBase.get(lot.index) ?? 0) + quantityBase);
  };
  for (const group of groups) {
    for (const lot of group.lots) {
      const served = group.needs.filter((need) => servesOn(lot, lot.usableDay, need.day));
      add(
        lot,
        served.reduce((sum, need) => sum + need.quantityBase, 0),
      );
      const daysAfter = Math.max(0, lot.lastDay - network.endDay);
      if (Number.isFinite(daysAfter)) add(lot, (group.laterPerDayBase ?? 0) * daysAfter);
    }
    const carriedNeeds = new Map<PackLot, Set<number>>();
    for (const { lot, trip } of group.carried) {
      const seen = carriedNeeds.get(lot) ?? new Set();
      carriedNeeds.set(lot, seen);
      for (const need of group.needs) {
        if (seen.has(need.index) || !servesOn(lot, trip.arrivesDay, need.day)) continue;
        seen.add(need.index);
        add(lot, need.quantityBase);
      }
    }
  }
  const most = new Map<number, PackLimits>();
  for (const lot of lots.values()) {
    const { offer } = lot;
    const tiers = priceTiers(offer);
    const lastStart = tiers.at(-1)?.fromPacks ?? 1;
    const mostSold = offer.maxPacks ?? Infinity;
    const forNeeds = packsToHold(servedBase.get(lot.index) ?? 0, offer.quantityBase);
    const useful = Math.min(Math.max(forNeeds, lastStart), mostSold);
    const { terms } = network.slots[lot.slotIndex] ?? {};
    const cheapest = Decimal.min(offer.price, ...tiers.map((tier) => tier.price));
    const goals = [terms?.minOrderValue ?? 0, terms?.freeDeliveryFrom ?? 0];
    const forValue = cheapest.isZero()
      ? 0
      : Decimal.max(...goals)
          .div(cheapest)
          .ceil()
          .toNumber();
    const extra = Math.max(forValue, terms?.minOrderPacks ?? 0);
    most.set(lot.index, { useful, filler: Math.min(extra, mostSold - useful) });
  }
  return most;
}
