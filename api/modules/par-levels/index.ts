export type * from './par-levels.ports.ts';
export { PLAN_LEVEL } from './par-answer.ts';
export { parBasis, readParTables, type ParBasis } from './par-basis.ts';
export { planPars, type PlanPars } from './plan-pars.ts';
export { createParLevelsServices, type ParLevelsServices } from './par-levels.services.ts';
export { parLevelsRoutes } from './par-levels.routes.ts';
