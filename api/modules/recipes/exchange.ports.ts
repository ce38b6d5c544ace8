import type {
  LineFields,
  RecipeInput,
  VersionInput,
  WrittenAmount,
  Storage,
} from './recipes.ports.ts';

/** A line that names its item instead of carrying an id: files are read in other groups too. */
export interface ExchangedLine extends Omit<LineFields, 'ingredientId' | 'componentId'> {
  readonly ingredient: string | null;
  readonly component: string | null;
  readonly amount: WrittenAmount;
}

export interface ExchangedByProduct {
  readonly component: string;
  readonly amount: WrittenAmount;
  readonly shelfLifeMin: number;
  readonly storage: Storage;
  readonly mayStartBatch: boolean;
}

export interface ExchangedVersion extends Omit<VersionInput, 'lines' | 'byProducts'> {
  readonly lines: readonly ExchangedLine[];
  readonly byProducts: readonly ExchangedByProduct[];
}

/** A recipe as a file holds it. Without a version: a by-product that another recipe gives. */
export interface ExchangedRecipe extends RecipeInput {
  readonly version: ExchangedVersion | null;
}

/** One thing wrong with a file, with a JSON pointer into it. */
export interface ExchangeProblem {
  readonly pointer: string;
  readonly message: string;
}

/** What an import did, or would do, with one recipe. */
export interface ExchangeOutcome {
  readonly name: string;
  readonly recipeId: string;
  /** The draft it makes; null where nothing differs from the newest version. */
  readonly versionId: string | null;
  readonly isNew: boolean;
}

export interface ExchangeReport {
  readonly dryRun: boolean;
  readonly recipes: readonly ExchangeOutcome[];
  readonly problems: readonly ExchangeProblem[];
}
