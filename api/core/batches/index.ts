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
export type { JointComponent } from './joint-problem.ts';
