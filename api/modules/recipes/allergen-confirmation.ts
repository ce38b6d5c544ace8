import {
  allergenChange,
  allergenStatement,
  readDeclaration,
  type AllergenChange,
  type AllergenDeclarations,
} from '../../core/allergens/index.ts';
import { whereUsed, type RecipeGraph } from '../../core/recipe-graph/index.ts';
import type { Ingredient } from '../ingredients/index.ts';
import { orRefuse } from '../platform/index.ts';

/** A dish whose allergens differ between two graphs. */
export interface DishAllergenChange {
  readonly dishId: string;
  readonly dishName: string;
  readonly change: AllergenChange;
}

/** What each ingredient declares; null where nothing is declared. */
export function declarationsOf(ingredients: readonly Ingredient[]): AllergenDeclarations {
  return new Map(
    ingredients.map(({ id, allergens }) => {
      if (allergens === null) return [id, null];
      const { sulphitesMgPerKg, ...codes } = allergens;
      const raw = sulphitesMgPerKg === null ? codes : { ...codes, sulphitesMgPerKg };
      return [id, orRefuse(readDeclaration(raw))];
    }),
  );
}

/** The dishes that an item ends up in, itself included where it is one. */
export function dishesUnderChange(graph: RecipeGraph, itemId: string): readonly string[] {
  const used = orRefuse(whereUsed(graph, itemId)).dishes;
  return graph.items.get(itemId)?.kind === 'dish' ? [itemId, ...used] : used;
}

/**
 * What a new version changes in the allergens of dishes that were published before. EU and US law
 * list different nuts and cereals, so both are asked; a change under either counts once.
 * @param before the graph without the new version; a dish that is not in it is new, not changed
 */
export function dishAllergenChanges(
  before: RecipeGraph,
  after: RecipeGraph,
  itemId: string,
  declarations: AllergenDeclarations,
): readonly DishAllergenChange[] {
  const changes: DishAllergenChange[] = [];
  for (const dishId of dishesUnderChange(after, itemId)) {
    if (!before.recipes.has(dishId)) continue;
    const found = (['eu', 'us'] as const).map((regime) =>
      allergenChange(
        orRefuse(allergenStatement(before, declarations, dishId, regime)),
        orRefuse(allergenStatement(after, declarations, dishId, regime)),
      ),
    );
    const change = found.find(isChange);
    if (change) {
      const risky = found.find(({ addsRisk }) => addsRisk) ?? change;
      changes.push({ dishId, dishName: after.items.get(dishId)?.name ?? dishId, change: risky });
    }
  }
  return changes;
}

function isChange(change: AllergenChange): boolean {
  return (
    change.addedContains.length > 0 ||
    change.removedContains.length > 0 ||
    change.addedMayContain.length > 0 ||
    change.removedMayContain.length > 0 ||
    change.newlyNotDeclared.length > 0
  );
}

/** The codes a change adds, as a cook reads them. */
export function addedWords(change: AllergenChange): readonly string[] {
  return [
    ...change.addedContains.map((p) => p.code as string),
    ...change.addedMayContain.map((p) => `may contain ${p.code}`),
    ...(change.newlyNotDeclared.length > 0 ? ['an ingredient nobody has declared'] : []),
  ];
}
