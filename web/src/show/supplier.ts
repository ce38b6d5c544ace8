import type { Pack, Supplier } from '../api/types.ts';
import { locale, words } from '../texts/index.svelte.ts';
import { money } from './money.ts';
import { shortDay, weekday } from './time.ts';

/** A Monday, to name the days of the week by. */
const MONDAY = 2;
export const EVERY_WEEKDAY: readonly number[] = [1, 2, 3, 4, 5, 6, 7];

/** The name of a day of the week, 1 being Monday. */
export const weekdayName = (day: number, width: 'short' | 'long' = 'short'): string =>
  weekday(`2026-03-0${MONDAY + day - 1}`, width);

/** The name of a language (en, it), in the language of the page. */
export const languageName = (code: string): string =>
  new Intl.DisplayNames([locale()], { type: 'language' }).of(code) ?? code;

const capital = (text: string): string =>
  text.charAt(0).toLocaleUpperCase(words.language) + text.slice(1);

/** When a supplier comes, by when one orders, and what an order must reach. */
export function supplierRules(supplier: Supplier): readonly string[] {
  const { t } = words;
  const { currency } = supplier;
  const sum = (amount: string): string => money({ amount, currency });
  const isSet = (amount: string): boolean => Number(amount) > 0;
  const days = [...supplier.deliveryWeekdays].sort().map((day) => weekdayName(day));
  return [
    `${t.delivers(days.join(', '))}, ${t.cutoffRule(supplier.cutoff.daysBefore, supplier.cutoff.time)}`,
    [
      isSet(supplier.minimumOrder) ? t.minimumIs(sum(supplier.minimumOrder)) : t.noMinimum,
      ...(supplier.minimumPacks > 0 ? [t.minimumPacksIs(supplier.minimumPacks)] : []),
      ...(isSet(supplier.deliveryCharge) ? [t.chargeIs(sum(supplier.deliveryCharge))] : []),
      ...(supplier.freeDeliveryFrom === null ? [] : [t.freeFrom(sum(supplier.freeDeliveryFrom))]),
    ].join(', '),
  ].map(capital);
}

/** What a pack costs today, and what is known beyond that, in words. */
export function priceWords(pack: Pack, today: string): { now: string; more: readonly string[] } {
  const { t } = words;
  const sum = (amount: string): string => money({ amount, currency: pack.currency });
  const now = pack.prices.find((price) => price.minPacks === 1 && price.validFrom <= today);
  /** A break holds until a newer one for as many packs, or until a new list of prices. */
  const holds = ({ id, minPacks, validFrom }: Pack['prices'][number]): boolean =>
    minPacks > 1 &&
    validFrom >= (now?.validFrom ?? '') &&
    id === pack.prices.find((one) => one.minPacks === minPacks && one.validFrom <= today)?.id;
  return {
    now: now ? sum(now.amount) : t.noPrice,
    more: pack.prices
      .filter((price) => price.validFrom > today || holds(price))
      .map((price) =>
        [
          t.priceFromDay(shortDay(price.validFrom), sum(price.amount)),
          ...(price.minPacks > 1 ? [t.minimumPacksIs(price.minPacks)] : []),
        ].join(', '),
      ),
  };
}
