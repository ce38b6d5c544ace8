export * from './stock.ports.ts';
export { StockService } from './stock.service.ts';
export { StockChangesService, WASTE_REASONS } from './stock-changes.service.ts';
export { stockRoutes } from './stock.routes.ts';
export { stockChangesRoutes } from './stock-changes.routes.ts';
export { itemKey } from './stock-amounts.ts';
export { drawForSales } from './sales-draw.ts';
export type { NotOnRecord, SalesDrawRepository, SoldDish } from './sales-draw.ts';
