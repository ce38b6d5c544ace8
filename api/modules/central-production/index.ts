export * from './central-production.ports.ts';
export * from './transfers.ports.ts';
export { ProductionsService, type NamedProduction } from './productions.service.ts';
export { ProductionParams, ProductionSchema } from './central-production.schema.ts';
export { makesFor, massOf } from './judge-production.ts';
export { datesMeet, isAlive, standingPlace } from './standing-place.ts';
export {
  transferDays,
  TransferRoutesService,
  type CentralProductionDependencies,
} from './transfer-routes.service.ts';
export { productionsRoutes, toProductionBody } from './productions.routes.ts';
export { transferRoutesRoutes } from './transfer-routes.routes.ts';
export { CarryingService } from './carrying.service.ts';
export { TransfersService } from './transfers.service.ts';
export { transfersRoutes } from './transfers.routes.ts';
