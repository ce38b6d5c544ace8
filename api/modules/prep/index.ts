export type * from './prep.ports.ts';
export type * from './planning-data.ports.ts';
export { PrepService } from './prep.service.ts';
export type { ExplainedFigure, PrepList } from './prep.service.ts';
export { TaskWorkService } from './task-work.service.ts';
export { prepRoutes } from './prep.routes.ts';
export { PrepViewsService } from './prep-views.service.ts';
export { prepViewsRoutes } from './prep-views.routes.ts';
