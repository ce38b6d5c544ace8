/** A component made at one site for others: what leaves when, what it serves, where to make it. */
export { planTransfers } from './plan-transfers.ts';
export { tripsBetween } from './transfer-calendar.ts';
export type {
  TransferDays,
  Trip,
  TripCalendar,
  TripDropped,
  TripPlace,
} from './transfer-calendar.ts';
export { TRANSFER_COSTS } from './transfer-costs.ts';
export type {
  CarriedGoods,
  NotSent,
  NotSentReason,
  OpenTrip,
  PlannedTransfer,
  ServedNeed,
  TransferPlan,
  TransferProblem,
} from './transfer-problem.ts';
export { askForTransfers } from './ask-for-transfers.ts';
export type { TransfersAsked } from './ask-for-transfers.ts';
export { productionOrder } from './production-order.ts';
export type { MakesFor } from './production-order.ts';
export { askingInput, COMING_LOT, suppliedInput } from './receiving-input.ts';
export type {
  AskedTransfer,
  CentralComponent,
  CentralSupply,
  MadeVersion,
  SupplyFrom,
} from './supply.ts';
export { outsideNeeds, promises } from './making-needs.ts';
export type { AskedOfMaker } from './making-needs.ts';
export { addWeights, weighPlan } from './weigh-plan.ts';
export type { PlanWeight } from './weigh-plan.ts';
export { choosePlace, isSamePlace, tryReceivers } from './where-to-make.ts';
export type { Place, PlaceChoice, WeighedPlace } from './where-to-make.ts';
export { decidePlace } from './decide-place.ts';
export type {
  PlaceProblem,
  PlaceSite,
  PlanASite,
  PossibleMaker,
  SiteWeight,
  WorkedPlace,
} from './decide-place.ts';
export { explainPlace, wordsOfChoice } from './explain-place.ts';
export type { ExplainedPlace } from './explain-place.ts';
