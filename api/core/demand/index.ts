/** Demand for dishes: learned shares of covers, and portions per service as distributions. */
export type {
  DishShare,
  DishSharesInput,
  ServiceSales,
  ShareEstimate,
  StatedShare,
} from './share-input.ts';
export { dishShares } from './dish-shares.ts';
export type { DishDemand, DishDemandInput, ExactPortions } from './dish-demand.ts';
export { dishDemand } from './dish-demand.ts';
