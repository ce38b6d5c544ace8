/** When things are made: one batch backward from its service, and many batches on shared people and equipment. */
export { earliestFinish, latestStart } from './batch-times.ts';
export { checkSteps, equipmentOf, leadTimeMin, workOf } from './plan-step.ts';
export type { PlacedBatch, PlacedStep, PlanStep, StepEquipment } from './plan-step.ts';
