export * from './stock.ports.ts';
export { StockService } from './stock.service.ts';
export { StockChangesService, WASTE_REASONS } from './stock-changes.service.ts';
export { stockRoutes } from './stock.routes.ts';
export { stockChangesRoutes } from './stock-changes.routes.ts';
