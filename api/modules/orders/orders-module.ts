import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod';
import { approvalLimitsRoutes } from './approval-limits.routes.ts';
import { ApprovalLimitsService } from './approval-limits.service.ts';
import { GoodsCarriesService } from './goods-carries.service.ts';
import { jointPurchasesRoutes } from './joint-purchases.routes.ts';
import { JointPurchasesService } from './joint-purchases.service.ts';
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
  readonly jointPurchases: JointPurchasesService;
  readonly goodsCarries: GoodsCarriesService;
}

export function createOrdersServices(deps: OrdersDependencies): OrdersServices {
  const orders = new OrdersService(deps);
  return {
    orders,
    orderLife: new OrderLifeService(deps),
    receiving: new ReceivingService(deps),
    orderViews: new OrderViewsService(deps),
    approvalLimits: new ApprovalLimitsService(deps),
    jointPurchases: new JointPurchasesService(deps, orders),
    goodsCarries: new GoodsCarriesService(deps),
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
    jointPurchasesRoutes(services.jointPurchases, services.goodsCarries),
  ];
}
