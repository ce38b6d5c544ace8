export type * from './pre-orders.ports.ts';
export { PreOrdersService } from './pre-orders.service.ts';
export { preOrdersRoutes } from './pre-orders.routes.ts';
