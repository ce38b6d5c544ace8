/** Mixed-integer linear models, and the port that solves them. */
export { highsSolver } from './highs-solver.ts';
export type { HighsLoader } from './highs-solver.ts';
export { milpBuilder } from './milp-builder.ts';
export type { MilpBuilder } from './milp-builder.ts';
export type {
  MilpLimits,
  MilpModel,
  MilpRow,
  MilpSolution,
  MilpSolver,
  MilpStatus,
  MilpVariable,
} from './milp-model.ts';
