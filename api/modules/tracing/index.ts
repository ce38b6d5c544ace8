export * from './tracing.ports.ts';
export { TracingService } from './tracing.service.ts';
export { tracingRoutes } from './tracing.routes.ts';
