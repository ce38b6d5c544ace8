import { addDays } from '../../core/calendar/index.ts';
import { itemPrice, type PriceBook } from '../../core/cost/index.ts';
import {
  availabilityFor,
  availabilityWarnings,
  rankSubstitutes,
  type Availability,
  type AvailabilityWarning,
  type RankedSubstitute,
  type SubstituteProfile,
} from '../../core/ordering/index.ts';
import { priceBookOf } from '../dishes/index.ts';
import { siteDate } from '../forecasts/index.ts';
import type { Ingredient } from '../ingredients/index.ts';
import {
  invalid,
  notFound,
  orRefuse,
  requireSite,
  type Actor,
  type Clock,
  type UnitOfWork,
} from '../platform/index.ts';
import type { MealService, Site } from '../sites/index.ts';
import type { Pack, Supplier } from '../suppliers/index.ts';
import { keepsDays, siteAvailability, type SupplyGap } from '../supply-terms/index.ts';
import type { AvailabilityRead } from './availability.ports.ts';
import { platedUses, type PlatedUse } from './menu-uses.ts';

/** Nobody buys further ahead; every day until then is looked at. */
const MOST_DAYS_AHEAD = 366;

/** A substitute with what the lead wrote beside it. */
export interface Offered extends RankedSubstitute {
  readonly note: string | null;
}

/** Something the menus count on that cannot be had, with what may stand in for it. */
export interface SiteWarning {
  readonly warning: AvailabilityWarning;
  /** As purchased base units that the services with known covers take; null where none is known. */
  readonly quantityBase: number | null;
  readonly substitutes: readonly Offered[];
}

export interface SiteWarnings {
  readonly site: Site;
  readonly today: string;
  readonly to: string;
  readonly warnings: readonly SiteWarning[];
  readonly services: ReadonlyMap<string, MealService>;
  readonly dishes: ReadonlyMap<string, string>;
  readonly ingredients: ReadonlyMap<string, Ingredient>;
}

export interface SiteSubstitutes {
  readonly site: Site;
  readonly on: string;
  readonly original: Ingredient;
  readonly quantityBase: number;
  readonly substitutes: readonly Offered[];
  readonly ingredients: ReadonlyMap<string, Ingredient>;
}

/** What is bought at a site, and from whom. */
interface Market {
  readonly site: Site;
  readonly ingredients: ReadonlyMap<string, Ingredient>;
  readonly packsOf: ReadonlyMap<string, readonly Pack[]>;
  readonly gaps: readonly SupplyGap[];
  readonly prices: PriceBook;
}

/** Whether what the menus need can be had, ahead of the day, and what may stand in for it. */
export class AvailabilityService {
  readonly #read: AvailabilityRead;
  readonly #clock: Clock;

  constructor(deps: {
    readonly work: Pick<UnitOfWork<AvailabilityRead>, 'read'>;
    readonly clock: Clock;
  }) {
    this.#read = deps.work.read;
    this.#clock = deps.clock;
  }

