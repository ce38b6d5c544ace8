import { priceBookOf } from '../dishes/index.ts';
import { kitchenOn, type DishesRead, type Kitchen } from '../dishes/index.ts';
import {
  notFound,
  Refusal,
  requireSite,
  type Actor,
  type Clock,
  type UnitOfWork,
} from '../platform/index.ts';
import {
  recipeCard,
  recipesAtSite,
  versionsInForce,
  type RecipesService,
  type RecipeVersion,
  type SiteChange,
  type VersionInput,
  type VersionsService,
} from '../recipes/index.ts';
import type { Site } from '../sites/index.ts';
import { allergensOf, costOf, type CardAllergens, type CardCost } from './card-kitchen.ts';
import { benchBatches, type BenchBatch } from './card-batches.ts';
import type { SettingCaution } from '../../core/setting/index.ts';
import type { RecipeCard } from '../recipes/index.ts';

/** How much is made, where and on which service date; all but the amount may be left out. */
export interface CardQuestion {
  readonly batches: number;
  readonly siteId: string | undefined;
  readonly on: string | undefined;
}

/** A recipe card with everything the bench and the lead judge it by. */
export interface BenchCard extends Omit<RecipeCard, 'batches'> {
  readonly site: { readonly id: string; readonly name: string } | null;
  readonly serviceDate: string;
  /** What the site does otherwise than the group's recipe. */
  readonly siteChanges: readonly SiteChange[];
  readonly batches: readonly BenchBatch[];
  readonly gelatineCautions: readonly SettingCaution[];
  /** Null while `figuresMissing` says why. */
  readonly allergens: CardAllergens | null;
  /** Of everything made. Null without a site, and while `figuresMissing` says why. */
  readonly cost: CardCost | null;
  readonly figuresMissing: string | null;
}

export interface CardsDependencies {
  readonly work: Pick<UnitOfWork<DishesRead>, 'read'>;
  readonly clock: Clock;
  readonly recipes: RecipesService;
  readonly versions: VersionsService;
}

/** Cards of recipe versions and of drafts nobody has saved, for any batch, site and date. */
export class CardsService {
  readonly #deps: CardsDependencies;

  constructor(deps: CardsDependencies) {
    this.#deps = deps;
  }

  async ofVersion(actor: Actor, versionId: string, question: CardQuestion): Promise<BenchCard> {
    return this.#card(actor, await this.#deps.versions.get(versionId), question);
  }

  /** The version in force on the date. @throws Refusal `not-found` where there is none */
  async ofRecipe(actor: Actor, recipeId: string, question: CardQuestion): Promise<BenchCard> {
    const on = question.on ?? this.#today();
    const version = await this.#deps.recipes.versionOn(recipeId, on);
    return this.#card(actor, version, { ...question, on });
  }

  /** The card a draft would have. Nothing is saved. Refusals as saving it. */
  async ofDraft(
    actor: Actor,
    recipeId: string,
    input: VersionInput,
    question: CardQuestion,
  ): Promise<BenchCard> {
    return this.#card(actor, await this.#deps.versions.tryDraft(recipeId, input), question);
  }

  async #card(actor: Actor, written: RecipeVersion, question: CardQuestion): Promise<BenchCard> {
    const on = question.on ?? this.#today();
    const site = await this.#site(actor, question.siteId);
    const { version, changes } = await this.#deps.versions.atSite(actor, written, site?.id, on);
    const equipment = site ? await this.#deps.work.read.sites.equipmentOf(site.id, false) : null;
    const [named] = await this.#deps.versions.named([version]);
    if (!named) throw new Error(`The recipe of version ${version.id} is not there.`);
    const card = recipeCard(named, question.batches);
    const common = {
      ...card,
      site: site && { id: site.id, name: site.name },
      serviceDate: on,
      siteChanges: changes,
    };
    const kitchen = await this.#kitchen(version, on, site);
    if (kitchen instanceof Refusal) {
      return {
        ...common,
        batches: benchBatches(card, version, null, equipment).batches,
        gelatineCautions: [],
        allergens: null,
        cost: null,
        figuresMissing: kitchen.message,
      };
    }
    const { batches, cautions } = benchBatches(card, version, kitchen, equipment);
    return {
      ...common,
      batches,
      gelatineCautions: cautions,
      allergens: allergensOf(kitchen, version.recipeId, site?.ruleSet ?? 'eu'),
      cost: site && (await this.#cost(kitchen, site, version.recipeId, card.gives.quantity)),
      figuresMissing: null,
    };
  }

  async #cost(kitchen: Kitchen, site: Site, recipeId: string, quantity: number): Promise<CardCost> {
    const { suppliers, rates } = this.#deps.work.read;
    const book = priceBookOf(
      site,
      await suppliers.all(),
      await suppliers.packsWithPrices(),
      await rates.all(),
      kitchen.fromTheTap,
    );
    return costOf(kitchen, book, site, recipeId, quantity);
  }

  /**
   * The recipes of the date with this version among them; a component that has none in force yet
   * stands in its newest wording. @returns the Refusal where they do not hold together
   */
  async #kitchen(
    version: RecipeVersion,
    on: string,
    site: Site | null,
  ): Promise<Kitchen | Refusal> {
    const { recipes, ingredients, siteOverrides } = this.#deps.work.read;
    const overrides = site ? await siteOverrides.standing(site.id) : [];
    const published = await recipes.publishedGraphRows(on);
    const asIf = (one: RecipeVersion): RecipeVersion => ({
      ...one,
      status: 'published',
      firstServiceDate: on,
      withdrawnFrom: null,
    });
    const others = published.versions.filter((other) => other.recipeId !== version.recipeId);
    const inForce = versionsInForce(others, on);
    const toCome = (await recipes.newestVersions()).filter(
      (newest) => newest.recipeId !== version.recipeId && !inForce.has(newest.recipeId),
    );
    const versions = [...others, ...toCome.map(asIf), asIf(version)];
    try {
      const rows = await ingredients.all();
      const all = { recipes: published.recipes, versions };
      return kitchenOn(recipesAtSite(all, overrides, on), rows, on);
    } catch (error) {
      if (error instanceof Refusal) return error;
      throw error;
    }
  }

  async #site(actor: Actor, siteId: string | undefined): Promise<Site | null> {
    if (siteId === undefined) return null;
    requireSite(actor, siteId);
    const site = await this.#deps.work.read.sites.find(siteId);
    if (!site) throw notFound('site', siteId);
    return site;
  }

  #today(): string {
    return this.#deps.clock.now().toISOString().slice(0, 10);
  }
}
