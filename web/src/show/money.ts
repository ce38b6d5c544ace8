import type { Money } from '../api/types.ts';
import { locale } from '../texts/index.svelte.ts';

/** Money as the person writes it; the figure comes from the API. */
export function money({ amount, currency }: Money): string {
  return new Intl.NumberFormat(locale(), { style: 'currency', currency }).format(Number(amount));
}

/** Money as typed, with point or comma, as the API reads it. It says itself what it cannot read. */
export const typedMoney = (text: string): string => text.trim().replace(',', '.');
