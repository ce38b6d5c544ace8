import type {
  IngredientMakeup,
  KnownGelatine,
  MixBook,
  MixRecipe,
} from '../../core/balance/index.ts';
import { nutrientsPer100g, type NutrientAmounts } from '../../core/nutrition/index.ts';
import type { Kitchen } from '../dishes/index.ts';
import type { Composition, Ingredient } from '../ingredients/index.ts';
import type { RecipeVersion } from '../recipes/index.ts';

/** What balances are worked out from, out of the recipes in force on a date. */
export function mixBookOf(kitchen: Kitchen): MixBook {
  const { graph, inForce, ingredients } = kitchen;
  const makeups = new Map<string, IngredientMakeup>();
  const giverOf = byProductGivers(inForce);
  return {
    nameOf: (itemId) => graph.items.get(itemId)?.name ?? itemId,
    massPerBaseUnit: (itemId) => kitchen.massPerBaseUnit(itemId),
    ingredient(itemId) {
      const row = ingredients.get(itemId);
      if (!row) return undefined;
      const known = makeups.get(itemId) ?? makeupOf(row, kitchen);
      makeups.set(itemId, known);
      return known;
    },
    recipe(itemId) {
      const version = inForce.get(itemId) ?? inForce.get(giverOf.get(itemId) ?? '');
      return version && mixRecipeOf(version, kitchen);
    },
  };
}

function byProductGivers(inForce: Kitchen['inForce']): ReadonlyMap<string, string> {
  const givers = new Map<string, string>();
  for (const version of inForce.values()) {
    for (const { componentId } of version.byProducts) {
      if (!givers.has(componentId)) givers.set(componentId, version.recipeId);
    }
  }
  return givers;
}

/** @param factor size in batches as written */
export function mixRecipeOf(version: RecipeVersion, kitchen: Kitchen, factor = 1): MixRecipe {
  const outputs = [
    { itemId: version.recipeId, quantity: version.output.quantity },
    ...version.byProducts.map(({ componentId, quantity }) => ({ itemId: componentId, quantity })),
  ];
  const masses = outputs.map(({ itemId, quantity }) => {
    const unitMassG = kitchen.massPerBaseUnit(itemId);
    return unitMassG === undefined ? null : quantity * unitMassG * factor;
  });
  const known = masses.filter((mass) => mass !== null);
  return {
    itemId: version.recipeId,
    name: kitchen.graph.items.get(version.recipeId)?.name ?? version.recipeId,
    lines: version.lines.map((line) => ({
      itemId: line.ingredientId ?? line.componentId ?? '',
      quantity: line.quantity * (line.perBatch ? 1 : factor),
    })),
    outputMassG: known.length === masses.length ? known.reduce((sum, mass) => sum + mass, 0) : null,
    steps: version.steps,
  };
}

const NOTHING_SAID: Composition = {
  waterFraction: null,
  fatFraction: null,
  sugarsFraction: null,
  milkSolidsFraction: 0,
  alcoholFraction: 0,
  saltFraction: null,
  sugars: null,
  ph: null,
  inMix: null,
  source: null,
};

/** Composition first; what it leaves open comes from the nutrition, and what neither tells is unknown. */
function makeupOf(row: Ingredient, kitchen: Kitchen): IngredientMakeup {
  const said = row.composition;
  const known = said ?? NOTHING_SAID;
  const data = kitchen.nutrients.get(row.id) ?? null;
  const read = data === null ? null : nutrientsPer100g(data);
  const nutrients: NutrientAmounts | null = read?.ok ? read.value : null;
  const per1 = (name: keyof NutrientAmounts): number | null => {
    const grams = nutrients?.[name] ?? null;
    return grams === null ? null : grams / 100;
  };
  const nothingKnown = said === null && nutrients === null;
  const waterG = row.nutrition?.waterG ?? null;
  // From the tap it is water and nothing else, whatever the tables say of its minerals.
  if (row.notBought && said === null) return tapWater(row.name);
  return {
    name: row.name,
    water: known.waterFraction ?? (waterG === null ? null : waterG / 100),
    fat: known.fatFraction ?? per1('fat'),
    milkSolids: milkSolidsOf(row, said, nothingKnown),
    sugars: known.sugarsFraction ?? per1('sugars'),
    sugarsByKind: known.sugars,
    alcohol: nothingKnown ? null : said ? said.alcoholFraction : per1('alcohol'),
    salt: nothingKnown ? null : saltOf(known, per1('salt')),
    ph: known.ph,
    inMix: known.inMix,
  };
}

/** Milk gives its solids only by its composition: nutrition tables do not list them. */
function milkSolidsOf(
  { allergens }: Ingredient,
  said: Composition | null,
  nothingKnown: boolean,
): number | null {
  if (said) return said.milkSolidsFraction;
  const mayBeMilk = allergens === null || allergens.contains.includes('milk');
  return nothingKnown || mayBeMilk ? null : 0;
}

/** The salts of milk count with its solids. */
function saltOf(known: Composition, fromNutrition: number | null): number {
  if (known.saltFraction !== null) return known.saltFraction;
  return known.milkSolidsFraction > 0 ? 0 : (fromNutrition ?? 0);
}

function tapWater(name: string): IngredientMakeup {
  const nothing = { fat: 0, milkSolids: 0, sugars: 0, sugarsByKind: {}, alcohol: 0, salt: 0 };
  return { name, water: 1, ...nothing, ph: null, inMix: 'dissolves' };
}

/** The gelatine the group keeps, strongest last. */
export function gelatineKept(ingredients: Iterable<Ingredient>): readonly KnownGelatine[] {
  return [...ingredients]
    .flatMap(({ id, name, gelatine, archived }) =>
      gelatine === null || archived
        ? []
        : [{ itemId: id, name, bloom: gelatine.bloom, sheetMassG: gelatine.sheetMassG }],
    )
    .sort((a, b) => a.bloom - b.bloom || a.name.localeCompare(b.name));
}
