/** Something a kitchen buys, makes or plates. Quantities of it are always in its base unit. */
export interface Item {
  readonly id: string;
  readonly kind: 'ingredient' | 'component' | 'dish';
  readonly name: string;
  /** 'each' for a dish means one portion. */
  readonly baseUnit: 'g' | 'ml' | 'each';
}

/** What one base batch gives. One output is the main one; the others are by-products. */
export interface RecipeOutput {
  readonly itemId: string;
  /** Base units of the item per base batch, as ready to use; > 0. */
  readonly quantity: number;
  readonly main: boolean;
  /** A by-product starts a batch of its own accord only where the lead says so. */
  readonly mayStartBatch?: boolean;
  readonly shelfLifeMin?: number;
}

export interface RecipeLine {
  readonly id: string;
  readonly itemId: string;
  /** Base units of the item per base batch, edible portion as the recipe weighs it; > 0. */
  readonly quantity: number;
  /** Fraction kept between what is drawn and what is weighed, in (0, MAX_YIELD_FRACTION]. */
  readonly yieldFraction: number;
  /** A vanilla pod, oil for greasing: taken once for each batch started, whole or part. */
  readonly perBatch?: boolean;
  /** Said beside the line where a figure is explained: a site's own change and why. */
  readonly note?: string;
}

/** Which sizes may be made, in base batches. */
export interface BatchLimits {
  /** Sizes are whole multiples of this: 1 whole batches, 0.5 half batches; > 0. */
  readonly stepBatches: number;
  /** Smallest making; > 0. */
  readonly minimumBatches: number;
  /** Largest making at one time; absent means no limit. */
  readonly maximumBatches?: number;
}

/** One version of one recipe, in base units. */
export interface RecipeDef {
  /** The item the recipe makes: the item of its main output. */
  readonly itemId: string;
  readonly versionId: string;
  readonly outputs: readonly RecipeOutput[];
  readonly lines: readonly RecipeLine[];
  /** Whole batches from one up, when absent. */
  readonly batchLimits?: BatchLimits;
}

/** Dried pulses and soaked leaves gain a few times their mass; ten times is a slip of the pen. */
export const MAX_YIELD_FRACTION = 10;

/** How much a graph may hold. The defaults are far past any kitchen and keep a bad import from hanging a plan. */
export interface RecipeGraphLimits {
  readonly maximumLevels: number;
  readonly maximumLinesPerRecipe: number;
}

export const DEFAULT_GRAPH_LIMITS: RecipeGraphLimits = {
  maximumLevels: 100,
  maximumLinesPerRecipe: 20_000,
};
