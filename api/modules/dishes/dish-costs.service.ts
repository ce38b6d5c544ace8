import {
  itemCost,
  itemsUsed,
  menuFigures,
  priceRise,
  type Costing,
  type MenuFigures,
  type PriceBook,
  type PriceRise,
} from '../../core/cost/index.ts';
import { Decimal, subtractMoney, type Money } from '../../core/money/index.ts';
import type { ActiveMenuLine } from '../menus/index.ts';
import { fromCoreError, notFound, orRefuse, Refusal, type UnitOfWork } from '../platform/index.ts';
import type { RecipeVersion } from '../recipes/index.ts';
import type { Site } from '../sites/index.ts';
import { readSiteWaste, type ExpectedWaste, type SiteWaste } from './dish-waste.ts';
import type { DishesRead } from './dishes.ports.ts';
import type { Kitchen } from './kitchen-on.ts';
import { kitchenAtSite } from './site-kitchen.ts';
import { priceBookOf } from './site-prices.ts';

/** What a menu line earns on a dish. */
export interface LineFigures {
  readonly line: ActiveMenuLine;
  readonly figures: MenuFigures;
}

/** What a dearer ingredient does to a plate. */
export interface Sensitivity {
  readonly itemId: string;
  readonly name: string;
  readonly rise: PriceRise;
}

/** What is expected to be thrown away on the way to one portion. */
export interface PortionWaste {
  /** Part of the known cost that pays for it. */
  readonly cost: Money;
  readonly window: SiteWaste['window'];
  /** What enters, largest part first; items nothing is known of are not in it. */
  readonly items: readonly (ExpectedWaste & { readonly name: string })[];
}

/** The cost of one portion at a site on a date, expected waste in it. */
export interface DishCost {
  readonly site: Site;
  readonly date: string;
  readonly dishId: string;
  readonly name: string;
  readonly version: RecipeVersion;
  readonly itemNames: ReadonlyMap<string, string>;
  readonly costing: Costing;
  readonly waste: PortionWaste;
  readonly lines: readonly LineFigures[];
  readonly riseFraction: string;
  readonly sensitivity: readonly Sensitivity[];
}

const DRIVERS_LOOKED_AT = 5;

/** Plate cost, food cost and margin of dishes at a site and date. */
export class DishCostsService {
  readonly #work: Pick<UnitOfWork<DishesRead>, 'read'>;

  constructor({ work }: { readonly work: Pick<UnitOfWork<DishesRead>, 'read'> }) {
    this.#work = work;
  }

  /** @throws Refusal `not-found` when the dish has no version in force on the date */
  async one(siteId: string, dishId: string, date: string, riseFraction: string): Promise<DishCost> {
    const { site, kitchen, lines, costOf } = await this.#at(siteId, date);
    const item = kitchen.graph.items.get(dishId);
    if (item?.kind !== 'dish') throw notFound('dish', dishId);
    const version = kitchen.inForce.get(dishId);
    if (!version || !kitchen.graph.recipes.has(dishId)) {
      throw new Refusal('not-found', `${item.name} has no published version for ${date}.`);
    }
    const { costing, waste } = costOf(dishId);
    return {
      site,
      date,
      dishId,
      name: item.name,
      version,
      itemNames: namesOf(kitchen),
      costing,
      waste,
      lines: lines
        .filter((line) => line.dishId === dishId)
        .map((line) => ({ line, figures: figuresOf(costing, line, site) })),
      riseFraction,
      sensitivity: costing.drivers
        .filter((driver) => driver.basis !== null)
        .slice(0, DRIVERS_LOOKED_AT)
        .map(({ itemId, name }) => ({
          itemId,
          name,
          rise: orRefuse(priceRise(costing, [itemId], riseFraction), '/querystring/rise'),
        })),
    };
  }

