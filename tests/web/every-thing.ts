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
  await addTerms(kitchen);
  await services.prep.workOut(SYSTEM, SITE, 7);
  const { orders } = await services.orders.runOrders(SYSTEM, { siteIds: [SITE], days: 7 });
  const task = await prisma.prepTask.findFirstOrThrow({
    where: { siteId: SITE, recipeId: 'rcp_curd' },
    orderBy: { startBy: 'asc' },
  });
  const [order, numbered] = orders;
  if (!order || !numbered) throw new Error('The plan asks for two orders.');
  await prisma.order.update({
    where: { id: numbered.id },
    data: {
      status: 'approved',
      number: 1,
      approvedBy: 'Pia',
      approvedAt: new Date('2026-03-10T05:00:00Z'),
    },
  });
  return {
    task: task.id,
    lot: 'lot_curd',
    order: order.id,
    sheet: numbered.id,
    version: 'ver_curd',
    supplier: 'sup_dairy',
  };
}

/** What the dairy cannot give, whom it has a contract with, and butter on its way to another site. */
async function addTerms({ server }: KitchenService): Promise<void> {
  const { prisma } = server.database;
  const day = (date: string) => new Date(`${date}T00:00:00Z`);
  await prisma.supplyGap.create({
    data: {
      id: 'gap_1',
      supplierId: 'sup_dairy',
      packId: 'pack_butter',
      kind: 'out-of-stock',
      fromDate: day('2026-04-01'),
      note: 'The churn is broken.',
      enteredBy: 'Pia',
    },
  });
  await prisma.supplyContract.create({
    data: {
      id: 'con_1',
      siteId: SITE,
      supplierId: 'sup_dairy',
      ingredientId: 'ing_butter',
      fromDate: day('2026-01-01'),
      enteredBy: 'Pia',
    },
  });
  await prisma.jointPurchase.create({
    data: {
      id: 'jpu_1',
      siteIds: [SITE, 'site_other'],
      currency: 'EUR',
      days: 7,
      status: 'accepted',
      choice: 'together',
      separateCost: '20',
      togetherCost: '11',
      saving: '9',
      inputs: [],
      plans: { separate: [], together: [], carries: [] },
      workedOutAt: day('2026-03-10'),
      workedOutBy: 'Pia',
    },
  });
  await prisma.goodsCarry.create({
    data: {
      id: 'gca_1',
      jointPurchaseId: 'jpu_1',
      fromSiteId: 'site_other',
      toSiteId: SITE,
      ingredientId: 'ing_butter',
      tripDate: day('2026-03-12'),
      usableFrom: day('2026-03-12'),
      quantity: 300,
      uses: [{ needDate: '2026-03-12', quantity: 300, certain: 0 }],
      status: 'planned',
    },
  });
}
