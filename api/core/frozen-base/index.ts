/** Ice cream and sorbet mixes: balance, sweetness, freezing curve and serving temperature. */
export {
  ALCOHOL_FREEZING_FACTOR,
  LACTOSE_IN_MSNF,
  LACTOSE_IN_WHEY_SOLIDS,
  SWEETENERS,
  SWEETENER_KINDS,
} from './sweeteners.ts';
export type { Sweetener, SweetenerKind } from './sweeteners.ts';
export {
  MAX_SUCROSE_PER_100G_WATER,
  SUCROSE_FREEZING_TABLE,
  freezingPointC,
  frozenFractionAt,
  sucroseDepressionC,
} from './freezing-point.ts';
export type { Solutes } from './freezing-point.ts';
export { SERVING_FROZEN_FRACTIONS, balanceFrozenBase } from './frozen-base.ts';
export type {
  FrozenBase,
  FrozenComposition,
  FrozenIngredient,
  ServingEstimate,
} from './frozen-base.ts';
