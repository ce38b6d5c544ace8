import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fillTwoKitchens, MAKER, SITE } from '../../helpers/two-kitchens.ts';
import { chefOf, startTestApp, type TestApp } from '../../helpers/test-app.ts';

let test: TestApp;
beforeAll(async () => {
  test = await startTestApp();
  await fillTwoKitchens(test, {
    route: { massLimit: { value: 2, unit: 'kg' } },
    production: {
      componentId: 'rcp_curd',
      container: { name: 'tub', amount: { value: 600, unit: 'g' } },
    },
  });
});
afterAll(() => test.close());

/** Grams of curd that go on each date of leaving, after planning anew. */
async function asked(): Promise<Map<string, number>> {
  await test.as(chefOf(SITE)).post(`/v1/sites/${SITE}/prep-plans`).send({ days: 5 }).expect(201);
  const rows = await test.database.prisma.transfer.findMany({ where: { status: 'planned' } });
  const byDate = new Map<string, number>();
  for (const { leaveDate, quantity } of rows) {
    const date = leaveDate.toISOString().slice(0, 10);
    byDate.set(date, (byDate.get(date) ?? 0) + quantity);
  }
  return byDate;
}

describe('goods bought for another site, on the trips that carry what is made for it', () => {
  it('take of the mass a trip carries: less of the component goes with it, the rest another day', async () => {
    const before = await asked();
    const [full] = [...before].find(([, grams]) => grams > 600) ?? [];
    expect(full).toBeDefined();
    const { prisma } = test.database;
    await prisma.jointPurchase.create({
      data: {
        id: 'jpu_t',
        siteIds: [MAKER, SITE],
        currency: 'EUR',
        days: 5,
        status: 'accepted',
        choice: 'together',
        separateCost: '2',
        togetherCost: '1',
        saving: '1',
        inputs: [],
        plans: { separate: [], together: [], carries: [] },
        workedOutAt: new Date('2026-03-10T05:00:00Z'),
        workedOutBy: 'Pia',
      },
    });
    const tripDate = new Date(`${full}T00:00:00Z`);
    await prisma.goodsCarry.create({
      data: {
        id: 'gca_t',
        jointPurchaseId: 'jpu_t',
        fromSiteId: MAKER,
        toSiteId: SITE,
        ingredientId: 'ing_butter',
        tripDate,
        usableFrom: tripDate,
        quantity: 1000,
        uses: [],
        status: 'planned',
      },
    });
    const after = await asked();
    // A kilo of butter leaves room for one tub.
    expect(after.get(full ?? '') ?? 0).toBeLessThanOrEqual(1000);
    expect(after.get(full ?? '') ?? 0).toBeLessThan(before.get(full ?? '') ?? 0);
    await prisma.goodsCarry.updateMany({ data: { status: 'dropped' } });
    expect(await asked()).toEqual(before);
  });
});
