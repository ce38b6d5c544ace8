/** Mixed-integer linear programmes: the model, the port and the HiGHS solver behind it. */
export { checkModel } from './model.ts';
export type {
  MilpConstraint,
  MilpModel,
  MilpOptions,
  MilpSolution,
  MilpSolver,
  MilpStatus,
  MilpVariable,
} from './model.ts';
export { createHighsSolver } from './highs-solver.ts';
