import {
  NOTHING,
  makeupOf,
  shareOf,
  together,
  unknownMakeup,
  withoutWater,
  type IngredientMakeup,
  type Makeup,
} from './makeup.ts';

/** A line of a mix, in the item's base unit. */
export interface MixLine {
  readonly itemId: string;
  readonly quantity: number;
}

/** A recipe as far as its balance goes, for one batch as written. */
export interface MixRecipe {
  readonly itemId: string;
  readonly name: string;
  readonly lines: readonly MixLine[];
  /** Mass of everything a batch gives, by-products too; null where it is not known. */
  readonly outputMassG: number | null;
  readonly steps: readonly { readonly kind: string; readonly temperatureC: number | null }[];
}

/** What balances are worked out from. */
export interface MixBook {
  nameOf(itemId: string): string;
  /** Grams of one base unit. */
  massPerBaseUnit(itemId: string): number | undefined;
  ingredient(itemId: string): IngredientMakeup | undefined;
  /** The recipe that makes an item, as its main output or as a by-product. */
  recipe(itemId: string): MixRecipe | undefined;
}

/** A mix as weighed. Lines of unknown mass are named and left out of the rest. */
export interface Mix extends Makeup {
  readonly noMass: readonly string[];
  /** In the order of the lines; null where a line has no mass. */
  readonly lineMassesG: readonly (number | null)[];
}

/** From here on a step drives water off. Common practice, no source. */
const DRIVES_OFF_WATER_C = 60;

/** What lines bring together, components seen through their own recipes. */
export function mixOf(lines: readonly MixLine[], book: MixBook): Mix {
  return mixThrough(lines, book, []);
}

/** Whether a recipe is heated: what it loses then is water; a cold one loses some of everything. */
export function isHeated({ steps }: Pick<MixRecipe, 'steps'>): boolean {
  return steps.some(
    ({ kind, temperatureC }) =>
      kind === 'bake' || (temperatureC !== null && temperatureC >= DRIVES_OFF_WATER_C),
  );
}

/** What is left of a mix in `outputMassG`: what a heated one lost is water. */
export function finishedMix(mix: Makeup, outputMassG: number, heated: boolean): Makeup {
  const dried = heated ? withoutWater(mix, mix.massG - outputMassG) : mix;
  return outputMassG < dried.massG ? shareOf(dried, outputMassG) : dried;
}

function mixThrough(lines: readonly MixLine[], book: MixBook, above: readonly string[]): Mix {
  const noMass: string[] = [];
  const found: Makeup[] = [];
  const lineMassesG = lines.map(({ itemId, quantity }) => {
    const unitMassG = book.massPerBaseUnit(itemId);
    if (unitMassG === undefined) {
      noMass.push(book.nameOf(itemId));
      return null;
    }
    found.push(makeupOfItem(itemId, quantity * unitMassG, book, above));
    return quantity * unitMassG;
  });
  return { ...together(found), noMass, lineMassesG };
}

function makeupOfItem(
  itemId: string,
  massG: number,
  book: MixBook,
  above: readonly string[],
): Makeup {
  const ingredient = book.ingredient(itemId);
  if (ingredient) return makeupOf(ingredient, massG);
  const recipe = book.recipe(itemId);
  const name = book.nameOf(itemId);
  if (!recipe || above.includes(recipe.itemId)) return unknownMakeup(name, massG);
  const mix = mixThrough(recipe.lines, book, [...above, recipe.itemId]);
  if (mix.massG <= 0 || mix.noMass.length > 0 || recipe.outputMassG === null) {
    return mix.massG <= 0 && mix.noMass.length === 0 ? NOTHING : unknownMakeup(name, massG);
  }
  return shareOf(finishedMix(mix, recipe.outputMassG, isHeated(recipe)), massG);
}
