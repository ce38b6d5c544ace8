export type {
  BatchLimits,
  Item,
  RecipeDef,
  RecipeGraphLimits,
  RecipeLine,
  RecipeOutput,
} from './recipe.ts';
export { DEFAULT_GRAPH_LIMITS, MAX_YIELD_FRACTION } from './recipe.ts';
export type { ByProductSource, ItemUse, RecipeGraph } from './build-recipe-graph.ts';
export { buildRecipeGraph } from './build-recipe-graph.ts';
export type { WhereUsed } from './where-used.ts';
export { whereUsed } from './where-used.ts';
