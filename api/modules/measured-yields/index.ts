export type * from './measured-yields.ports.ts';
export { MeasuredYieldsService } from './measured-yields.service.ts';
export { measuredYieldsRoutes } from './measured-yields.routes.ts';
