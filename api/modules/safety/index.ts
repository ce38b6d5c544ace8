export * from './safety.ports.ts';
export { noteCarried } from './carried-food.ts';
export { SafetyService } from './safety.service.ts';
export { SafetyOverviewService } from './safety-overview.service.ts';
export { safetyRoutes } from './safety.routes.ts';
