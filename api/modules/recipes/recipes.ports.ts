import type { BaseUnit } from '../../core/quantity/index.ts';
import type { YieldStep } from '../../core/yields/index.ts';
import type { IngredientsRepository } from '../ingredients/index.ts';
import type { AuditTrail, Page, PageRequest } from '../platform/index.ts';
import type { SiteOverridesRead } from './site-override.ports.ts';

export type RecipeKind = 'component' | 'dish';
export type VersionStatus = 'draft' | 'in_review' | 'published' | 'withdrawn';
export type Storage = 'chilled' | 'frozen' | 'ambient';

/** What a person sets of a recipe; everything that changes with time stands in its versions. */
export interface RecipeInput {
  readonly kind: RecipeKind;
  readonly name: string;
  /** A dish is counted in portions: `each`. */
  readonly baseUnit: BaseUnit;
  readonly station: string;
}

export interface Recipe extends RecipeInput {
  readonly id: string;
  readonly archived: boolean;
  readonly rev: number;
}

/** An amount as written: a number with a UCUM code or a measure of the item, or a cook's text. */
export type WrittenAmount = string | { readonly value: number; readonly unit: string };

/** What a version lets a site do otherwise, by line and by step. */
export const LINE_FREEDOMS = ['ingredient', 'yield'] as const;
export type LineFreedom = (typeof LINE_FREEDOMS)[number];
export const STEP_FREEDOMS = ['temperature', 'time'] as const;
export type StepFreedom = (typeof STEP_FREEDOMS)[number];

export interface LineFields {
  /** Exactly one of the two is set. */
  readonly ingredientId: string | null;
  readonly componentId: string | null;
  /** Edible fraction for this use, in place of the ingredient's own. */
  readonly trimYield: number | null;
  /** Fraction kept when the line is weighed after cooking. */
  readonly cookingYield: number | null;
  /**
   * The chain of losses behind the two, each with its source; empty where only the two are written.
   * Trim, peel and stone make up the trim yield, the others the cooking yield.
   */
  readonly yields: readonly YieldStep[];
  readonly siteMay: readonly LineFreedom[];
  /** Once a batch whatever its size. */
  readonly perBatch: boolean;
  /** What the scale shows, in the item's base unit. */
  readonly scaleStep: number | null;
  readonly note: string | null;
}

/** Working time needs a person; waiting time does not. */
export interface StepInput {
  readonly text: string;
  readonly kind: string;
  readonly workingMin: number;
  readonly waitingMin: number;
  readonly equipment: { readonly kind: string; readonly amount: number } | null;
  readonly temperatureC: number | null;
  /** After this step the batch may wait, at most this long. */
  readonly holdMaxMin: number | null;
  /** Cooked food is being cooled: the rule set's limits apply. */
  readonly cooling: boolean;
  /** What is left of the whole batch after this step; the output as written counts it already. */
  readonly yields: readonly YieldStep[];
  readonly siteMay: readonly StepFreedom[];
}

interface ByProductFields {
  readonly componentId: string;
  readonly shelfLifeMin: number;
  readonly storage: Storage;
  /** Whether a batch may be started for the by-product alone. */
  readonly mayStartBatch: boolean;
}

interface VersionFields {
  /** What one piece of the output weighs, where it is counted. */
  readonly pieceMassG: number | null;
  readonly densityGPerMl: number | null;
  /** Permitted sizes counted in batches as written. */
  readonly batch: { readonly min: number; readonly max: number | null; readonly multiple: number };
  readonly shelfLifeMin: number;
  readonly storage: Storage;
  readonly cautions: readonly string[];
  readonly note: string | null;
  readonly steps: readonly StepInput[];
}

/** What a person writes in a draft. */
export interface VersionInput extends VersionFields {
  readonly output: WrittenAmount;
  readonly lines: readonly (LineFields & { readonly amount: WrittenAmount })[];
  readonly byProducts: readonly (ByProductFields & { readonly amount: WrittenAmount })[];
}

interface Weighed {
  /** As written. */
  readonly amount: { readonly value: number; readonly unit: string };
  /** In the item's base unit. */
  readonly quantity: number;
}
export type LineToSave = LineFields & Weighed;
export type ByProductToSave = ByProductFields & Weighed;

/** A draft with its amounts read and converted. */
export interface VersionToSave extends VersionFields {
  readonly output: Weighed;
  readonly lines: readonly LineToSave[];
  readonly byProducts: readonly ByProductToSave[];
}

export type RecipeLine = LineToSave & { readonly id: string };
export type RecipeStep = StepInput & { readonly id: string };
export type RecipeByProduct = ByProductToSave & { readonly id: string };