  /** Every dish the site offers on the date; those nobody has published are left out. */
  async offered(
    siteId: string,
    date: string,
  ): Promise<{ readonly site: Site; readonly costs: readonly DishCost[] }> {
    const { site, kitchen, lines, costOf } = await this.#at(siteId, date);
    const dishIds = [...new Set(lines.map((line) => line.dishId))];
    const itemNames = namesOf(kitchen);
    const costs = dishIds.flatMap((dishId): DishCost[] => {
      const version = kitchen.inForce.get(dishId);
      const item = kitchen.graph.items.get(dishId);
      if (!version || !item || !kitchen.graph.recipes.has(dishId)) return [];
      const { costing, waste } = costOf(dishId);
      const own = lines.filter((line) => line.dishId === dishId);
      const figures = own.map((line) => ({ line, figures: figuresOf(costing, line, site) }));
      const { name } = item;
      const rest = { waste, riseFraction: '0', sensitivity: [] };
      return [{ site, date, dishId, name, version, itemNames, costing, lines: figures, ...rest }];
    });
    return { site, costs };
  }

  async #at(siteId: string, date: string) {
    const { menus, sites, suppliers, rates } = this.#work.read;
    const site = await sites.find(siteId);
    if (!site) throw notFound('site', siteId);
    const kitchen = await kitchenAtSite(this.#work.read, siteId, date);
    const book = priceBookOf(
      site,
      await suppliers.all(),
      await suppliers.packsWithPrices(),
      await rates.all(),
      kitchen.fromTheTap,
    );
    const waste = await readSiteWaste(this.#work.read.waste, site, kitchen);
    return {
      site,
      kitchen,
      lines: await menus.activeLines(siteId, date, date),
      costOf: (dishId: string) => withWaste(kitchen, book, site, dishId, waste),
    };
  }
}

/** The cost of a portion with what is expected to be thrown away, and how much of it that is. */
function withWaste(
  kitchen: Kitchen,
  book: PriceBook,
  site: Site,
  dishId: string,
  waste: SiteWaste,
): { readonly costing: Costing; readonly waste: PortionWaste } {
  const items = [...itemsUsed(kitchen.graph, new Map([[dishId, 1]])).keys()]
    .flatMap((itemId) => waste.of(itemId) ?? [])
    .map((one) => ({ ...one, name: kitchen.graph.items.get(one.itemId)?.name ?? one.itemId }))
    .sort((a, b) => b.fraction - a.fraction || a.name.localeCompare(b.name));
  const fractions = new Map(items.map(({ itemId, fraction }) => [itemId, fraction]));
  const costing = portionCost(kitchen, book, site, dishId, fractions);
  const bare = portionCost(kitchen, book, site, dishId);
  const cost = orRefuse(subtractMoney(costing.knownCost, bare.knownCost));
  return { costing, waste: { cost, window: waste.window, items } };
}

function namesOf(kitchen: Kitchen): ReadonlyMap<string, string> {
  return new Map([...kitchen.graph.items].map(([id, item]) => [id, item.name]));
}

/** The cost of one portion, waste left out unless given. @throws Refusal of the core's kind */
export function portionCost(
  kitchen: Kitchen,
  book: PriceBook,
  site: Pick<Site, 'currency'>,
  dishId: string,
  wasteFractions: ReadonlyMap<string, number> = new Map(),
): Costing {
  const cost = itemCost(kitchen.graph, book, {
    itemId: dishId,
    quantity: 1,
    date: kitchen.date,
    currency: site.currency,
    pieces: kitchen.pieces,
    wasteFractions,
  });
  if (!cost.ok) throw fromCoreError(cost.error);
  return cost.value;
}

function figuresOf(costing: Costing, line: ActiveMenuLine, site: Site): MenuFigures {
  const price = { amount: line.netPrice, currency: site.currency };
  const target = line.targetCost === null ? undefined : new Decimal(line.targetCost).toString();
  return orRefuse(menuFigures(costing, price, target));
}
