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
export { bindingContracts } from './supply-contracts.ts';
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
export { needsInWholePieces, wholePieces } from './whole-pieces.ts';
export { consolidate } from './consolidation.ts';
export type { Consolidation } from './consolidation.ts';
export { chargedBefore, threeWayCheck } from './invoice-check.ts';
export type { Invoice, InvoiceFinding, InvoiceLine } from './invoice-check.ts';
export { advanceOrder, changeLine } from './order-life.ts';
export type { OrderAct, OrderEvent } from './order-life.ts';
export { checkNumberRun, nextOrderNumber, requireNoOpenOrder } from './order-numbers.ts';
export type { DeliveryKey } from './order-numbers.ts';
export { orderValue, proposeOrder, receivedOf } from './order-record.ts';
export type {
  DeliveryReceipt,
  HandChange,
  OrderLineRecord,
  OrderRecord,
  OrderState,
  OrderStep,
  ReceiptLine,
} from './order-record.ts';
export { goodsDue, lateAdditions, refreshOrder } from './order-refresh.ts';
export type { LateAddition, RefreshDifference } from './order-refresh.ts';
export {
  compareGroups,
  groupOrders,
  openCutoffs,
  priceHistory,
  totalChange,
} from './order-views.ts';
export type {
  IngredientDifference,
  OpenCutoff,
  OrderedIngredient,
  OrderGroup,
  OrderGrouping,
  PaidPrice,
} from './order-views.ts';
export { missingGoods } from './missing-goods.ts';
export type { MissingGoods, MissingNeed } from './missing-goods.ts';
export { RECEIVING_NOTICE, receiveDelivery } from './receiving.ts';
export type { Receiving, ReceivingFinding, ReceivingRule } from './receiving.ts';
export { receivingLimitC } from './receiving-limits.ts';
export { needAtProbability, safetyOverDays, safetyProbability } from './safety-need.ts';
export type { SafetyPolicy, UncertainNeed } from './safety-need.ts';
export { availabilityFor, availabilityOn, availableStretches } from './season.ts';
export type { Availability, AvailabilityState, Stretch } from './season.ts';
export { availabilityWarnings } from './availability-warnings.ts';
export type { AvailabilityWarning, DishUse } from './availability-warnings.ts';
export { rankSubstitutes, SUBSTITUTE_NOTICE } from './substitutes.ts';
export type { RankedSubstitute, SubstituteProfile } from './substitutes.ts';
export { comparePriceList, readPriceList } from './price-list.ts';
export type {
  PriceListChange,
  PriceListEntry,
  PriceListField,
  PriceListMapping,
  PriceListProblem,
  PriceListReading,
} from './price-list.ts';
