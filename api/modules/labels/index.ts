export * from './labels.ports.ts';
export { LabelsService } from './labels.service.ts';
export { labelsRoutes } from './labels.routes.ts';
