export type * from './orders.ports.ts';
export type * from './joint-purchases.ports.ts';
export { OrdersService } from './orders.service.ts';
export { createOrdersServices, ordersModuleRoutes } from './orders-module.ts';
export type { OrdersServices } from './orders-module.ts';
