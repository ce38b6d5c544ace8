import { words } from '../texts/index.svelte.ts';
import { shiftDate, shortDay } from './time.ts';

interface Dated {
  readonly activeFrom: string;
  readonly activeTo: string | null;
}

/** The Monday of the week of a date. */
export function mondayOf(date: string): string {
  const weekday = new Date(`${date}T00:00:00Z`).getUTCDay();
  return shiftDate(date, -((weekday + 6) % 7));
}

/** The month of a date, moved by whole months: YYYY-MM. */
export function shiftMonth(month: string, by: number): string {
  const at = new Date(`${month}-01T00:00:00Z`);
  at.setUTCMonth(at.getUTCMonth() + by);
  return at.toISOString().slice(0, 7);
}

/** First and last day of a month, and the Monday of each week that touches it. */
export function monthOf(month: string): {
  readonly first: string;
  readonly last: string;
  readonly mondays: readonly string[];
} {
  const first = `${month}-01`;
  const last = shiftDate(`${shiftMonth(month, 1)}-01`, -1);
  const mondays: string[] = [];
  for (let monday = mondayOf(first); monday <= last; monday = shiftDate(monday, 7)) {
    mondays.push(monday);
  }
  return { first, last, mondays };
}

export const isOn = ({ activeFrom, activeTo }: Dated, from: string, to: string): boolean =>
  activeFrom <= to && (activeTo === null || activeTo >= from);

/** When a menu is on in the week that begins on `monday`, in words; empty when it is not. */
export function onInWeek(menu: Dated, monday: string): string {
  const { t } = words;
  const { activeFrom, activeTo } = menu;
  const sunday = shiftDate(monday, 6);
  if (!isOn(menu, monday, sunday)) return '';
  const begins = activeFrom > monday;
  if (activeTo !== null && activeTo < sunday) {
    return begins
      ? t.onBetween(shortDay(activeFrom), shortDay(activeTo))
      : t.onUntil(shortDay(activeTo));
  }
  return begins ? t.onFrom(shortDay(activeFrom)) : t.onAllWeek;
}

/** Stretches of days from `first` to `last` on which none of the menus is on. */
export function daysWithout(
  menus: readonly Dated[],
  first: string,
  last: string,
): readonly { readonly from: string; readonly to: string }[] {
  const found: { from: string; to: string }[] = [];
  for (let day = first; day <= last; day = shiftDate(day, 1)) {
    if (menus.some((menu) => isOn(menu, day, day))) continue;
    const open = found.at(-1);
    if (open && shiftDate(open.to, 1) === day) open.to = day;
    else found.push({ from: day, to: day });
  }
  return found;
}
