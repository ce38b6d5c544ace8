export type * from './night-work.ports.ts';
export { NightWorkService } from './night-work.service.ts';
export { nightWorkRoutes } from './night-work.routes.ts';
