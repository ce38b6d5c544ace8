import { addDays } from '../../core/calendar/index.ts';
import type { Costing } from '../../core/cost/index.ts';
import {
  allergenChange,
  allergenStatement,
  type AllergenChange,
} from '../../core/allergens/index.ts';
import { notFound, orRefuse, type UnitOfWork } from '../platform/index.ts';
import {
  dishesUnderChange,
  holdsOn,
  recipesAtSite,
  type DishOffer,
  type PublishedRecipes,
  type RecipeVersion,
} from '../recipes/index.ts';
import type { Site } from '../sites/index.ts';
import { portionCost } from './dish-costs.service.ts';
import type { DishesRead } from './dishes.ports.ts';
import { kitchenOn, type Kitchen } from './kitchen-on.ts';
import { priceBookOf } from './site-prices.ts';

/** A dish at a site that changes, between two dates both included. */
export interface SiteImpact {
  readonly site: Site;
  readonly from: string;
  /** Null: until the menu or the version is replaced. */
  readonly to: string | null;
  readonly menuNames: readonly string[];
  readonly serviceIds: readonly (string | null)[];
  /** Null where the dish was not served before. */
  readonly costBefore: Costing | null;
  readonly costAfter: Costing;
  /** Under the site's rules. Null where the dish was not served before. */
  readonly allergens: AllergenChange | null;
}

export interface DishImpact {
  readonly dishId: string;
  readonly name: string;
  /** Whether the dish had a version in force on the first date. */
  readonly servedBefore: boolean;
  /** Under EU and UK law, whether on a menu or not. */
  readonly allergens: AllergenChange | null;
  readonly sites: readonly SiteImpact[];
}

export interface VersionImpact {
  readonly version: RecipeVersion;
  readonly recipeName: string;
  readonly from: string;
  /** The day before the next published version of the same recipe begins. */
  readonly to: string | null;
  readonly dishes: readonly DishImpact[];
  readonly addsAllergens: boolean;
}

/** The recipes on a date without the version and with it. */
interface BeforeAndAfter {
  readonly before: Kitchen;
  readonly after: Kitchen;
}

/** What publishing a version changes: each dish, site and date, in cost and allergens. */
export class ImpactService {
  readonly #work: Pick<UnitOfWork<DishesRead>, 'read'>;

  constructor({ work }: { readonly work: Pick<UnitOfWork<DishesRead>, 'read'> }) {
    this.#work = work;
  }

  /**
   * @param from the first service date asked about; a published version's own date stands over it
   * @throws Refusal `missing-component` and the like where the version could not be published then
   */
  async ofVersion(versionId: string, from: string): Promise<VersionImpact> {
    const { recipes, ingredients, menus } = this.#work.read;
    const version = await recipes.findVersion(versionId);
    if (!version) throw notFound('recipe version', versionId);
    const date = version.firstServiceDate ?? from;
    const published = await recipes.publishedGraphRows();
    const rows = await ingredients.all();
    const without = {
      recipes: published.recipes,
      versions: published.versions.filter((other) => other.id !== version.id),
    };
    const candidate: RecipeVersion = {
      ...version,
      status: 'published',
      firstServiceDate: date,
      withdrawnFrom: null,
    };
    const before = kitchenOn(without, rows, date);
    const withIt = { ...without, versions: [...without.versions, candidate] };
    const after = kitchenOn(withIt, rows, date);
    // Each site's own changes stand on both sides of the comparison.
    const overrides = await this.#work.read.siteOverrides.standing();
    const kitchens = (siteId: string): BeforeAndAfter => {
      const own = overrides.filter((one) => one.siteId === siteId && holdsOn(one, date));
      if (own.length === 0) return { before, after };
      return {
        before: kitchenOn(recipesAtSite(without, own, date), rows, date),
        after: kitchenOn(recipesAtSite(withIt, own, date), rows, date),
      };
    };
    const to = lastDay(without, version.recipeId, date);
    const dishIds = dishesUnderChange(after.graph, version.recipeId);
    const offers = (await menus.offersOf(dishIds, date)).filter(
      (offer) => to === null || offer.activeFrom <= to,
    );
    const dishes: DishImpact[] = [];
    for (const dishId of dishIds) {
      const own = offers.filter((offer) => offer.dishId === dishId);
      dishes.push({
        dishId,
        name: after.graph.items.get(dishId)?.name ?? dishId,
        servedBefore: before.graph.recipes.has(dishId),
        allergens: allergenDifference(before, after, dishId, 'eu'),
        sites: await this.#sites(kitchens, dishId, own, { from: date, to }),
      });
    }
    return {
      version,
      recipeName: after.graph.items.get(version.recipeId)?.name ?? version.recipeId,
      from: date,
      to,
      dishes,
      addsAllergens: dishes.some(
        (dish) =>
          dish.allergens?.addsRisk === true ||
          dish.sites.some((site) => site.allergens?.addsRisk === true),
      ),
    };
  }

