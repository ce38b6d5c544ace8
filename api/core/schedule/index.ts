/** When things are made: one batch backward from its service, and many batches on shared people and equipment. */
export { earliestFinish, latestStart } from './batch-times.ts';
export { checkSteps, equipmentOf, leadTimeMin } from './plan-step.ts';
export type { PlacedBatch, PlacedStep, PlanStep, StepEquipment } from './plan-step.ts';
export { shortestSchedule } from './shortest-schedule.ts';
export type { ScheduleSearch, ShortestSchedule } from './shortest-schedule.ts';
export type { Activity, Project, ProjectSchedule } from './project.ts';
export { scheduleSite } from './site-schedule.ts';
export type { ScheduledJob, ScheduleJob, SiteSchedule } from './site-schedule.ts';
export { SitePlacer } from './site-placer.ts';
export type { Blocked, DueMaking, MakingToPlace, Placement, ScheduleSite } from './site-placer.ts';
export { byKind, placesOf } from './site-resources.ts';
export type { Shift, SiteEquipment } from './site-resources.ts';
export { makingsOf, mostAtOnce, sizedSteps } from './sized-steps.ts';