  /** Warnings of a site's menus for `days` days from its today on. */
  async warnings(actor: Actor, siteId: string, days: number): Promise<SiteWarnings> {
    requireSite(actor, siteId);
    const read = this.#read;
    const market = await this.#market(siteId);
    const { site } = market;
    const today = siteDate(this.#clock.now(), site.zone);
    const to = addDays(today, days - 1);
    const services = await read.sites.servicesOf(siteId, false);
    const published = await read.recipes.publishedGraphRows(to);
    const uses = platedUses(
      {
        services,
        published,
        lines: await read.menus.activeLines(siteId, today, to),
        closedDays: await read.sites.closedDaysOf(siteId),
        overrides: await read.siteOverrides.standing(siteId),
        ingredients: [...market.ingredients.values()],
        forecasts: await read.forecasts.newest(
          services.map((service) => service.id),
          today,
          to,
        ),
      },
      today,
      to,
    );
    const needed = new Set(uses.flatMap((use) => [...use.perPortion.keys()]));
    const found = orRefuse(
      availabilityWarnings(
        [...needed].flatMap((id) => this.#availability(market, id, { from: today, to }) ?? []),
        uses.flatMap(({ perPortion, ...use }) =>
          [...perPortion.keys()].map((ingredientId) => ({ ...use, siteId, ingredientId })),
        ),
        today,
      ),
    );
    const warnings = await Promise.all(
      found.map(async (warning): Promise<SiteWarning> => {
        const quantityBase = quantityOf(warning, uses);
        const { ingredientId, firstDate } = warning;
        const asked = { quantityBase: quantityBase ?? 1, on: firstDate, today };
        return {
          warning,
          quantityBase,
          substitutes: await this.#substitutes(market, ingredientId, asked),
        };
      }),
    );
    return {
      site,
      today,
      to,
      warnings,
      services: new Map(services.map((service) => [service.id, service])),
      dishes: new Map(published.recipes.map((recipe) => [recipe.id, recipe.name])),
      ingredients: market.ingredients,
    };
  }

  /**
   * What may stand in for an ingredient at a site on a date, best first.
   * @param asked `quantityBase`: as purchased base units of the original
   * @throws Refusal `not-found` for an ingredient that is not there; `invalid-input` for a day gone by
   */
  async substitutes(
    actor: Actor,
    siteId: string,
    ingredientId: string,
    asked: { readonly quantityBase: number; readonly on: string | undefined },
  ): Promise<SiteSubstitutes> {
    requireSite(actor, siteId);
    const market = await this.#market(siteId);
    const original = market.ingredients.get(ingredientId);
    if (!original) throw notFound('ingredient', ingredientId);
    const today = siteDate(this.#clock.now(), market.site.zone);
    const on = asked.on ?? today;
    if (on < today) throw invalid('/on', `It is ${today} at ${market.site.name}.`);
    if (on > addDays(today, MOST_DAYS_AHEAD)) {
      throw invalid('/on', `Ask for at most ${MOST_DAYS_AHEAD} days ahead.`);
    }
    const question = { quantityBase: asked.quantityBase, on, today };
    return {
      site: market.site,
      on,
      original,
      quantityBase: asked.quantityBase,
      substitutes: await this.#substitutes(market, ingredientId, question),
      ingredients: market.ingredients,
    };
  }

  #availability(
    { ingredients, packsOf, gaps }: Market,
    ingredientId: string,
    days: { readonly from: string; readonly to: string },
  ): Availability | null {
    const ingredient = ingredients.get(ingredientId);
    if (!ingredient || ingredient.notBought) return null;
    const packs = packsOf.get(ingredientId) ?? [];
    return {
      ...siteAvailability(ingredient, packs, gaps, days),
      keepsDays: Math.max(0, ...packs.map((pack) => keepsDays(pack, ingredient))),
    };
  }

  async #substitutes(
    market: Market,
    ingredientId: string,
    asked: { readonly quantityBase: number; readonly on: string; readonly today: string },
  ): Promise<readonly Offered[]> {
    const { quantityBase, on, today } = asked;
    const known = await this.#read.supplyTerms.substitutesOf([ingredientId]);
    if (known.length === 0) return [];
    const profile = (id: string): SubstituteProfile | null => {
      const ingredient = market.ingredients.get(id);
      if (!ingredient) return null;
      const availability = this.#availability(market, id, { from: today, to: on });
      const price = orRefuse(itemPrice(market.prices, id, on, market.site.currency));
      return {
        ingredientId: id,
        pricePerBase: price.kind === 'known' ? price.perBaseUnit.toString() : null,
        yieldFraction: ingredient.trimYield.fraction,
        allergens: ingredient.allergens,
        available:
          !ingredient.archived &&
          (availability === null ||
            orRefuse(availabilityFor(availability, on, today)) === 'available'),
      };
    };
    const original = profile(ingredientId);
    if (!original) return [];
    const candidates = known.flatMap(({ substituteId, ratio }) => {
      const found = profile(substituteId);
      return found ? [{ ...found, ratio }] : [];
    });
    const ranked = orRefuse(rankSubstitutes(original, candidates, quantityBase));
    const notes = new Map(known.map(({ substituteId, note }) => [substituteId, note]));
    return ranked.map((one) => ({ ...one, note: notes.get(one.ingredientId) ?? null }));
  }

  async #market(siteId: string): Promise<Market> {
    const read = this.#read;
    const site = await read.sites.find(siteId);
    if (!site) throw notFound('site', siteId);
    const rows = await read.ingredients.all();
    const suppliers = (await read.suppliers.all()).filter((one: Supplier) => !one.archived);
    const packs = await read.suppliers.packsWithPrices();
    const serving = new Set(
      suppliers.filter((one) => one.siteIds.includes(siteId)).map((one) => one.id),
    );
    const packsOf = new Map<string, Pack[]>();
    for (const pack of packs) {
      if (!serving.has(pack.supplierId)) continue;
      packsOf.set(pack.ingredientId, [...(packsOf.get(pack.ingredientId) ?? []), pack]);
    }
    const fromTheTap = new Set(rows.filter((row) => row.notBought).map((row) => row.id));
    return {
      site,
      ingredients: new Map(rows.map((row) => [row.id, row])),
      packsOf,
      gaps: await read.supplyTerms.gaps({}),
      prices: priceBookOf(site, suppliers, packs, await read.rates.all(), fromTheTap),
    };
  }
}

/** What the services of a warning take of the ingredient, those with known covers. */
function quantityOf(warning: AvailabilityWarning, uses: readonly PlatedUse[]): number | null {
  const concerned = new Set(
    warning.dishes.flatMap(({ dishId, sittings }) =>
      sittings.map(({ date, serviceId }) => `${dishId}|${date}|${serviceId}`),
    ),
  );
  let total: number | null = null;
  for (const { dishId, date, serviceId, covers, share, perPortion } of uses) {
    if (covers === null || !concerned.has(`${dishId}|${date}|${serviceId}`)) continue;
    total = (total ?? 0) + covers * share * (perPortion.get(warning.ingredientId) ?? 0);
  }
  return total !== null && total > 0 ? total : null;
}