  async #sites(
    kitchens: (siteId: string) => BeforeAndAfter,
    dishId: string,
    offers: readonly DishOffer[],
    dates: { readonly from: string; readonly to: string | null },
  ): Promise<SiteImpact[]> {
    const { sites, suppliers, rates } = this.#work.read;
    const impacts: SiteImpact[] = [];
    if (offers.length === 0) return impacts;
    const [allSuppliers, packs] = [await suppliers.all(), await suppliers.packsWithPrices()];
    const allRates = await rates.all();
    for (const siteId of new Set(offers.map((offer) => offer.siteId))) {
      const site = await sites.find(siteId);
      if (!site) continue;
      const own = offers.filter((offer) => offer.siteId === siteId);
      const { before, after } = kitchens(siteId);
      const book = priceBookOf(site, allSuppliers, packs, allRates, after.fromTheTap);
      const served = before.graph.recipes.has(dishId);
      impacts.push({
        site,
        ...spanOf(own, dates),
        menuNames: [...new Set(own.map((offer) => offer.menuName))],
        serviceIds: [...new Set(own.map((offer) => offer.serviceId))],
        costBefore: served ? portionCost(before, book, site, dishId) : null,
        costAfter: portionCost(after, book, site, dishId),
        allergens: allergenDifference(before, after, dishId, site.ruleSet),
      });
    }
    return impacts;
  }
}

/** The last day before the recipe's next published version begins. */
function lastDay(published: PublishedRecipes, recipeId: string, from: string): string | null {
  const next = published.versions
    .filter((version) => version.recipeId === recipeId && version.status === 'published')
    .flatMap((version) => version.firstServiceDate ?? [])
    .filter((date) => date > from)
    .sort()[0];
  return next === undefined ? null : addDays(next, -1);
}

/** From the first to the last day on which one of the menus offers the dish. */
function spanOf(
  offers: readonly DishOffer[],
  dates: { readonly from: string; readonly to: string | null },
): { readonly from: string; readonly to: string | null } {
  const firsts = offers.map((offer) =>
    offer.activeFrom > dates.from ? offer.activeFrom : dates.from,
  );
  const lasts = offers.map((offer) => earlier(offer.activeTo, dates.to));
  return {
    from: firsts.sort()[0] ?? dates.from,
    to: lasts.includes(null) ? null : (lasts.sort().at(-1) ?? null),
  };
}

function earlier(a: string | null, b: string | null): string | null {
  if (a === null) return b;
  if (b === null) return a;
  return a < b ? a : b;
}

function allergenDifference(
  before: Kitchen,
  after: Kitchen,
  dishId: string,
  regime: Site['ruleSet'],
): AllergenChange | null {
  if (!before.graph.recipes.has(dishId)) return null;
  const of = ({ graph, declarations, massPerBaseUnit }: Kitchen) =>
    orRefuse(allergenStatement(graph, declarations, dishId, regime, { massPerBaseUnit }));
  return allergenChange(of(before), of(after));
}
