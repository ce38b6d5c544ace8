/** Balances of recipes: syrups, frozen bases, doughs and gelatine, each from the recipe's own data. */
export { PARTS } from './makeup.ts';
export type { InMix, IngredientMakeup, Makeup, Part } from './makeup.ts';
export { mixOf } from './mix.ts';
export type { Mix, MixBook, MixLine, MixRecipe } from './mix.ts';
export type { BalanceFigure, BalanceSection } from './figures.ts';
export { TELLING_SHARES, recipeBalance } from './recipe-balance.ts';
export type { RecipeToBalance } from './recipe-balance.ts';
export { gelatineCautions, gelatineLine } from './gelatine-lines.ts';
export type { GelatineLine, KnownGelatine } from './gelatine-lines.ts';