export interface RecipeVersion extends Omit<VersionToSave, 'lines' | 'steps' | 'byProducts'> {
  readonly id: string;
  readonly recipeId: string;
  readonly number: number;
  readonly status: VersionStatus;
  /** Drives service dates from here until the next published version begins. */
  readonly firstServiceDate: string | null;
  /** A withdrawn version drives no date from here on. */
  readonly withdrawnFrom: string | null;
  readonly lines: readonly RecipeLine[];
  readonly steps: readonly RecipeStep[];
  readonly byProducts: readonly RecipeByProduct[];
  readonly createdBy: string;
  readonly createdAt: Date;
  readonly submittedBy: string | null;
  readonly submittedAt: Date | null;
  readonly publishedBy: string | null;
  readonly publishedAt: Date | null;
  readonly rev: number;
}

/** What a draft said at a revision that has been saved over since. */
export interface DraftRevision {
  readonly rev: number;
  readonly content: VersionToSave;
  readonly savedBy: string;
  readonly savedAt: Date;
}

/** A change of a version's standing. */
export interface VersionMove {
  readonly status: VersionStatus;
  readonly firstServiceDate?: string | null;
  readonly submittedBy?: string | null;
  readonly submittedAt?: Date | null;
  readonly publishedBy?: string | null;
  readonly publishedAt?: Date | null;
  readonly withdrawnBy?: string | null;
  readonly withdrawnFrom?: string | null;
}

export interface RecipeFilter {
  readonly archived: boolean;
  readonly kind?: RecipeKind;
  readonly search?: string;
}

/** All recipes and every version that drives or has driven dates: what a planner starts from. */
export interface PublishedRecipes {
  readonly recipes: readonly Recipe[];
  /** Published, or withdrawn after having been in force; by recipe, then first service date. */
  readonly versions: readonly RecipeVersion[];
}

export interface RecipesRepository {
  page(request: PageRequest, filter: RecipeFilter): Promise<Page<Recipe>>;
  all(): Promise<readonly Recipe[]>;
  find(id: string): Promise<Recipe | null>;
  insert(id: string, input: RecipeInput): Promise<Recipe>;
  update(id: string, input: RecipeInput, rev: number): Promise<Recipe | null>;
  setArchived(id: string, archived: boolean, rev: number, at: Date): Promise<Recipe | null>;

  /** Newest first. */
  versionsOf(recipeId: string): Promise<readonly RecipeVersion[]>;
  findVersion(id: string): Promise<RecipeVersion | null>;
  /** The newest version of every recipe that is not withdrawn: what is being worked towards. */
  newestVersions(): Promise<readonly RecipeVersion[]>;
  insertVersion(
    id: string,
    recipeId: string,
    version: VersionToSave,
    made: { readonly number: number; readonly by: string; readonly at: Date },
  ): Promise<RecipeVersion>;
  updateVersion(id: string, version: VersionToSave, rev: number): Promise<RecipeVersion | null>;
  /** Keeps what the draft said before it is saved anew by `savedBy`. */
  keepRevision(version: RecipeVersion, savedBy: string, savedAt: Date): Promise<void>;
  /** Kept revisions from `rev` on, oldest first. */
  revisionsFrom(versionId: string, rev: number): Promise<readonly DraftRevision[]>;
  moveVersion(id: string, move: VersionMove, rev: number): Promise<RecipeVersion | null>;
  /** Makes other publications wait until this transaction ends, so that two cannot clash. */
  lockPublishing(): Promise<void>;
  /** Drafts only. */
  deleteVersion(id: string, rev: number): Promise<boolean>;
  /** @param onOrBefore leaves out versions that begin after this service date */
  publishedGraphRows(onOrBefore?: string): Promise<PublishedRecipes>;
}

/** A place where a dish is offered, as far as recipes need to know. */
export interface DishOffer {
  readonly menuLineId: string;
  readonly menuId: string;
  readonly menuName: string;
  readonly siteId: string;
  readonly dishId: string;
  readonly serviceId: string | null;
  readonly activeFrom: string;
  readonly activeTo: string | null;
}

/** Where dishes are on offer; the menus repository answers it. */
export interface DishOffers {
  /** Lines of menus in use that name one of the dishes on or after `from`. */
  offersOf(dishIds: readonly string[], from: string): Promise<readonly DishOffer[]>;
}

/** The repositories the recipe services work with, inside one transaction. */
export interface RecipesWork {
  readonly recipes: RecipesRepository;
  readonly siteOverrides: SiteOverridesRead;
  readonly ingredients: IngredientsRepository;
  readonly menus: DishOffers;
  readonly audit: AuditTrail;
}
