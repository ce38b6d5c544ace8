import type { AllergenCode, AllergenStatement } from '../allergens/index.ts';
import type { RecipeGraph } from '../recipe-graph/index.ts';
import { coreError } from '../shared/errors.ts';
import type { Result } from '../shared/result.ts';
import { err, ok } from '../shared/result.ts';
import type { LabelSegment } from './emphasis.ts';
import { emphasise, joinPlain } from './emphasis.ts';
import { unitMasses } from './item-mass.ts';
import type { UnitMasses } from './weighed-amounts.ts';
import { makingOf, usersFirst } from './weighed-amounts.ts';

/** Added water of up to this part of the finished weight may be left out of the list. */
export const WATER_LEFT_OUT_FRACTION = 0.05;

/** One entry of the list, heaviest first; a compound ingredient carries its own list. */
export interface ListedIngredient {
  readonly itemId: string;
  readonly name: string;
  /** Grams in one batch of the recipe that lists it, at the time of use; added water as it remains. */
  readonly massG: number;
  readonly allergens: readonly AllergenCode[];
  readonly contents: readonly ListedIngredient[];
}

export interface IngredientList {
  readonly itemId: string;
  readonly entries: readonly ListedIngredient[];
  /** The list as text, ready to be set: 'Lemon curd (sugar, butter (MILK)), WHEAT flour'. */
  readonly segments: readonly LabelSegment[];
  /** Ingredients without an allergen declaration: the list must not be used while there are any. */
  readonly notDeclaredItemIds: readonly string[];
}

export interface ListOptions {
  /** Mass of a base unit, g, for items in 'ml' and 'each'. */
  readonly massPerBaseUnit?: (itemId: string) => number | undefined;
  /** Ingredients that are added water. */
  readonly waterItemIds?: ReadonlySet<string>;
}

/**
 * The list of ingredients for packed goods: descending weight as weighed into the bowl, components
 * as compound ingredients with their own list in brackets, allergens emphasised.
 *
 * Added water counts as what remains of it: finished weight less the other ingredients; up to 5 %
 * it is left out.
 *
 * @param statement  the item's allergens under EU or UK law
 * @returns errors `missing-component` for an item without a recipe, `no-density` for an ingredient
 *          whose mass is not known, `recipe-cycle` where a by-product goes into its own batch
 *
 * Source: Articles 18 and 21 and Annex VII, parts A and E, of Regulation (EU) 1169/2011.
 */
export function ingredientList(
  graph: RecipeGraph,
  itemId: string,
  statement: AllergenStatement,
  options: ListOptions = {},
): Result<IngredientList> {
  const { order, circular } = usersFirst(graph, itemId);
  const name = graph.items.get(itemId)?.name ?? itemId;
  if (circular.length > 0) {
    return err(
      coreError('recipe-cycle', `${name} goes back into its own batch.`, {
        detail: { itemIds: circular },
      }),
    );
  }
  if (makingOf(graph, itemId) === undefined) {
    return err(
      coreError('missing-component', `${name} has no recipe to list.`, { detail: { itemId } }),
    );
  }
  const masses = unitMasses(graph, options.massPerBaseUnit ?? (() => undefined));
  const codes = codesByIngredient(statement);
  const lists = new Map<string, readonly ListedIngredient[]>();
  for (const id of [...order].reverse()) {
    const entries = entriesOf(graph, id, masses, options.waterItemIds ?? new Set(), codes, lists);
    if (!entries.ok) return entries;
    lists.set(id, entries.value);
  }
  const entries = lists.get(itemId) ?? [];
  return ok({
    itemId,
    entries,
    segments: joinPlain(textOf(entries)),
    notDeclaredItemIds: statement.notDeclared.map((way) => way.ingredientId),
  });
}

function entriesOf(
  graph: RecipeGraph,
  id: string,
  masses: UnitMasses,
  water: ReadonlySet<string>,
  codes: ReadonlyMap<string, AllergenCode[]>,
  lists: ReadonlyMap<string, readonly ListedIngredient[]>,
): Result<ListedIngredient[]> {
  const recipe = makingOf(graph, id)?.recipe;
  if (recipe === undefined) return ok([]);
  const grams = new Map<string, number>();
  for (const line of recipe.lines) {
    const unitMassG = masses.get(line.itemId);
    if (unitMassG === undefined) {
      const name = graph.items.get(line.itemId)?.name ?? line.itemId;
      return err(
        coreError('no-density', `${name} needs a density or the mass of a piece.`, {
          detail: { itemId: line.itemId },
        }),
      );
    }
    grams.set(line.itemId, (grams.get(line.itemId) ?? 0) + line.quantity * unitMassG);
  }
  let finishedG: number | undefined = 0;
  for (const output of recipe.outputs) {
    const unitMassG = masses.get(output.itemId);
    finishedG =
      unitMassG === undefined || finishedG === undefined
        ? undefined
        : finishedG + output.quantity * unitMassG;
  }
  if (finishedG !== undefined) keepRemainingWater(grams, water, finishedG);
  const entries = [...grams].map(([itemId, massG]): ListedIngredient => ({
    itemId,
    name: graph.items.get(itemId)?.name ?? itemId,
    massG,
    allergens: codes.get(itemId) ?? [],
    contents: lists.get(itemId) ?? [],
  }));
  return ok(entries.sort((a, b) => b.massG - a.massG || (a.name < b.name ? -1 : 1)));
}

/** Takes off the water that cooks away, and the entry itself where little remains. */
function keepRemainingWater(
  grams: Map<string, number>,
  water: ReadonlySet<string>,
  finishedG: number,
): void {
  const added = [...grams].filter(([itemId]) => water.has(itemId));
  const addedG = added.reduce((sum, [, massG]) => sum + massG, 0);
  if (addedG === 0) return;
  const othersG = [...grams.values()].reduce((sum, massG) => sum + massG, 0) - addedG;
  const remainingG = Math.min(addedG, Math.max(0, finishedG - othersG));
  for (const [itemId, massG] of added) {
    if (remainingG <= WATER_LEFT_OUT_FRACTION * finishedG) grams.delete(itemId);
    else grams.set(itemId, (massG / addedG) * remainingG);
  }
}

function codesByIngredient(statement: AllergenStatement): Map<string, AllergenCode[]> {
  const codes = new Map<string, AllergenCode[]>();
  for (const { code, ways } of statement.contains) {
    for (const { ingredientId } of ways) {
      const own = codes.get(ingredientId);
      if (own === undefined) codes.set(ingredientId, [code]);
      else own.push(code);
    }
  }
  return codes;
}

function textOf(entries: readonly ListedIngredient[]): LabelSegment[] {
  const plain = (text: string): LabelSegment => ({ text, emphasised: false });
  return entries.flatMap((entry, index) => {
    const own =
      entry.contents.length > 0
        ? [plain(`${entry.name} (`), ...textOf(entry.contents), plain(')')]
        : emphasise(entry.name, entry.allergens);
    return index === 0 ? own : [plain(', '), ...own];
  });
}
