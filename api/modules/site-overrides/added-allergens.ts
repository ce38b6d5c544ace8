import type { Ingredient } from '../ingredients/index.ts';
import { orRefuse } from '../platform/index.ts';
import {
  addedWords,
  changeDates,
  declarationsOf,
  dishAllergenChanges,
  graphOn,
  overrideDates,
  recipesAtSite,
  type PublishedRecipes,
  type SiteOverride,
} from '../recipes/index.ts';

/**
 * What an override adds to the allergens of dishes at its site, on any date it would hold: 'Plum
 * plate: nuts:almond'. Empty where it adds nothing.
 * @param others the site's other overrides
 */
export function addedAllergens(
  candidate: SiteOverride,
  others: readonly SiteOverride[],
  published: PublishedRecipes,
  ingredients: readonly Ingredient[],
): readonly string[] {
  if (candidate.what !== 'ingredient') return [];
  const declarations = declarationsOf(ingredients);
  const standing: SiteOverride = { ...candidate, status: 'standing' };
  const { fromDate, endsBefore } = candidate;
  const dates = new Set([
    ...changeDates(published.versions, fromDate),
    ...overrideDates(others, fromDate),
  ]);
  const words = new Set<string>();
  for (const date of dates) {
    if (endsBefore !== null && date >= endsBefore) continue;
    const graphWith = (overrides: readonly SiteOverride[]) =>
      orRefuse(graphOn(recipesAtSite(published, overrides, date), ingredients, date));
    const changes = dishAllergenChanges(
      graphWith(others),
      graphWith([...others, standing]),
      candidate.recipeId,
      declarations,
    );
    for (const { dishName, change } of changes) {
      if (change.addsRisk) words.add(`${dishName}: ${addedWords(change).join(', ')}`);
    }
  }
  return [...words].sort();
}
