/** Nutrition and ingredient lists by EU and UK law. Missing data stays missing. */
export type { Nutrient, NutrientAmounts, NutrientData } from './nutrients.ts';
export { NUTRIENTS, nutrientsPer100g, SALT_PER_SODIUM } from './nutrients.ts';
export type { EnergyFactor } from './energy.ts';
export { ENERGY_FACTORS, energyOf } from './energy.ts';
export type { LabelFigure } from './label-rounding.ts';
export { labelEnergy, labelGrams } from './label-rounding.ts';
export type { MissingNutrient, NutritionBook, NutritionFigures } from './recipe-nutrition.ts';
export { nutritionOf } from './recipe-nutrition.ts';
export type { NutritionRow, NutritionTable } from './nutrition-table.ts';
export { NUTRITION_NOTICE, nutritionTable, REFERENCE_INTAKES } from './nutrition-table.ts';
export type { LabelSegment } from './emphasis.ts';
export { emphasise } from './emphasis.ts';
export type { IngredientList, ListedIngredient, ListOptions } from './ingredient-list.ts';
export { ingredientList, WATER_LEFT_OUT_FRACTION } from './ingredient-list.ts';
export type { QuantityDeclared } from './quantity-declared.ts';
export { quantityDeclared } from './quantity-declared.ts';
