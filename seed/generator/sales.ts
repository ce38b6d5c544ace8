import { diceFor } from './dice.ts';
import { addMinutes, instantAt } from './dated.ts';
import { weatherOf } from './covers.ts';
import type {
  DatedEvent,
  DatedMenu,
  DemoService,
  DemoSite,
  DishSale,
  ServiceDate,
} from './types.ts';

/** How often a service runs out of a dish before the end. Invented. */
const SOLD_OUT_CHANCE = 0.035;
/** A guest who cannot have a dish takes another this often. Invented. */
const SECOND_CHOICE = 0.55;
/** Dishes that sell on a warm day. */
const COLD_DISH = /vacherin|parfait|ice|sorbet|coconut/;

/**
 * What a service sold, dish by dish. The guests' real taste is near the card's stated shares but
 * not on them, and drifts with the weather.
 */
export function playSales(
  site: DemoSite,
  service: DemoService,
  date: ServiceDate,
  covers: number,
  menu: DatedMenu,
  event: DatedEvent | undefined,
  seed: number,
): DishSale[] {
  const sale = { site: site.key, service: service.key, serviceDate: date };
  if (event?.kind === 'private-hire' && event.dish !== undefined) {
    return [{ ...sale, dish: event.dish, portions: covers }];
  }
  const dice = diceFor(seed, 'sales', site.key, service.key, date);
  const weather = weatherOf(site, date, seed);
  const shares = menu.lines.map(({ dish, share }) => {
    const taste = Math.exp(0.16 * diceFor(seed, 'taste', site.key, menu.menu, dish).normal());
    const warm = COLD_DISH.test(dish) ? Math.exp(0.1 * weather) : 1;
    return share * taste * warm * dice.gammaFactor(60);
  });
  const total = shares.reduce((sum, share) => sum + share, 0);
  const none = Math.max(0.02, 1 - total);
  const wanted = menu.lines.map(() => 0);
  for (let guest = 0; guest < covers; guest++) {
    const choice = dice.weighted([...shares, none]);
    if (choice < wanted.length) wanted[choice] = (wanted[choice] ?? 0) + 1;
  }
  return limitByStock(site, service, date, menu, wanted, shares, sale, dice);
}

function limitByStock(
  site: DemoSite,
  service: DemoService,
  date: ServiceDate,
  menu: DatedMenu,
  wanted: readonly number[],
  shares: readonly number[],
  sale: Pick<DishSale, 'site' | 'service' | 'serviceDate'>,
  dice: ReturnType<typeof diceFor>,
): DishSale[] {
  const short = wanted.map((count) => count >= 5 && dice.chance(SOLD_OUT_CHANCE));
  const sold = wanted.map((count, i) =>
    short[i] === true ? Math.max(1, Math.floor(count * dice.between(0.6, 0.92))) : count,
  );
  const open = shares.map((share, i) => (short[i] === true ? 0 : share));
  const turnedAway = wanted.reduce((sum, count, i) => sum + count - (sold[i] ?? 0), 0);
  for (let guest = 0; guest < turnedAway; guest++) {
    if (!open.some((share) => share > 0) || !dice.chance(SECOND_CHOICE)) continue;
    const choice = dice.weighted(open);
    sold[choice] = (sold[choice] ?? 0) + 1;
  }
  const opens = instantAt(date, service.startTime, site.zone);
  const lengthMin =
    (Date.parse(instantAt(date, service.endTime, site.zone)) - Date.parse(opens)) / 60_000;
  return menu.lines.map(({ dish }, i) => {
    const portions = sold[i] ?? 0;
    if (short[i] !== true) return { ...sale, dish, portions };
    const through = portions / (wanted[i] ?? 1);
    return { ...sale, dish, portions, soldOutAt: addMinutes(opens, lengthMin * through) };
  });
}
