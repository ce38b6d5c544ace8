export type * from './suppliers.ports.ts';
export { checkSupplier, deliveryRulesOf, packToSave } from './check-supplier.ts';
export { SuppliersService } from './suppliers.service.ts';
export { suppliersRoutes } from './suppliers.routes.ts';
export { PacksImportService } from './packs-import.service.ts';
export { packsImportRoutes } from './packs-import.routes.ts';
export { PackBody, PackPriceBody } from './suppliers.schema.ts';
export { packsRoutes } from './packs.routes.ts';
