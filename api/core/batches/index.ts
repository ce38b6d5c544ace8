/** Which batches to make when, so that nothing is short, nothing goes out of date and least is wasted. */
export type {
  BatchPlan,
  BatchProblem,
  CapacityUse,
  ChangePenalty,
  CostBreakdown,
  FixedRun,
  FrozenRun,
  PlanCosts,
  PlanMethod,
  PlannedRun,
  ProductionSlot,
  Relaxation,
  UnmetNeed,
  UnmetReason,
} from './batch-plan.ts';
export { batchesFor, batchRuleProblem, stepQuantity } from './batch-rule.ts';
export type { BatchRule } from './batch-rule.ts';
export { neverMakeable } from './check-problem.ts';
export type { MakeableFacts } from './check-problem.ts';
export { planBatches, playRuns } from './plan-batches.ts';
export { idleCostPerUnit, lotsOf } from './evaluate-runs.ts';
export { jointModel } from './joint-model.ts';
export { ownBounds } from './own-bounds.ts';
export { partsOf } from './plan-parts.ts';
export { planTogether } from './plan-together.ts';
export type { PlanTogetherOptions } from './plan-together.ts';
export type {
  CapacityLoad,
  ComponentInput,
  DependentNeed,
  JointComponent,
  JointPlan,
  JointProblem,
  JointSteps,
  SharedCapacity,
} from './joint-problem.ts';
export { usersFirst } from './joint-problem.ts';
