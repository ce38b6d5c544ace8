import { addDairy } from '../helpers/dairy.ts';
import { SITE } from '../helpers/demo-site.ts';
import { SYSTEM } from '../helpers/test-app.ts';
import type { Things } from './every-screen.ts';
import type { KitchenService } from './kitchen-in-browser.ts';

/** One of everything that an address names, in a kitchen that works: plan, lot, order, supplier. */
export async function makeThings(kitchen: KitchenService): Promise<Things> {
  const { services, database } = kitchen.server;
  const { prisma } = database;
  await addDairy(database);
  await prisma.stockLot.create({
    data: {
      id: 'lot_curd',
      siteId: SITE,
      itemKind: 'component',
      itemId: 'rcp_curd',
      quantity: 800,
      madeAt: new Date('2026-03-09T08:00:00Z'),
      useBy: new Date('2026-03-11T20:00:00Z'),
      sourceKind: 'found',
    },
  });
  await services.prep.workOut(SYSTEM, SITE, 7);
  const { orders } = await services.orders.runOrders(SYSTEM, { siteIds: [SITE], days: 7 });
  const task = await prisma.prepTask.findFirstOrThrow({
    where: { siteId: SITE, recipeId: 'rcp_curd' },
    orderBy: { startBy: 'asc' },
  });
  const [order] = orders;
  if (!order) throw new Error('No order came of the plan.');
  return {
    task: task.id,
    lot: 'lot_curd',
    order: order.id,
    version: 'ver_curd',
    supplier: 'sup_dairy',
  };
}
