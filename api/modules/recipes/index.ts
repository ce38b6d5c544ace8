export type * from './recipes.ports.ts';
export { OVERRIDE_KINDS } from './site-override.ports.ts';
export type * from './site-override.ports.ts';
export {
  holdsOn,
  isAllowed,
  isOfLine,
  overrideDates,
  recipesAtSite,
  versionAtSite,
} from './at-site.ts';
export { changeDraft, workingVersion } from './draft-change.ts';
export { isTrim } from './line-yields.ts';
export { siteChangeWords } from './site-change-words.ts';
export { readVersionAtSite, type SiteChange, type VersionAtSite } from './version-at-site.ts';
export { SiteChanges } from './site-change.schema.ts';
export { lineKeys, stepKeys } from './targets.ts';
export {
  changeDates,
  earliestToday,
  graphOn,
  itemsOf,
  recipeDefOf,
  trimYields,
  versionsInForce,
} from './recipes-on.ts';
export {
  addedWords,
  declarationsOf,
  dishAllergenChanges,
  dishesUnderChange,
  type DishAllergenChange,
} from './allergen-confirmation.ts';
export {
  recipeCard,
  type CardAmount,
  type CardBatch,
  type CardStep,
  type RecipeCard,
} from './recipe-card.ts';
export { RecipeParams } from './recipes.schema.ts';
export { VersionBody, VersionParams } from './versions.schema.ts';
export { recipeMeasures } from './write-version.ts';
export { RecipesService } from './recipes.service.ts';
export { UNSAVED, VersionsService, type NamedVersion } from './versions.service.ts';
export type * from './exchange.ports.ts';
export { RecipesExchangeService } from './recipes-exchange.service.ts';
export { recipesExchangeRoutes } from './exchange.routes.ts';
export { recipesRoutes } from './recipes.routes.ts';
export { versionsRoutes } from './versions.routes.ts';
export { versionMovesRoutes } from './version-moves.routes.ts';
