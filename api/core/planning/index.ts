/** The plan of one site: from covers to dated batches and as-purchased needs, every figure explained. */
export { planSite } from './plan-site.ts';
export { planSiteTogether, planWithEffort } from './plan-site-together.ts';
export type { PlanEffort, TogetherOptions } from './plan-site-together.ts';
export { planQuantile } from './demand.ts';
export { dishesBehind, dishOfPortions } from './dish-of-portions.ts';
export type { DishNamed } from './dish-of-portions.ts';
export { timesNodeOf } from './explain-times.ts';
export { remediesFor, remedyEffect, shortOn, tightOf } from './remedies.ts';
export type { RemedyEffect } from './remedies.ts';
export type { Missing, Remedy, RemedyKind } from './remedy.ts';
export { BEGIN_NOW_MIN, beginNowFrom, sectionOrder, sectionOrderAt } from './section-order.ts';
export { VersionsByDate } from './item-order.ts';
export type {
  ComponentPar,
  CoversTerm,
  DishOnOffer,
  ItemLot,
  MadeElsewhere,
  OutsideNeed,
  PlannedService,
  PlanPiecePart,
  PlanVersion,
  PreviousRun,
  SitePlanInput,
  WorkUnderWay,
} from './plan-input.ts';
export type {
  ComponentMethod,
  DatedIngredientNeed,
  LeftUnused,
  NeededBy,
  NeedFromElsewhere,
  PlannedCovers,
  PlannedPortions,
  PlannedTask,
  PlanSolution,
  Shortage,
  SitePlan,
  StockUse,
  TightRun,
} from './plan-output.ts';
