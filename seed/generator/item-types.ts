/**
 * The shape of the demo group as it stands in seed/data, and of the history made for it. Everything
 * is invented for the demo; only nutrition, refuse and household weights are copied from the public
 * data set named beside them. Keys are unique over ingredients, recipes and by-products together.
 * Days are given relative to the day of loading ("today"): negative is past, positive is to come.
 */

import type { Composition as IngredientComposition } from '../../api/modules/ingredients/index.ts';

/** Unit an item's quantities are held in. */
export type BaseUnit = 'g' | 'ml' | 'each';
export type CurrencyCode = 'EUR' | 'GBP';
/** Food-safety rule set a site follows. */
export type RuleSet = 'eu' | 'uk';
/** ISO weekday: 1 is Monday, 7 is Sunday. */
export type IsoWeekday = 1 | 2 | 3 | 4 | 5 | 6 | 7;
/** `HH:MM`, local to the site or supplier. */
export type ClockTime = string;
/** `YYYY-MM-DD`. */
export type ServiceDate = string;
/** RFC 3339 instant in UTC, `2026-03-14T04:00:00.000Z`. */
export type Instant = string;
export type Season = 'spring' | 'summer' | 'autumn' | 'winter';

/** An amount as a cook writes it: a UCUM code, or a household measure of the ingredient. */
export interface Amount {
  readonly value: number;
  /** `g`, `kg`, `mL`, `L`, `[tsp_us]`, `[tbs_us]`; `each` for counted components; or a household measure's name. */
  readonly unit: string;
}

/** EU/UK allergen group codes, with the kind of cereal or nut after the colon. */
export type AllergenCode =
  | 'gluten:wheat'
  | 'gluten:barley'
  | 'gluten:oats'
  | 'gluten:rye'
  | 'milk'
  | 'eggs'
  | 'nuts:almond'
  | 'nuts:hazelnut'
  | 'nuts:pistachio'
  | 'nuts:walnut'
  | 'soybeans'
  | 'sulphites'
  | 'sesame'
  | 'peanuts'
  | 'lupin'
  | 'celery'
  | 'mustard'
  | 'fish'
  | 'crustaceans'
  | 'molluscs';

/** Declared allergens. A null declaration on an ingredient means the supplier has declared nothing. */
export interface AllergenDeclaration {
  readonly contains: readonly AllergenCode[];
  readonly mayContain: readonly AllergenCode[];
}

/**
 * Per 100 g edible portion. A member left out is unknown, never zero. Carbohydrate is 'by
 * difference' and includes fibre, as in the source; energy is the source's own.
 */
export interface NutritionPer100g {
  readonly source: string;
  readonly energyKcal?: number;
  readonly fatG?: number;
  readonly saturatesG?: number;
  readonly carbohydrateByDifferenceG?: number;
  readonly sugarsG?: number;
  readonly fibreG?: number;
  readonly proteinG?: number;
  readonly sodiumMg?: number;
  readonly waterG?: number;
  readonly alcoholG?: number;
}

/** Mass shares used to check a recipe's balance where the nutrition source has no record. */
export interface Composition {
  readonly waterFraction: number;
  readonly sugarsFraction: number;
  readonly fatFraction: number;
  readonly source: string;
}

/** A household measure of one ingredient: 1 `name` weighs `massG`. */
export interface HouseholdMeasure {
  readonly name: string;
  readonly massG: number;
  readonly source: string;
}

/** A part got from a bought piece (zest, juice, segments). */
export interface PartOf {
  /** Key of the piece, an ingredient counted in `each`. */
  readonly piece: string;
  /** Parts of one group compete for the same piece (juice or segments); different groups do not. */
  readonly group: string;
  /** 1 is taken first (zest before juice). */
  readonly order: number;
  /** What one piece gives, in the part's base unit. */
  readonly yieldPerPiece: number;
  readonly source: string;
}

/** How an ingredient counts in balances: dry sugars by kind, milk solids, alcohol, sourness. */
export interface Makeup {
  readonly sugars?: NonNullable<IngredientComposition['sugars']>;
  readonly milkSolidsFraction?: number;
  readonly alcoholFraction?: number;
  readonly saltFraction?: number;
  readonly ph?: number;
  readonly inMix?: NonNullable<IngredientComposition['inMix']>;
  readonly source: string;
}

export interface DemoIngredient {
  readonly key: string;
  readonly name: string;
  readonly category: string;
  readonly baseUnit: BaseUnit;
  readonly storage: Storage;
  /** How long a delivered pack keeps, as planned at receipt. */
  readonly shelfLifeDays: number;
  readonly density?: { readonly gPerMl: number; readonly source: string };
  /** Mass of one piece, for `each` ingredients. As bought, before trim. */
  readonly pieceMass?: { readonly massG: number; readonly source: string };
  readonly measures?: readonly HouseholdMeasure[];
  /** Edible fraction of the mass as bought. Left out: 1. */
  readonly trimYield?: { readonly fraction: number; readonly source: string };
  readonly partOf?: PartOf;
  /** Gelling sheets and powders: Bloom strength; a sheet's mass stands among the measures. */
  readonly gelatine?: {
    readonly bloom: number;
    readonly sheetMassG?: number;
    readonly source: string;
  };
  readonly allergens: AllergenDeclaration | null;
  readonly nutrition?: NutritionPer100g;
  readonly composition?: Composition;
  /** What the composition and the nutrition leave open, for balances. */
  readonly makeup?: Makeup;
  /** Months (1 to 12) it can be had; left out: all year. */
  readonly months?: readonly number[];
  readonly withdrawn?: { readonly daysFromToday: number; readonly reason: string };
  /** From the tap: never bought, costs nothing. */
  readonly notBought?: boolean;
  readonly note?: string;
}

