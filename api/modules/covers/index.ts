export * from './covers.ports.ts';
export { judgeSitting, siteDateOf } from './covers-rules.ts';
export { CoversService, loadContext } from './covers.service.ts';
export { CoversImportService } from './covers-import.service.ts';
export { coversRoutes } from './covers.routes.ts';
export { coversEventsRoutes } from './covers-events.routes.ts';
export { coversImportRoutes } from './covers-import.routes.ts';
