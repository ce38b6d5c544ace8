export type * from './ingredients.ports.ts';
export { checkIngredient, measuresOf, partsSpecOf, toBaseOrRefuse } from './check-ingredient.ts';
export { IngredientsService } from './ingredients.service.ts';
export { IngredientsImportService } from './ingredients-import.service.ts';
export { ingredientsImportRoutes } from './ingredients-import.routes.ts';
export { IngredientBody } from './ingredients.schema.ts';
export { ingredientsRoutes } from './ingredients.routes.ts';
