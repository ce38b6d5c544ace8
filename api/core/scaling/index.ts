/** Scaling: permitted batch sizes, weights a scale can show, moulds, trays and loads. */
export { MAX_BATCHES, planBatches } from './batch-plan.ts';
export type { BatchGroup, BatchRule } from './batch-plan.ts';
export { roundLines } from './round-lines.ts';
export type { ExactLine, RoundedLine } from './round-lines.ts';
export { countVessels, planLoads } from './vessels.ts';
export type { LoadGroup, LoadPlan, LoadRule, VesselCount, VesselRule } from './vessels.ts';
export { MAX_LINES, RATIO_TOLERANCE, scaleRecipe } from './scale-recipe.ts';
export type {
  BatchCard,
  RecipeToScale,
  ScalableLine,
  ScaleRequest,
  ScaledRecipe,
} from './scale-recipe.ts';
