export * from './afterwards.ports.ts';
export { AfterwardsService } from './afterwards.service.ts';
export { afterwardsRoutes } from './afterwards.routes.ts';
