export type * from './waste-expectations.ports.ts';
export { WasteExpectationsService } from './waste-expectations.service.ts';
export { wasteExpectationsRoutes } from './waste-expectations.routes.ts';
