import { Decimal } from '../money/index.ts';
import type { PlannedOrder } from './pack-offer.ts';
import type { NetworkSlot, PackLot } from './pack-network.ts';
import { pricePerPack } from './pack-price.ts';

/**
 * Marks the packs that no need calls for and without which the order would stay below the
 * supplier's minimum, and adds up what they and their waste cost.
 */
export function markMinimumPacks(
  order: PlannedOrder,
  slot: NetworkSlot,
  lotOf: (offerId: string) => PackLot | undefined,
): PlannedOrder {
  const spare = order.lines.map((line) => {
    const lot = lotOf(line.offerId);
    const fewest = lot?.offer.minPacks ?? 1;
    const whole = lot ? Math.floor(line.surplusBase / lot.offer.quantityBase + 1e-9) : 0;
    const kept = line.packs - whole;
    return kept > 0 && kept < fewest ? line.packs - fewest : whole;
  });
  const costs = order.lines.map((line, i) => {
    const lot = lotOf(line.offerId);
    const kept = line.packs - (spare[i] ?? 0);
    return lot ? pricePerPack(lot.offer, Math.max(1, kept)).times(kept) : new Decimal(line.cost);
  });
  const value = costs.reduce((sum, cost) => sum.plus(cost), new Decimal(0));
  const packs = order.lines.reduce((sum, line, i) => sum + line.packs - (spare[i] ?? 0), 0);
  const short =
    value.lt(slot.terms.minOrderValue ?? 0) || packs < Math.max(1, slot.terms.minOrderPacks ?? 1);
  if (!slot.coupling || !short || spare.every((n) => n === 0)) return order;
  let wasteCost = new Decimal(0);
  const lines = order.lines.map((line, i) => {
    const packsForMinimum = spare[i] ?? 0;
    const wasteBase = Math.min(
      line.expectedWasteBase,
      (packsForMinimum * line.quantityBase) / line.packs,
    );
    wasteCost = wasteCost.plus(new Decimal(line.cost).times(wasteBase).div(line.quantityBase));
    return { ...line, packsForMinimum };
  });
  const cost = new Decimal(order.goodsCost).minus(value).toString();
  return { ...order, lines, toReachMinimum: { cost, expectedWasteCost: wasteCost.toString() } };
}
