/** Par levels: how much to hold until more can be ready, weighed against running out and waste. */
export type {
  ParInput,
  ParLevel,
  ParOutcome,
  ParPolicy,
  ParVariant,
  PortionCosts,
} from './par-input.ts';
export { criticalFraction, demandOver, newsvendorQuantity, parLevel } from './par-level.ts';
export type { PeriodicReview } from './order-up-to.ts';
export {
  demandOverReview,
  expectedOnHand,
  fillRate,
  levelForFillRate,
  normalQuantity,
  orderUpTo,
} from './order-up-to.ts';