export type Storage = 'chilled' | 'frozen' | 'ambient';
export type Station = 'larder' | 'oven' | 'stove' | 'freezer' | 'pass';
export type StepKind = 'work' | 'bake' | 'set' | 'chill' | 'freeze' | 'infuse' | 'rest' | 'cook';

/** What sort of making it is; the balance checks keep one band per family. */
export type RecipeFamily =
  | 'dish'
  | 'syrup'
  | 'infusion'
  | 'paste'
  | 'laminated'
  | 'shell'
  | 'baked-puff'
  | 'sponge'
  | 'cake'
  | 'biscuit'
  | 'crumble'
  | 'baked-yeast'
  | 'choux-paste'
  | 'baked-choux'
  | 'scone'
  | 'meringue'
  | 'dried-meringue'
  | 'custard'
  | 'curd'
  | 'cream'
  | 'mousse'
  | 'frozen-parfait'
  | 'ice-cream'
  | 'sorbet'
  | 'fruit'
  | 'fruit-jelly'
  | 'fluid-gel'
  | 'jam'
  | 'caramel'
  | 'brittle'
  | 'praline'
  | 'ganache'
  | 'glaze'
  | 'chocolate'
  | 'clarified-butter'
  | 'wash'
  | 'assembly'
  | 'filled-tart';

/** Exactly one of ingredient, component, byProduct names what the line takes. */
export type RecipeLine = LineOfIngredient | LineOfComponent | LineOfByProduct;

interface LineCommon {
  /** Net, as the recipe weighs it (after trim). */
  readonly amount: Amount;
  /** Edible fraction for this use, in place of the ingredient's own. */
  readonly trimYield?: number;
  /** Fraction kept when the line is weighed after cooking. */
  readonly cookingYield?: number;
  /** Once a batch whatever its size (a vanilla pod, oil for the tin). */
  readonly perBatch?: boolean;
  readonly note?: string;
}
export interface LineOfIngredient extends LineCommon {
  readonly ingredient: string;
}
export interface LineOfComponent extends LineCommon {
  readonly component: string;
}
export interface LineOfByProduct extends LineCommon {
  readonly byProduct: string;
}

export interface RecipeStep {
  readonly text: string;
  readonly kind: StepKind;
  /** A person's minutes for one batch as written. */
  readonly workingMin: number;
  /** Minutes that need nobody. */
  readonly waitingMin: number;
  /**
   * Taken up by a batch as written: trays, shelves, cavities, or the part of a machine it fills
   * (0.5: half a mixing bowl). In proportion for other sizes, rounded up to whole ones.
   */
  readonly equipment?: { readonly kind: string; readonly amount: number };
  readonly temperatureC?: number;
  /** After this step the batch may wait, at most this long. */
  readonly holdMaxMin?: number;
  /** True where cooked food is being cooled: the rule set's limits apply. */
  readonly cooling?: boolean;
}

/** A second output. Its key is an item of its own that lines may take, with no recipe to itself. */
export interface ByProduct {
  readonly key: string;
  readonly name: string;
  /** From one batch as written. */
  readonly value: number;
  readonly unit: BaseUnit;
  readonly shelfLifeHours: number;
  readonly storage: Storage;
  /** True where the lead allows a batch to be started for the by-product alone. */
  readonly mayStartBatch: boolean;
}

export interface RecipeVersion {
  readonly number: number;
  readonly status: 'published' | 'draft';
  /** 210: first served 210 days before today; −9: nine days from now. Null on a draft. */
  readonly firstServiceDaysAgo: number | null;
  readonly changeNote?: string;
  readonly output: { readonly value: number; readonly unit: BaseUnit };
  /** Finished mass of one piece, for outputs in `each`. */
  readonly pieceMassG?: number;
  readonly byProducts: readonly ByProduct[];
  /** Permitted sizes counted in batches as written: from min to max in steps of multiple. */
  readonly batch: { readonly min: number; readonly max: number; readonly multiple: number };
  readonly shelfLifeHours: number;
  readonly storage: Storage;
  readonly lines: readonly RecipeLine[];
  readonly steps: readonly RecipeStep[];
  readonly cautions?: readonly string[];
}

export interface DishPrice {
  readonly currency: CurrencyCode;
  /** Decimal string, as on the menu, tax included. */
  readonly amount: string;
  readonly taxRateFraction: number;
}

export interface DemoRecipe {
  readonly key: string;
  readonly name: string;
  readonly kind: 'component' | 'dish';
  readonly family: RecipeFamily;
  readonly station: Station;
  /** Oldest first; numbers 1, 2, … */
  readonly versions: readonly RecipeVersion[];
  /** Dishes only. */
  readonly prices?: readonly DishPrice[];
  readonly targetFoodCostFraction?: number;
}
