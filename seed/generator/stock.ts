import { addDays } from '../../api/core/calendar/index.ts';
import { LOADING_TIME, addMinutes, instantAt, worksOn } from './dated.ts';
import { diceFor } from './dice.ts';
import type { Dice } from './dice.ts';
import { need, versionInForce } from './demo-index.ts';
import type { DemoIndex } from './demo-index.ts';
import type { DailyUse } from './rough-need.ts';
import type { BaseUnit, DatedEvent, DemoSite, OpeningLot, ServiceDate } from './types.ts';

const HOURS_PER_DAY = 24;
const MIN_PER_HOUR = 60;

/**
 * A site's fridges, freezers and shelves at 05:30 on the morning of loading: what is left of the
 * last days' making and deliveries. Some of it has a day left, a little is past its date and still
 * there to be thrown away.
 */
export function openingLots(
  index: DemoIndex,
  site: DemoSite,
  uses: readonly DailyUse[],
  events: readonly DatedEvent[],
  today: ServiceDate,
  seed: number,
): OpeningLot[] {
  const now = instantAt(today, LOADING_TIME, site.zone);
  // The site's own days before today, newest first: nothing is made or received on a closed day.
  const worked = Array.from({ length: 60 }, (_, back) => addDays(today, -1 - back)).filter((date) =>
    worksOn(site, date, events),
  );
  const lots = uses.flatMap((use) => {
    const dice = diceFor(seed, 'stock', site.key, use.key, today);
    return use.kind === 'ingredient'
      ? ingredientLots(index, site, use, worked, dice)
      : madeLots(index, site, use, worked, dice);
  });
  return lots.filter(
    (lot) =>
      lot.quantityBase > 0 &&
      lot.madeAt < now &&
      (lot.useBy > now || diceFor(seed, 'not thrown', site.key, lot.itemKey, today).chance(0.25)),
  );
}

function madeLots(
  index: DemoIndex,
  site: DemoSite,
  use: DailyUse,
  worked: readonly ServiceDate[],
  dice: Dice,
): OpeningLot[] {
  const made = shelfLifeOfMade(index, use);
  const lifeDays = made.shelfLifeHours / HOURS_PER_DAY;
  const lot = (agoWorked: number, ofDays: number): OpeningLot => {
    const day = workedDay(worked, agoWorked);
    const time = `${String(dice.whole(9, 16)).padStart(2, '0')}:${dice.pick(['00', '15', '30', '45'])}`;
    const madeAt = instantAt(day, time, site.zone);
    return {
      site: site.key,
      itemKind: use.kind,
      itemKey: use.key,
      quantityBase: roundForUnit(use.perDay * ofDays, made.unit),
      unit: made.unit,
      madeAt,
      useBy: addMinutes(madeAt, made.shelfLifeHours * MIN_PER_HOUR),
    };
  };
  if (lifeDays < 0.75) return [];
  if (lifeDays <= 1) return dice.chance(0.35) ? [lot(1, dice.between(0.1, 0.4))] : [];
  if (lifeDays <= 3) {
    const fresh = dice.chance(0.75) ? [lot(1, dice.between(0.35, 1.2))] : [];
    // Made as long ago as it keeps: use it today, or it is already a few hours past.
    const old = dice.chance(0.22) ? [lot(Math.round(lifeDays), dice.between(0.05, 0.25))] : [];
    const forgotten = dice.chance(0.05)
      ? [lot(Math.ceil(lifeDays) + 1, dice.between(0.05, 0.2))]
      : [];
    return [...forgotten, ...old, ...fresh];
  }
  const longest = Math.min(9, Math.floor(lifeDays) - 1);
  const main = dice.chance(0.88) ? [lot(dice.whole(1, longest), dice.between(1, 3.5))] : [];
  const end = dice.chance(0.3) ? [lot(Math.floor(lifeDays), dice.between(0.1, 0.5))] : [];
  return [...end, ...main];
}

/** The site's n-th working day before today; the oldest known where n reaches past them. */
function workedDay(worked: readonly ServiceDate[], agoWorked: number): ServiceDate {
  const day = worked[Math.min(agoWorked, worked.length) - 1];
  if (day === undefined) throw new RangeError('The site has not worked before today.');
  return day;
}

function shelfLifeOfMade(
  index: DemoIndex,
  use: DailyUse,
): { readonly shelfLifeHours: number; readonly unit: BaseUnit } {
  if (use.kind === 'byProduct') return need(index.byProducts, use.key, 'by-product').byProduct;
  const version = versionInForce(need(index.recipes, use.key, 'component'), 1);
  return { shelfLifeHours: version.shelfLifeHours, unit: version.output.unit };
}

function ingredientLots(
  index: DemoIndex,
  site: DemoSite,
  use: DailyUse,
  worked: readonly ServiceDate[],
  dice: Dice,
): OpeningLot[] {
  const item = need(index.ingredients, use.key, 'ingredient');
  const life = item.shelfLifeDays;
  const lot = (agoWorked: number, ofDays: number): OpeningLot => {
    const received = workedDay(worked, agoWorked);
    return {
      site: site.key,
      itemKind: 'ingredient',
      itemKey: item.key,
      quantityBase: roundForUnit(use.perDay * ofDays, item.baseUnit),
      unit: item.baseUnit,
      madeAt: instantAt(received, '07:30', site.zone),
      useBy: instantAt(addDays(received, life), '23:00', site.zone),
      supplierLot: `L${received.slice(2).replaceAll('-', '')}${String(dice.whole(10, 99))}`,
    };
  };
  // Shelves of a kitchen that ordered before: mostly enough to the next delivery, now and then not.
  if (life <= 7) return dice.chance(0.9) ? [lot(dice.whole(1, 2), dice.between(1, 2.5))] : [];
  if (life <= 30) {
    const last = dice.chance(0.15) ? [lot(life, dice.between(0.1, 0.4))] : [];
    const main = dice.chance(0.95) ? [lot(dice.whole(1, 4), dice.between(2, 5))] : [];
    return [...last, ...main];
  }
  return dice.chance(0.97) ? [lot(dice.whole(3, 28), dice.between(12, 30))] : [];
}

/** As a person would write it down: whole pieces, tens of grams. */
export function roundForUnit(quantity: number, unit: BaseUnit): number {
  if (unit === 'each') return Math.floor(quantity);
  return quantity < 100 ? Math.floor(quantity / 5) * 5 : Math.round(quantity / 10) * 10;
}
