/** Cost of dishes and components before tax, in decimals; what is unknown is said, never zero. */
export type {
  ExchangeRate,
  ItemPrice,
  PackPrice,
  PriceBasis,
  PriceBook,
  PricedPack,
  UnknownPrice,
} from './price-book.ts';
export { itemPrice } from './price-book.ts';
export { pricesInForce } from './prices-in-force.ts';
export type { CostDriver, Costing, CostQuestion, MissingPrice } from './item-cost.ts';
export { itemCost } from './item-cost.ts';
export type { MenuFigures } from './menu-figures.ts';
export { menuFigures, netOfTax, priceForTarget } from './menu-figures.ts';
export type { PriceRise } from './price-rise.ts';
export { priceRise } from './price-rise.ts';
export { itemsUsed, recordedWaste, type RecordedWaste } from './expected-waste.ts';
