import { words } from '../texts/index.svelte.ts';
import { shiftDate, shortDay } from './time.ts';

/** The Monday of the week of a date. */
export function mondayOf(date: string): string {
  const weekday = new Date(`${date}T00:00:00Z`).getUTCDay();
  return shiftDate(date, -((weekday + 6) % 7));
}

/** When a menu is on in the week that begins on `monday`, in words; empty when it is not. */
export function onInWeek(
  { activeFrom, activeTo }: { readonly activeFrom: string; readonly activeTo: string | null },
  monday: string,
): string {
  const { t } = words;
  const sunday = shiftDate(monday, 6);
  if (activeFrom > sunday || (activeTo !== null && activeTo < monday)) return '';
  const begins = activeFrom > monday;
  if (activeTo !== null && activeTo < sunday) {
    return begins
      ? t.onBetween(shortDay(activeFrom), shortDay(activeTo))
      : t.onUntil(shortDay(activeTo));
  }
  return begins ? t.onFrom(shortDay(activeFrom)) : t.onAllWeek;
}
