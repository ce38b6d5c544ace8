export type * from './orders.ports.ts';
export { OrdersService } from './orders.service.ts';
export { ordersRoutes } from './orders.routes.ts';
