import { toBaseAmount } from '../../api/core/quantity/index.ts';
import type { IngredientMeasures } from '../../api/core/quantity/index.ts';
import type {
  BaseUnit,
  ByProduct,
  DemoData,
  DemoIngredient,
  DemoRecipe,
  DemoSite,
  ItemKind,
  RecipeLine,
  RecipeVersion,
} from './types.ts';

/** Where a by-product comes from. */
export interface ByProductOrigin {
  readonly byProduct: ByProduct;
  readonly recipe: DemoRecipe;
}

/** The demo data by key. */
export interface DemoIndex {
  readonly sites: ReadonlyMap<string, DemoSite>;
  readonly ingredients: ReadonlyMap<string, DemoIngredient>;
  readonly recipes: ReadonlyMap<string, DemoRecipe>;
  readonly byProducts: ReadonlyMap<string, ByProductOrigin>;
}

/** Indexes the data. Where a key comes twice the last wins: checkDemoData refuses that before. */
export function indexDemoData(data: DemoData): DemoIndex {
  const byProducts = new Map<string, ByProductOrigin>();
  for (const recipe of data.recipes) {
    for (const version of recipe.versions) {
      for (const byProduct of version.byProducts) {
        byProducts.set(byProduct.key, { byProduct, recipe });
      }
    }
  }
  return {
    sites: new Map(data.sites.map((site) => [site.key, site])),
    ingredients: new Map(data.ingredients.map((item) => [item.key, item])),
    recipes: new Map(data.recipes.map((recipe) => [recipe.key, recipe])),
    byProducts,
  };
}

/** What a line takes: its kind and key. */
export function lineItem(line: RecipeLine): { readonly kind: ItemKind; readonly key: string } {
  if ('ingredient' in line) return { kind: 'ingredient', key: line.ingredient };
  if ('component' in line) return { kind: 'component', key: line.component };
  return { kind: 'byProduct', key: line.byProduct };
}

/** Takes a value out of a map, or throws naming what is missing. */
export function need<T>(map: ReadonlyMap<string, T>, key: string, what: string): T {
  const found = map.get(key);
  if (found === undefined) throw new Error(`There is no ${what} '${key}' in the demo data.`);
  return found;
}

/**
 * The published version that drives a service `daysAgo` days before today (negative: to come): the
 * last one whose first service is not after it. Throws when the recipe has none yet by then.
 */
export function versionInForce(recipe: DemoRecipe, daysAgo: number): RecipeVersion {
  const started = recipe.versions.filter(
    (version) =>
      version.status === 'published' &&
      version.firstServiceDaysAgo !== null &&
      version.firstServiceDaysAgo >= daysAgo,
  );
  const latest = started.at(-1);
  if (latest === undefined) {
    throw new Error(`${recipe.key} has no published version ${daysAgo} days before today.`);
  }
  return latest;
}

/** The unit an item of the demo is held in. */
export function baseUnitOf(index: DemoIndex, kind: ItemKind, key: string): BaseUnit {
  if (kind === 'ingredient') return need(index.ingredients, key, 'ingredient').baseUnit;
  if (kind === 'byProduct') return need(index.byProducts, key, 'by-product').byProduct.unit;
  return versionInForce(need(index.recipes, key, 'component'), 0).output.unit;
}

/** What the core needs to convert amounts of an ingredient. */
export function measuresOf(ingredient: DemoIngredient): IngredientMeasures {
  return {
    name: ingredient.name,
    baseUnit: ingredient.baseUnit,
    household: ingredient.measures ?? [],
    ...(ingredient.density === undefined ? {} : { densityGPerMl: ingredient.density.gPerMl }),
    ...(ingredient.pieceMass === undefined ? {} : { pieceMassG: ingredient.pieceMass.massG }),
  };
}

/**
 * A line's amount in the base unit of what it takes, net, as the recipe weighs it. Throws, naming
 * the item, for a unit that does not convert.
 */
export function lineQuantityBase(index: DemoIndex, line: RecipeLine): number {
  const { kind, key } = lineItem(line);
  if (kind === 'ingredient') {
    return convert(line, measuresOf(need(index.ingredients, key, 'ingredient')), key);
  }
  return convert(line, { name: key, baseUnit: baseUnitOf(index, kind, key), household: [] }, key);
}

/** A line's mass in g, net. Throws, naming the item, where it has no weight. */
export function lineMassG(index: DemoIndex, line: RecipeLine): number {
  const { kind, key } = lineItem(line);
  if (kind === 'ingredient') {
    const measures = measuresOf(need(index.ingredients, key, 'ingredient'));
    return convert(line, { ...measures, baseUnit: 'g' }, key);
  }
  if (kind === 'byProduct') return lineQuantityBase(index, line);
  const version = versionInForce(need(index.recipes, key, 'component'), 0);
  return lineQuantityBase(index, line) * massPerOutputUnitG(version, key);
}

/** Mass of a whole batch as written, in g, without its by-products. */
export function outputMassG(version: RecipeVersion, key: string): number {
  return version.output.value * massPerOutputUnitG(version, key);
}

function massPerOutputUnitG(version: RecipeVersion, key: string): number {
  if (version.output.unit === 'g') return 1;
  if (version.output.unit === 'each' && version.pieceMassG !== undefined) return version.pieceMassG;
  throw new Error(`${key} has no mass for one ${version.output.unit} of it.`);
}

function convert(line: RecipeLine, measures: IngredientMeasures, key: string): number {
  const converted = toBaseAmount(line.amount, measures);
  if (!converted.ok) throw new Error(`A line of ${key}: ${converted.error.message}`);
  return converted.value.value;
}
