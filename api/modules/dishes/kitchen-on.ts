import type { AllergenDeclarations } from '../../core/allergens/index.ts';
import type { NutrientData } from '../../core/nutrition/index.ts';
import type { PartsSpec } from '../../core/parts/index.ts';
import type { RecipeGraph } from '../../core/recipe-graph/index.ts';
import { densityOf, pieceMassOf } from '../../core/quantity/index.ts';
import { measuresOf, partsSpecOf, type Ingredient } from '../ingredients/index.ts';
import { orRefuse } from '../platform/index.ts';
import {
  declarationsOf,
  graphOn,
  recipeMeasures,
  versionsInForce,
  type PublishedRecipes,
  type RecipeVersion,
} from '../recipes/index.ts';

/** The recipes in force on a date with all that is known of what goes into them. */
export interface Kitchen {
  readonly date: string;
  readonly graph: RecipeGraph;
  readonly inForce: ReadonlyMap<string, RecipeVersion>;
  readonly ingredients: ReadonlyMap<string, Ingredient>;
  readonly declarations: AllergenDeclarations;
  readonly nutrients: ReadonlyMap<string, NutrientData | null>;
  readonly pieces: readonly PartsSpec[];
  /** From the tap: free, and added water on a label. */
  readonly fromTheTap: ReadonlySet<string>;
  /** Grams of one base unit, where it is known. */
  massPerBaseUnit(itemId: string): number | undefined;
}

/** @throws Refusal where the recipes in force do not hold together */
export function kitchenOn(
  published: PublishedRecipes,
  rows: readonly Ingredient[],
  date: string,
): Kitchen {
  const inForce = versionsInForce(published.versions, date);
  const ingredients = new Map(rows.map((row) => [row.id, row]));
  const masses = unitMasses(published, rows, inForce);
  return {
    date,
    graph: orRefuse(graphOn(published, rows, date)),
    inForce,
    ingredients,
    declarations: declarationsOf(rows),
    nutrients: new Map(rows.map((row) => [row.id, nutrientsOf(row)])),
    pieces: piecesOf(rows),
    fromTheTap: new Set(rows.filter((row) => row.notBought).map((row) => row.id)),
    massPerBaseUnit: (itemId) => masses.get(itemId),
  };
}

/** Grams per millilitre or piece, from density, piece weight or a weighed measure. */
function unitMasses(
  published: PublishedRecipes,
  rows: readonly Ingredient[],
  inForce: ReadonlyMap<string, RecipeVersion>,
): ReadonlyMap<string, number> {
  const masses = new Map<string, number>();
  const known = [
    ...rows.map((row) => ({ id: row.id, measures: measuresOf(row) })),
    ...published.recipes.map((recipe) => ({
      id: recipe.id,
      measures: recipeMeasures(recipe, inForce.get(recipe.id)),
    })),
  ];
  for (const { id, measures } of known) {
    if (measures.baseUnit === 'g') masses.set(id, 1);
    else {
      const mass = measures.baseUnit === 'ml' ? densityOf(measures) : pieceMassOf(measures);
      if (mass.ok) masses.set(id, mass.value.value);
    }
  }
  return masses;
}

/** Kept beside the nutrients and no part of a declaration: energy is worked out from its carriers. */
const NO_NUTRIENTS: ReadonlySet<string> = new Set(['energyKcal', 'waterG']);

/** What the core knows nutrients by: members that are unknown are left out. */
function nutrientsOf({ nutrition }: Ingredient): NutrientData | null {
  if (nutrition === null) return null;
  const known = Object.entries(nutrition).filter(
    ([name, value]) => value !== null && !NO_NUTRIENTS.has(name),
  );
  return Object.fromEntries(known) as NutrientData;
}

function piecesOf(rows: readonly Ingredient[]): readonly PartsSpec[] {
  return rows.map((piece) => partsSpecOf(piece, rows)).filter((spec) => spec.groups.length > 0);
}
