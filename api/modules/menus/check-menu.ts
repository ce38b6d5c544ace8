import { Decimal, money } from '../../core/money/index.ts';
import { netOfTax } from '../../core/cost/index.ts';
import { invalid, orRefuse, Refusal } from '../platform/index.ts';
import { versionsInForce, type PublishedRecipes } from '../recipes/index.ts';
import type { MealService, Site } from '../sites/index.ts';
import type { Menu, MenuInput, MenuLine, MenuLineInput, MenuToSave } from './menus.ports.ts';

/** Prices are kept to the ten-thousandth of a unit. */
const PRICE_DECIMALS = 4;
/** Guests may have something with the coffee besides; more than this a cover is a slip. */
const MAX_DISHES_PER_COVER = 4;

/** Checks a menu on its own and turns its prices into net ones. @throws Refusal with a pointer */
export function menuToSave(
  input: MenuInput,
  site: Site,
  services: readonly MealService[],
): MenuToSave {
  if (input.activeTo !== null && input.activeTo < input.activeFrom) {
    throw invalid('/activeTo', 'The last day is before the first.');
  }
  const seen = new Set<string>();
  for (const [i, line] of input.lines.entries()) {
    const key = `${line.dishId} ${line.serviceId ?? ''}`;
    if (seen.has(key)) throw invalid(`/lines/${i}/dishId`, 'This dish is on the menu already.');
    seen.add(key);
    if (line.serviceId !== null && !services.some((service) => service.id === line.serviceId)) {
      throw invalid(`/lines/${i}/serviceId`, 'That is not a service of this site.');
    }
  }
  checkShares(input.lines, services);
  return {
    name: input.name,
    activeFrom: input.activeFrom,
    activeTo: input.activeTo,
    lines: input.lines.map((line, i) => ({
      dishId: line.dishId,
      serviceId: line.serviceId,
      share: line.share,
      netPrice: netPrice(line, site, `/lines/${i}`),
      taxRate: line.taxRate,
      targetCost: line.targetCost,
      oneACover: line.oneACover,
    })),
  };
}

function netPrice(line: MenuLineInput, site: Site, at: string): string {
  const price = orRefuse(money(line.price.amount, line.price.currency), `${at}/price`);
  if (price.currency !== site.currency) {
    const message = `${site.name} sells in ${site.currency}.`;
    throw new Refusal('currency-mismatch', message, {
      issues: [{ pointer: `${at}/price/currency`, message }],
    });
  }
  const rate = new Decimal(line.taxRate).toString();
  const net = line.priceIncludesTax ? orRefuse(netOfTax(price, rate), at) : price;
  const kept = new Decimal(net.amount).toDecimalPlaces(PRICE_DECIMALS, Decimal.ROUND_HALF_EVEN);
  if (!kept.gt(0)) throw invalid(`${at}/price/amount`, 'A dish on a menu has a price above zero.');
  return kept.toString();
}

/** Shares of one service need not stop at one, but they add up to something a guest can eat. */
function checkShares(lines: readonly MenuLineInput[], services: readonly MealService[]): void {
  const everywhere = lines.filter((line) => line.serviceId === null);
  const sumOf = (some: readonly MenuLineInput[]): number =>
    some.reduce((sum, line) => sum + line.share, 0);
  const groups = services.length === 0 ? [null] : services.map((service) => service.id);
  for (const serviceId of groups) {
    const own = lines.filter((line) => serviceId !== null && line.serviceId === serviceId);
    const total = sumOf(everywhere) + sumOf(own);
    if (total > MAX_DISHES_PER_COVER) {
      const dishes = Math.round(total * 10) / 10;
      throw invalid('/lines', `The shares of one service add up to ${dishes} dishes a cover.`);
    }
  }
}

/**
 * Checks that every dish can be made from the menu's first day on.
 * @throws Refusal `missing-component` pointing at the dish
 */
export function checkDishes(menu: MenuToSave, published: PublishedRecipes): void {
  const recipes = new Map(published.recipes.map((recipe) => [recipe.id, recipe]));
  const inForce = versionsInForce(published.versions, menu.activeFrom);
  for (const [i, line] of menu.lines.entries()) {
    const dish = recipes.get(line.dishId);
    const message =
      !dish || dish.archived
        ? `There is no dish ${line.dishId}.`
        : dish.kind !== 'dish'
          ? `${dish.name} is a component; only dishes go on a menu.`
          : !inForce.has(dish.id)
            ? `${dish.name} has no published version on ${menu.activeFrom}, the menu's first day.`
            : null;
    if (message !== null) {
      throw new Refusal('missing-component', message, {
        issues: [{ pointer: `/lines/${i}/dishId`, message }],
      });
    }
  }
}

/** Refuses a dish that another menu offers in the same service on the same dates: it would count twice. */
export function refuseTwice(id: string, menu: MenuToSave, others: readonly Menu[]): void {
  for (const other of others) {
    if (other.id === id) continue;
    for (const [i, line] of menu.lines.entries()) {
      if (!other.lines.some((theirs) => clash(theirs, line))) continue;
      const message = `${other.name} offers this dish in the same service on some of these dates.`;
      throw new Refusal('conflict', message, {
        issues: [{ pointer: `/lines/${i}/dishId`, message }],
        detail: { menuId: other.id },
      });
    }
  }
}

function clash(a: Omit<MenuLine, 'id'>, b: Omit<MenuLine, 'id'>): boolean {
  if (a.dishId !== b.dishId) return false;
  return a.serviceId === null || b.serviceId === null || a.serviceId === b.serviceId;
}
