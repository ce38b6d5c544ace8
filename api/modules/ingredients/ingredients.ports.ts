import type { InMix } from '../../core/balance/index.ts';
import type { SweetenerKind } from '../../core/frozen-base/index.ts';
import type { BaseUnit } from '../../core/quantity/index.ts';
import type { AuditTrail, Page, PageRequest } from '../platform/index.ts';

export type Storage = 'chilled' | 'frozen' | 'ambient';

/** A measure of this ingredient alone: one `name` of it weighs `massG`. */
export interface MeasureInput {
  readonly name: string;
  readonly massG: number;
  readonly source: string | null;
}

/** The piece a part is taken from, and what one piece gives in the part's base unit. */
export interface PartOf {
  readonly pieceId: string;
  /** Parts of one group compete for the same flesh (juice or segments); groups do not compete. */
  readonly group: string;
  /** 1 is taken first (zest before juice). */
  readonly order: number;
  readonly yieldPerPiece: number;
  readonly source: string | null;
}

/** Codes of core/allergens, with the kind after a colon: `nuts:almond`. */
export interface AllergenDeclaration {
  readonly contains: readonly string[];
  readonly mayContain: readonly string[];
  /** Total SO₂, mg per kg as used, where the supplier states it. */
  readonly sulphitesMgPerKg: number | null;
}

/** Per 100 g edible portion; null is unknown, never zero. */
export interface NutritionFigures {
  /** The source's own; declarations work energy out from its carriers. */
  readonly energyKcal: number | null;
  readonly fatG: number | null;
  readonly saturatesG: number | null;
  readonly monounsaturatesG: number | null;
  readonly polyunsaturatesG: number | null;
  /** As the law has it: polyols included, fibre not. */
  readonly carbohydrateG: number | null;
  /** By difference, fibre included, as in the USDA tables. */
  readonly carbohydrateByDifferenceG: number | null;
  readonly sugarsG: number | null;
  readonly starchG: number | null;
  readonly polyolsG: number | null;
  readonly erythritolG: number | null;
  readonly salatrimsG: number | null;
  readonly fibreG: number | null;
  readonly proteinG: number | null;
  readonly saltG: number | null;
  readonly sodiumMg: number | null;
  readonly organicAcidsG: number | null;
  readonly alcoholG: number | null;
  readonly waterG: number | null;
}
export interface Nutrition extends NutritionFigures {
  readonly source: string;
}

/** Dry sweeteners by kind, as core/frozen-base tells them apart: fractions of the ingredient's mass. */
export type SugarsByKind = Readonly<Partial<Record<SweetenerKind, number>>>;

/**
 * What an ingredient is made of, as fractions of its mass, for balances of syrups, frozen bases and
 * doughs; null is unknown, never zero, and water, fat, sugars and salt then come from its nutrition.
 */
export interface Composition {
  readonly waterFraction: number | null;
  readonly fatFraction: number | null;
  /** All of them, where the kinds are not told. */
  readonly sugarsFraction: number | null;
  /** Milk solids not fat, the lactose in them included. */
  readonly milkSolidsFraction: number;
  readonly alcoholFraction: number;
  readonly saltFraction: number | null;
  /** Leaves out the lactose inside milk solids. Null: the kinds are not known. */
  readonly sugars: SugarsByKind | null;
  readonly ph: number | null;
  readonly inMix: InMix | null;
  readonly source: string | null;
}

/** What a person sets of an ingredient. */
export interface IngredientInput {
  readonly name: string;
  readonly category: string | null;
  readonly baseUnit: BaseUnit;
  readonly storage: Storage;
  readonly shelfLifeDays: number | null;
  readonly density: { readonly gPerMl: number; readonly source: string | null } | null;
  readonly pieceMass: { readonly massG: number; readonly source: string | null } | null;
  readonly measures: readonly MeasureInput[];
  /** Edible fraction of what is bought. */
  readonly trimYield: { readonly fraction: number; readonly source: string | null };
  readonly partOf: PartOf | null;
  readonly gelatine: { readonly bloom: number; readonly sheetMassG: number | null } | null;
  /** Null: the supplier has declared nothing. */
  readonly allergens: AllergenDeclaration | null;
  readonly nutrition: Nutrition | null;
  readonly composition: Composition | null;
  /** Months (1 to 12) it can be had; none listed: all year. */
  readonly seasonMonths: readonly number[];
  readonly withdrawn: { readonly from: string; readonly reason: string | null } | null;
  /** From the tap: never ordered, costs nothing. */
  readonly notBought: boolean;
  readonly note: string | null;
}

export interface Ingredient extends IngredientInput {
  readonly id: string;
  readonly archived: boolean;
  readonly rev: number;
}

/** A recipe version with a line that names an ingredient. */
export interface IngredientUse {
  readonly recipeId: string;
  readonly recipeName: string;
  readonly versionId: string;
  readonly versionNumber: number;
  readonly status: string;
}

export interface IngredientFilter {
  readonly archived: boolean;
  /** Part of the name, any case. */
  readonly search?: string;
}

export interface IngredientsRepository {
  page(request: PageRequest, filter: IngredientFilter): Promise<Page<Ingredient>>;
  /** Every ingredient, archived ones too (past recipes name them). */
  all(): Promise<readonly Ingredient[]>;
  find(id: string): Promise<Ingredient | null>;
  findMany(ids: readonly string[]): Promise<readonly Ingredient[]>;
  partsOf(pieceId: string): Promise<readonly Ingredient[]>;
  /** Newest version first. */
  usesOf(id: string): Promise<readonly IngredientUse[]>;
  /** Whether recipes, packs or stock hold quantities in this ingredient's base unit. */
  holdsQuantities(id: string): Promise<boolean>;
  insert(id: string, input: IngredientInput): Promise<Ingredient>;
  update(id: string, input: IngredientInput, rev: number): Promise<Ingredient | null>;
  setArchived(id: string, archived: boolean, rev: number, at: Date): Promise<Ingredient | null>;
}

/** The repositories the ingredients service works with, inside one transaction. */
export interface IngredientsWork {
  readonly ingredients: IngredientsRepository;
  readonly audit: AuditTrail;
}
