import { addDays, weekdayOf } from '../../api/core/calendar/index.ts';
import { addMinutes, daysAgo, instantAt, worksOn } from './dated.ts';
import { diceFor } from './dice.ts';
import { lineItem, need, versionInForce } from './demo-index.ts';
import type { DemoIndex } from './demo-index.ts';
import { roundForUnit } from './stock.ts';
import type { DatedEvent, DatedMenu, DemoSite, ServiceDate, WasteRecord } from './types.ts';

const WASTE_DAYS = 28;
const REASONS = ['out-of-date', 'over-made', 'quality', 'spilled'] as const;
const REASON_WEIGHTS = [5, 3, 1.5, 1] as const;

/** What a site threw away in the last four weeks: now and then a little of something on the card. */
export function pastWaste(
  index: DemoIndex,
  site: DemoSite,
  menus: readonly DatedMenu[],
  events: readonly DatedEvent[],
  today: ServiceDate,
  seed: number,
): WasteRecord[] {
  return Array.from({ length: WASTE_DAYS }, (_, i) => addDays(today, i - WASTE_DAYS)).flatMap(
    (date) => {
      const hours = site.hours.find((worked) => worked.weekday === weekdayOf(date));
      if (hours === undefined || !worksOn(site, date, events)) return [];
      const closes = instantAt(date, hours.closes, site.zone);
      const dice = diceFor(seed, 'waste', site.key, date);
      const lines = menus
        .filter((menu) => menu.site === site.key && menu.from <= date && date <= menu.to)
        .flatMap((menu) => menu.lines);
      if (lines.length === 0) return [];
      return Array.from({ length: dice.poisson(0.75) }, () => dice.pick(lines).dish).flatMap(
        (dish): WasteRecord[] => {
          const plate = versionInForce(need(index.recipes, dish, 'dish'), daysAgo(date, today));
          const item = lineItem(dice.pick(plate.lines));
          const reason = REASONS[dice.weighted(REASON_WEIGHTS)] ?? 'quality';
          const at = addMinutes(closes, -5 * dice.whole(1, 6));
          if (item.kind !== 'component') return [];
          const made = versionInForce(
            need(index.recipes, item.key, 'component'),
            daysAgo(date, today),
          );
          const quantityBase = roundForUnit(
            made.output.value * dice.between(0.04, 0.22),
            made.output.unit,
          );
          if (quantityBase <= 0) return [];
          const what = { itemKind: item.kind, itemKey: item.key, unit: made.output.unit };
          return [{ site: site.key, ...what, quantityBase, at, reason }];
        },
      );
    },
  );
}
