import type { Menu } from '../api/types.ts';
import { locale, words } from '../texts/index.svelte.ts';
import { money } from './money.ts';
import { shortDay } from './time.ts';

type Line = Menu['lines'][number];

export const shareWords = (share: number): string =>
  new Intl.NumberFormat(locale(), { style: 'percent', maximumFractionDigits: 1 }).format(share);

const lastDay = (menu: Menu): string =>
  menu.activeTo === null ? words.t.untilNotice : shortDay(menu.activeTo);

/** What somebody else changed of a menu, in words: how it is now, against how one saw it. */
export function menuDifferences(
  seen: Menu,
  now: Menu,
  serviceName: (id: string | null) => string,
): readonly string[] {
  const { t } = words;
  const said: string[] = [];
  const changed = (what: string, before: string, after: string): void => {
    if (before !== after) said.push(t.menuWas(what, before, after));
  };
  changed(t.menuName, seen.name, now.name);
  changed(t.menuFirstDay, shortDay(seen.activeFrom), shortDay(now.activeFrom));
  changed(t.menuLastDayIs, lastDay(seen), lastDay(now));
  if (now.archived !== seen.archived) said.push(now.archived ? t.menuIsAway : t.menuIsBack);
  const key = (line: Line): string => `${line.dishId} ${line.serviceId ?? ''}`;
  const named = (line: Line): string => `${line.dishName}, ${serviceName(line.serviceId)}`;
  const before = new Map(seen.lines.map((line) => [key(line), line]));
  for (const line of now.lines) {
    const old = before.get(key(line));
    before.delete(key(line));
    if (!old) said.push(t.dishCame(named(line)));
    else {
      changed(`${named(line)}, ${t.shareWord}`, shareWords(old.share), shareWords(line.share));
      changed(`${named(line)}, ${t.priceWord}`, money(old.grossPrice), money(line.grossPrice));
    }
  }
  for (const line of before.values()) said.push(t.dishWent(named(line)));
  return said;
}
