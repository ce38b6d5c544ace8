import type { Money } from '../api/types.ts';
import { locale } from '../texts/index.svelte.ts';

/** Money as the person writes it; the figure comes from the API. */
export function money({ amount, currency }: Money): string {
  return new Intl.NumberFormat(locale(), { style: 'currency', currency }).format(Number(amount));
}

const SHEET_MONEY = /^(-?\d+(?:\.(\d+))?) ([A-Z]{3})$/;
/**
 * A text of an order sheet that is an amount ("16.005 EUR") as the person writes money, with every
 * digit a price has; any other text as it came.
 */
export function withMoney(text: string): string {
  const [, amount, decimals = '', currency] = SHEET_MONEY.exec(text) ?? [];
  if (amount === undefined || currency === undefined) return text;
  const plain = new Intl.NumberFormat(locale(), { style: 'currency', currency });
  const usual = plain.resolvedOptions().maximumFractionDigits ?? 2;
  return new Intl.NumberFormat(locale(), {
    style: 'currency',
    currency,
    maximumFractionDigits: Math.max(usual, decimals.length),
  }).format(Number(amount));
}

/** Money as typed, with point or comma, as the API reads it. It says itself what it cannot read. */
export const typedMoney = (text: string): string => text.trim().replace(',', '.');
