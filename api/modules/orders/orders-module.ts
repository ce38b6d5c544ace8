import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { approvalLimitsRoutes } from './approval-limits.routes.ts';
import { ApprovalLimitsService } from './approval-limits.service.ts';
import { orderExportsRoutes } from './order-exports.routes.ts';
import { orderLifeRoutes } from './order-life.routes.ts';
import { OrderLifeService } from './order-life.service.ts';
import { orderViewsRoutes } from './order-views.routes.ts';
import { OrderViewsService } from './order-views.service.ts';
import { ordersRoutes } from './orders.routes.ts';
import { OrdersService, type OrdersDependencies } from './orders.service.ts';
import { receivingRoutes } from './receiving.routes.ts';
import { ReceivingService } from './receiving.service.ts';

/** The use cases of orders, each its own. */
export interface OrdersServices {
  readonly orders: OrdersService;
  readonly orderLife: OrderLifeService;
  readonly receiving: ReceivingService;
  readonly orderViews: OrderViewsService;
  readonly approvalLimits: ApprovalLimitsService;
}

export function createOrdersServices(deps: OrdersDependencies): OrdersServices {
  return {
    orders: new OrdersService(deps),
    orderLife: new OrderLifeService(deps),
    receiving: new ReceivingService(deps),
    orderViews: new OrderViewsService(deps),
    approvalLimits: new ApprovalLimitsService(deps),
  };
}

/** Every route of orders. */
export function ordersModuleRoutes(services: OrdersServices): readonly FastifyPluginAsyncZod[] {
  const { orders } = services;
  return [
    ordersRoutes(orders),
    orderLifeRoutes(services.orderLife, orders),
    receivingRoutes(services.receiving, orders),
    orderViewsRoutes(services.orderViews),
    orderExportsRoutes(orders),
    approvalLimitsRoutes(services.approvalLimits),
  ];
}
