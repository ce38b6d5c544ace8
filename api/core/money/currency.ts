/**
 * ISO 4217 alphabetic codes in use, with the number of minor-unit digits where it is not two.
 * Funds, precious metals and test codes are left out: nobody pays a supplier in them.
 * Source: ISO 4217 list of currencies (from memory; the tests compare it with the currency data
 * of the JavaScript runtime).
 */
const TWO_DIGITS =
  'AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BMD BND BOB BRL BSD BTN BWP BYN BZD CAD CDF ' +
  'CHF CNY COP CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ GYD ' +
  'HKD HNL HTG HUF IDR ILS INR IRR JMD KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL MGA ' +
  'MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN NIO NOK NPR NZD PAB PEN PGK PHP PKR PLN ' +
  'QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TOP ' +
  'TRY TTD TWD TZS UAH USD UYU UZS VES WST XCD YER ZAR ZMW';
const NO_DIGITS = 'BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX VND VUV XAF XOF XPF';
const THREE_DIGITS = 'BHD IQD JOD KWD LYD OMR TND';

const MINOR_DIGITS: ReadonlyMap<string, number> = new Map([
  ...TWO_DIGITS.split(' ').map((code) => [code, 2] as const),
  ...NO_DIGITS.split(' ').map((code) => [code, 0] as const),
  ...THREE_DIGITS.split(' ').map((code) => [code, 3] as const),
]);

/** Every currency code this service takes, in alphabetical order. */
export function currencyCodes(): readonly string[] {
  return [...MINOR_DIGITS.keys()].sort();
}

/** True for an ISO 4217 code in capitals that is in use. */
export function isCurrencyCode(code: string): boolean {
  return MINOR_DIGITS.has(code);
}

/** Decimal digits of the currency's smallest unit (EUR 2, JPY 0, TND 3), null when unknown. */
export function minorDigits(code: string): number | null {
  return MINOR_DIGITS.get(code) ?? null;
}
