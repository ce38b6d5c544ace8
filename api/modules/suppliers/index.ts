export type * from './suppliers.ports.ts';
export { checkSupplier, deliveryRulesOf, packToSave } from './check-supplier.ts';
export { checkGtin } from './gtin.ts';
export { SuppliersService } from './suppliers.service.ts';
export { suppliersRoutes } from './suppliers.routes.ts';
export { packsRoutes } from './packs.routes.ts';
