import type {
  DeliverySlot,
  IngredientNeed,
  PackOffer,
  PackProblem,
} from '../../../api/core/ordering/index.ts';

/** Short forms for synthetic problems: one site, dates in March 2026 by day number. */
export const day = (n: number): string => `2026-03-${String(n).padStart(2, '0')}`;

export function need(
  ingredientId: string,
  onDay: number,
  quantityBase: number,
  changes: Partial<IngredientNeed> = {},
): IngredientNeed {
  return {
    ingredientId,
    siteId: 'lake',
    needDate: day(onDay),
    quantityBase,
    certainBase: 0,
    refs: [{ nodeId: `${ingredientId}:${onDay}` }],
    ...changes,
  };
}

export function offer(
  id: string,
  ingredientId: string,
  quantityBase: number,
  price: string,
  changes: Partial<PackOffer> = {},
): PackOffer {
  return { id, ingredientId, supplierId: 'A', quantityBase, price, currency: 'EUR', ...changes };
}

export function slot(onDay: number, changes: Partial<DeliverySlot> = {}): DeliverySlot {
  return {
    supplierId: 'A',
    siteId: 'lake',
    deliveryDate: day(onDay),
    usableFromDate: day(onDay),
    cutoffMin: 0,
    ...changes,
  };
}

export function problem(changes: Partial<PackProblem>): PackProblem {
  return {
    currency: 'EUR',
    horizonEnd: day(14),
    needs: [],
    offers: [],
    suppliers: [],
    slots: [slot(1)],
    settings: { leftoverValueFraction: 0, holdingFractionPerDay: 0 },
    ...changes,
  };
}
