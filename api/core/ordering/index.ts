/** Ordering: from dated as-purchased needs to whole packs, deliveries and the life of an order. */
export { checkDeliveryRules, deliveryOptions } from './delivery-calendar.ts';
export type { DeliveryOption, DeliveryRules } from './delivery-calendar.ts';
export { assignNeeds, coverPeriods } from './cover-period.ts';
export type { CoverPeriod, LateNeed } from './cover-period.ts';
export type { IngredientNeed, NeedSource } from './ingredient-need.ts';
export type {
  ChoiceSettings,
  DeliverySlot,
  LaterUse,
  LineUse,
  PackOffer,
  PackPlan,
  PackProblem,
  PackShortfall,
  PlanMethod,
  PlannedLine,
  PlannedOrder,
  PlannedTransfer,
  PriceBreak,
  SupplierTerms,
  SupplyContract,
  SurplusFate,
  TransferRoute,
} from './pack-offer.ts';
export { cheapestPacks, unitPriceFor } from './cheapest-packs.ts';
export type { ChosenPacks, PackChoice } from './cheapest-packs.ts';
