import { afterAll, beforeAll, beforeEach } from 'vitest';
import type { Order } from '../../api/modules/orders/index.ts';
import { fillKitchen, SITE } from './demo-site.ts';
import { PURCHASING, startTestApp, type TestApp } from './test-app.ts';

// A plan written straight to the tables, small enough to work its orders out by hand. The clock of
// the test stands on 2026-03-10, 05:30 UTC, which is 06:30 in Rome. All data is synthetic.

let test: TestApp;

/** The application under test; there once the suite of the file has begun. */
export const app = (): TestApp => test;
/** A date as the tables hold it. */
export const day = (date: string): Date => new Date(`${date}T00:00:00Z`);
/** Requests of purchasing. */
export const buyer = () => test.as(PURCHASING);
/** The orders that wait for approval. */
export const proposed = () => test.services.orders.matching(PURCHASING, { status: 'proposed' });
/** Works the orders out again and gives the answer. */
export const run = async () => (await buyer().post('/v1/order-runs').send({}).expect(201)).body;
/** Packs ordered of a supplier on a date. */
export const linesOn = (orders: readonly Order[], supplierId: string, date: string) =>
  orders
    .filter((order) => order.supplierId === supplierId && order.deliveryDate === date)
    .flatMap((order) => order.lines.map((line) => [line.packId, line.packs]));
/** Approves an order at the version it was read. */
export const approve = async (order: Order | undefined) =>
  (
    await buyer()
      .post(`/v1/orders/${order?.id}/approve`)
      .set('if-match', `"${order?.rev}"`)
      .expect(200)
  ).body;

/** Starts the application for a file of tests, and empties the buying tables before each of them. */
export function useBuyingDesk(): void {
  beforeAll(async () => {
    test = await startTestApp();
    await fillKitchen(test);
  });
  afterAll(() => test.close());
  beforeEach(async () => {
    const { prisma } = test.database;
    await prisma.order.deleteMany();
    await prisma.prepPlan.deleteMany();
    await prisma.explanation.deleteMany();
    await prisma.pack.deleteMany();
    await prisma.supplier.deleteMany();
    await prisma.stockLot.deleteMany();
  });
}

/** A supplier that delivers to the site every day. */
export async function supplier(
  id: string,
  given: { cutoffTime?: string; minimumOrder?: string; deliveryCharge?: string } = {},
): Promise<void> {
  const { cutoffTime = '14:00', minimumOrder = '0', deliveryCharge = '0' } = given;
  await test.database.prisma.supplier.create({
    data: {
      id,
      name: id,
      zone: 'Europe/Rome',
      currency: 'EUR',
      deliveryWeekdays: [1, 2, 3, 4, 5, 6, 7],
      cutoffDaysBefore: 1,
      cutoffTime,
      leadDays: 0,
      minimumOrder,
      deliveryCharge,
      holidays: [],
      sites: { create: { siteId: SITE } },
    },
  });
}

/** A pack of butter that keeps three days, with its price breaks. */
export async function pack(
  id: string,
  supplierId: string,
  quantity: number,
  prices: readonly [minPacks: number, amount: string][],
): Promise<void> {
  await test.database.prisma.pack.create({
    data: {
      id,
      supplierId,
      ingredientId: 'ing_butter',
      name: id,
      sku: id,
      value: quantity,
      unit: 'g',
      quantity,
      shelfLifeDays: 3,
      prices: {
        create: prices.map(([minPacks, amount]) => ({
          id: `price_${id}_${minPacks}`,
          validFrom: day('2026-01-01'),
          minPacks,
          amount,
          source: 'list',
        })),
      },
    },
  });
}

/** Makes the plan ask for butter at noon UTC of the dates. */
export async function planAsksFor(needs: Readonly<Record<string, number>>): Promise<void> {
  const entries = Object.entries(needs);
  await test.database.prisma.prepPlan.create({
    data: {
      id: 'plan_t',
      siteId: SITE,
      fromDate: day('2026-03-10'),
      toDate: day('2026-03-17'),
      status: 'current',
      inputsHash: 'x',
      workedOutAt: day('2026-03-10'),
      summary: {},
      needs: {
        create: entries.map(([date, quantity]) => ({
          id: `need_${date}`,
          siteId: SITE,
          ingredientId: 'ing_butter',
          needDate: day(date),
          at: new Date(`${date}T12:00:00Z`),
          quantity,
          certainQuantity: quantity / 2,
          node: `node_${date}`,
        })),
      },
    },
  });
  await test.database.prisma.explanation.create({
    data: {
      id: 'exp_t',
      subjectKind: 'prep plan',
      subjectId: 'plan_t',
      nodes: entries.map(([date, value]) => ({
        id: `node_${date}`,
        label: `Butter for ${date}`,
        value,
        unit: 'g',
        formula: 'given',
        inputs: [],
      })),
    },
  });
}
