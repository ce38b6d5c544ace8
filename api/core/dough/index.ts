/** Doughs: baker's percentages and hydration. */
export { bakersPercentages, waterForHydration, weighDough } from './dough.ts';
export type { DoughFormula, DoughLine } from './dough.ts';
