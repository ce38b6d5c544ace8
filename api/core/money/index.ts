/** Money: decimal amounts with an ISO 4217 currency, never floats, rounded in one place. */
export { currencyCodes, isCurrencyCode, minorDigits } from './currency.ts';
export {
  addMoney,
  compareMoney,
  Decimal,
  isDecimalText,
  money,
  multiplyMoney,
  roundMoney,
  subtractMoney,
  sumMoney,
  zeroMoney,
} from './money.ts';
export type { Money } from './money.ts';
