import { addDays, monthOf } from '../../api/core/calendar/index.ts';
import { daysAgo, eventAt, menuFor, servicesOn } from './dated.ts';
import { lineItem, lineQuantityBase, need, versionInForce } from './demo-index.ts';
import type { DemoIndex } from './demo-index.ts';
import { typicalCovers } from './covers.ts';
import type { DatedEvent, DatedMenu, DemoSite, ItemKind, ServiceDate } from './types.ts';

/** What a site uses of one item, in base units a day, as a rough mean of some days. */
export interface DailyUse {
  readonly kind: ItemKind;
  readonly key: string;
  readonly perDay: number;
}

/**
 * Roughly what a site uses a day from a date on: typical covers times the card's shares, straight
 * down the recipes with no batches, no stock and no rounding. It only sizes the demo's opening
 * stock and open orders; the plan works out the real need.
 */
export function roughDailyUse(
  index: DemoIndex,
  site: DemoSite,
  menus: readonly DatedMenu[],
  events: readonly DatedEvent[],
  from: ServiceDate,
  days: number,
  today: ServiceDate,
): DailyUse[] {
  const uses = new Map<string, { kind: ItemKind; amount: number }>();
  for (let ahead = 0; ahead < days; ahead++) {
    const date = addDays(from, ahead);
    for (const service of servicesOn(site, date, events)) {
      const profile = site.demand.find((candidate) => candidate.service === service.key);
      const menu = menuFor(menus, site.key, service.key, date);
      if (profile === undefined || menu === undefined) continue;
      const event = eventAt(events, site.key, service.key, date);
      const covers = Math.min(service.maxCovers, typicalCovers(site, profile, date, event));
      for (const line of menu.lines) {
        addUse(index, line.dish, covers * line.share, date, today, uses);
      }
    }
  }
  return [...uses].map(([key, { kind, amount }]) => ({ kind, key, perDay: amount / days }));
}

function addUse(
  index: DemoIndex,
  recipeKey: string,
  quantity: number,
  date: ServiceDate,
  today: ServiceDate,
  uses: Map<string, { kind: ItemKind; amount: number }>,
): void {
  const version = versionInForce(need(index.recipes, recipeKey, 'recipe'), daysAgo(date, today));
  const batches = quantity / version.output.value;
  for (const line of version.lines) {
    const item = lineItem(line);
    const net = lineQuantityBase(index, line) * batches;
    if (item.kind !== 'ingredient') {
      count(uses, item.kind, item.key, net);
      if (item.kind === 'component') addUse(index, item.key, net, date, today, uses);
      continue;
    }
    const ingredient = need(index.ingredients, item.key, 'ingredient');
    const inSeason = ingredient.months?.includes(monthOf(date)) ?? true;
    if (ingredient.notBought === true || !inSeason) continue;
    const trim = line.trimYield ?? ingredient.trimYield?.fraction ?? 1;
    const bought = net / trim;
    const part = ingredient.partOf;
    if (part === undefined) count(uses, 'ingredient', item.key, bought);
    // Roughly: the parts of a piece seldom all come from the same one.
    else count(uses, 'ingredient', part.piece, (0.7 * bought) / part.yieldPerPiece);
  }
}

function count(
  uses: Map<string, { kind: ItemKind; amount: number }>,
  kind: ItemKind,
  key: string,
  amount: number,
): void {
  uses.set(key, { kind, amount: (uses.get(key)?.amount ?? 0) + amount });
}
