/** Codes of trade: GS1 keys and labels, UN/ECE Recommendation 20 units. */
export {
  checkGln,
  checkGtin,
  checkSscc,
  gs1CheckDigit,
  gtinOfCase,
  toGtin14,
} from './check-digit.ts';
export { gs1Date, readElementStrings } from './element-string.ts';
export type { GoodsLabel } from './element-string.ts';
export { PACKS_CODE, tradeQuantity, tradeUnit, tradeUnits } from './unit-code.ts';
export type { TradeUnit } from './unit-code.ts';
export { lotCode, writeLabelCode } from './lot-label-code.ts';
export type { MadeHereLabel } from './lot-label-code.ts';
