import { fileURLToPath } from 'node:url';

import {
  indexDemoData,
  lineItem,
  lineMassG,
  lineQuantityBase,
  need,
  outputMassG,
  versionInForce,
} from '../../../seed/generator/demo-index.ts';
import { readDemoData } from '../../../seed/generator/read.ts';
import type {
  CurrencyCode,
  DemoIngredient,
  DemoRecipe,
  RecipeFamily,
  RecipeLine,
  RecipeVersion,
} from '../../../seed/generator/types.ts';

/** Where the demo files stand. */
export const dataFolder = fileURLToPath(new URL('../../../seed/data', import.meta.url));
export const data = readDemoData(dataFolder);
export const index = indexDemoData(data);

export interface NamedVersion {
  readonly title: string;
  readonly recipe: DemoRecipe;
  readonly version: RecipeVersion;
}

/** Every version of the recipes of some families (all when none is named), drafts too. */
export function versionsOf(...families: readonly RecipeFamily[]): NamedVersion[] {
  return data.recipes
    .filter((recipe) => families.length === 0 || families.includes(recipe.family))
    .flatMap((recipe) =>
      recipe.versions.map((version) => ({
        title: `${recipe.key} v${version.number}`,
        recipe,
        version,
      })),
    );
}

export const recipeOf = (key: string): DemoRecipe => need(index.recipes, key, 'recipe');
export const current = (key: string): RecipeVersion => versionInForce(recipeOf(key), 0);

/** Mass of the lines as weighed, in g. */
export const inputMassG = (version: RecipeVersion): number =>
  version.lines.reduce((sum, line) => sum + lineMassG(index, line), 0);

/** Mass of everything a batch gives, by-products too, in g. */
export const allOutputsG = (recipe: DemoRecipe, version: RecipeVersion): number =>
  outputMassG(version, recipe.key) + version.byProducts.reduce((sum, made) => sum + made.value, 0);

/** Mass of the lines that take one of these ingredients or components, in g. */
export function massOf(version: RecipeVersion, ...keys: readonly string[]): number {
  return version.lines
    .filter((line) => keys.includes(lineItem(line).key))
    .reduce((sum, line) => sum + lineMassG(index, line), 0);
}

/** What something is made of, as fractions of its mass. */
export interface Makeup {
  readonly water: number;
  readonly sugars: number;
  readonly fat: number;
}

/** An ingredient's make-up from its nutrition record, else from its stated composition. */
export function makeupOfIngredient(item: DemoIngredient): Makeup {
  const { nutrition, composition } = item;
  if (nutrition?.waterG !== undefined) {
    return {
      water: nutrition.waterG / 100,
      sugars: (nutrition.sugarsG ?? 0) / 100,
      fat: (nutrition.fatG ?? 0) / 100,
    };
  }
  if (composition === undefined) throw new Error(`${item.key} has no composition.`);
  return {
    water: composition.waterFraction,
    sugars: composition.sugarsFraction,
    fat: composition.fatFraction,
  };
}

/** Lines that are strained out give their mass to nothing. */
const isStrained = (line: RecipeLine): boolean => line.note?.includes('strained out') === true;

/**
 * Make-up of what a batch gives: solids stay, what is lost is water. By-products count as the main
 * output does. Lines strained out are left aside.
 */
export function makeupOf(recipe: DemoRecipe, version: RecipeVersion): Makeup {
  let solidsG = 0;
  let sugarsG = 0;
  let fatG = 0;
  for (const line of version.lines.filter((candidate) => !isStrained(candidate))) {
    const massG = lineMassG(index, line);
    const makeup = makeupOfLine(line);
    solidsG += massG * (1 - makeup.water);
    sugarsG += massG * makeup.sugars;
    fatG += massG * makeup.fat;
  }
  const totalG = allOutputsG(recipe, version);
  return { water: 1 - solidsG / totalG, sugars: sugarsG / totalG, fat: fatG / totalG };
}

export function makeupOfLine(line: RecipeLine): Makeup {
  const { kind, key } = lineItem(line);
  if (kind === 'ingredient') return makeupOfIngredient(need(index.ingredients, key, 'ingredient'));
  const made =
    kind === 'component' ? recipeOf(key) : need(index.byProducts, key, 'by-product').recipe;
  return makeupOf(made, versionInForce(made, 0));
}

/** Make-up of the mix before anything is lost, strained lines left aside. */
export function makeupOfMix(version: RecipeVersion): Makeup {
  const lines = version.lines.filter((line) => !isStrained(line));
  const massG = lines.reduce((sum, line) => sum + lineMassG(index, line), 0);
  const part = (pick: (makeup: Makeup) => number): number =>
    lines.reduce((sum, line) => sum + lineMassG(index, line) * pick(makeupOfLine(line)), 0) / massG;
  return { water: part((m) => m.water), sugars: part((m) => m.sugars), fat: part((m) => m.fat) };
}

/**
 * Bought quantities for one base unit of a recipe, as purchased, in base units of what is bought;
 * the pieces behind parts are the largest need of their groups.
 */
export function boughtFor(key: string, quantity: number): Map<string, number> {
  const edible = new Map<string, number>();
  collect(key, quantity, edible);
  const bought = new Map<string, number>();
  const groups = new Map<string, Map<string, number>>();
  for (const [itemKey, asPurchased] of edible) {
    const item = need(index.ingredients, itemKey, 'ingredient');
    if (item.notBought === true) continue;
    if (item.partOf === undefined) {
      bought.set(itemKey, asPurchased);
      continue;
    }
    const { piece, group, yieldPerPiece } = item.partOf;
    const ofPiece = groups.get(piece) ?? new Map<string, number>();
    ofPiece.set(group, (ofPiece.get(group) ?? 0) + asPurchased / yieldPerPiece);
    groups.set(piece, ofPiece);
  }
  for (const [piece, ofPiece] of groups) bought.set(piece, Math.max(...ofPiece.values()));
  return bought;
}

function collect(key: string, quantity: number, edible: Map<string, number>): void {
  const version = current(key);
  for (const line of version.lines) {
    const item = lineItem(line);
    // By-products come with what the same plate already uses (checked in by-products.test.ts).
    if (item.kind === 'byProduct') continue;
    const amount = (lineQuantityBase(index, line) / version.output.value) * quantity;
    if (item.kind === 'component') {
      collect(item.key, amount, edible);
      continue;
    }
    const trim = line.trimYield ?? need(index.ingredients, item.key, 'x').trimYield?.fraction ?? 1;
    const drawn = amount / (trim * (line.cookingYield ?? 1));
    edible.set(item.key, (edible.get(item.key) ?? 0) + drawn);
  }
}

/** Price of one base unit in the plainest pack (the first listed) of a currency, today. */
export function unitPrice(ingredient: string, currency: CurrencyCode): number {
  const sellers = new Set(
    data.suppliers.filter((s) => s.currency === currency).map((supplier) => supplier.key),
  );
  const pack = data.packs.find((p) => p.ingredient === ingredient && sellers.has(p.supplier));
  const price = pack?.prices.filter((p) => p.fromDaysAgo >= 0).at(-1);
  if (pack === undefined || price === undefined) {
    throw new Error(`${ingredient} has no price in ${currency}.`);
  }
  return Number(price.amount) / pack.quantityBase;
}
