import { beforeEach } from 'vitest';
import {
  app,
  buyer,
  day,
  pack,
  planAsksFor,
  proposed,
  supplier,
  useBuyingDesk,
} from './buying-desk.ts';
import { SITE } from './demo-site.ts';
import { LEAD } from './test-app.ts';

// Two sites need butter of one supplier that charges 10.00 a delivery; a trip from the first to the
// second, every day, costs 2.00. Bought together one delivery is saved. All data is synthetic.
export const OTHER = 'site_other';

/** Starts the application for a file of tests; before each, both sites ask for butter of the 13th. */
export function useJointBuying(): void {
  useBuyingDesk();
  beforeEach(begin);
}

async function begin(): Promise<void> {
  const { prisma } = app().database;
  await prisma.goodsCarry.deleteMany();
  await prisma.jointPurchase.deleteMany();
  await prisma.transfer.deleteMany();
  await prisma.transferRoute.deleteMany();
  await prisma.closedDay.deleteMany();
  await supplier('sup_a', { deliveryCharge: '10' });
  await prisma.supplierSite.create({ data: { supplierId: 'sup_a', siteId: OTHER } });
  await pack('pack_1kg', 'sup_a', 1000, [[1, '9.00']]);
  await prisma.pack.update({ where: { id: 'pack_1kg' }, data: { shelfLifeDays: 6 } });
  await app()
    .as(LEAD)
    .post('/v1/transfer-routes')
    .send({
      fromSiteId: SITE,
      toSiteId: OTHER,
      weekdays: [1, 2, 3, 4, 5, 6, 7],
      leavesAt: '07:00',
      arrivesAt: '08:00',
      cutoffHours: 4,
      costPerTrip: { amount: '2.00', currency: 'EUR' },
    })
    .expect(201);
  await planAsksFor({ '2026-03-13': 700 });
  await otherAsksFor('2026-03-13', 300);
}

/** Makes the plan of the other site ask for butter; an earlier plan of it gives way. */
export async function otherAsksFor(
  date: string,
  quantity: number,
  planId = 'plan_o',
): Promise<void> {
  const { prisma } = app().database;
  await prisma.prepPlan.updateMany({
    where: { siteId: OTHER },
    data: { status: 'superseded' },
  });
  await prisma.prepPlan.create({
    data: {
      id: planId,
      siteId: OTHER,
      fromDate: day('2026-03-10'),
      toDate: day('2026-03-17'),
      status: 'current',
      inputsHash: planId,
      workedOutAt: day('2026-03-10'),
      summary: {},
      needs: {
        create: {
          id: `need_${planId}`,
          siteId: OTHER,
          ingredientId: 'ing_butter',
          needDate: day(date),
          at: new Date(`${date}T12:00:00Z`),
          quantity,
          certainQuantity: quantity / 3,
          node: 'node_o',
        },
      },
    },
  });
  await prisma.explanation.create({
    data: {
      id: `exp_${planId}`,
      subjectKind: 'prep plan',
      subjectId: planId,
      nodes: [
        { id: 'node_o', label: 'Butter', value: quantity, unit: 'g', formula: 'given', inputs: [] },
      ],
    },
  });
}

/** Works out both ways of buying. */
export const workOut = async (body: object = {}) =>
  (await buyer().post('/v1/joint-purchases').send(body).expect(201)).body;
/** Takes a joint purchase as it was read. */
export const accept = (purchase: { id: string; rev: number }) =>
  buyer()
    .post(`/v1/joint-purchases/${purchase.id}/accept`)
    .set('if-match', `"${purchase.rev}"`)
    .send();
/** Goods from or to a site. */
export const carries = async (siteId = OTHER) =>
  (await buyer().get(`/v1/goods-carries?siteId=${siteId}`).expect(200)).body.items;
/** Orders of a site that wait for approval. */
export const ordersOf = async (siteId: string) =>
  (await proposed()).filter((order) => order.siteId === siteId);

/** The kilo came and stands in the fridge of the buying site. */
export async function kiloOnTheShelf(): Promise<void> {
  await app().database.prisma.stockLot.create({
    data: {
      id: 'lot_kilo',
      siteId: SITE,
      itemKind: 'ingredient',
      itemId: 'ing_butter',
      quantity: 1000,
      madeAt: day('2026-03-11'),
      useBy: new Date('2026-03-17T22:00:00Z'),
      sourceKind: 'received',
      supplierLot: 'L-7',
    },
  });
}
