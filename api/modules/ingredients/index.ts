export type * from './ingredients.ports.ts';
export { checkIngredient, measuresOf, partsSpecOf, toBaseOrRefuse } from './check-ingredient.ts';
export { IngredientsService } from './ingredients.service.ts';
export { ingredientsRoutes } from './ingredients.routes.ts';
