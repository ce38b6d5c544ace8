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
export { checkPackProblem } from './check-pack-problem.ts';
export { choosePacks } from './choose-packs.ts';
export type { ChooseLimits } from './choose-packs.ts';
export { defaultPacks } from './default-packs.ts';
export {
  bestUnitPrice,
  checkPackOffer,
  packsToHold,
  pricePerPack,
  priceTiers,
} from './pack-price.ts';
export type { PriceTier } from './pack-price.ts';
export { netIngredientNeeds } from './stock-cover.ts';
export type { IngredientStock, NetIngredientNeeds, StockCover } from './stock-cover.ts';
