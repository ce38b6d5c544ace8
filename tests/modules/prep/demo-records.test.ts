import { afterAll, beforeAll, expect, it } from 'vitest';
import { addKitchenRecords } from '../../../seed/load/kitchen-records.ts';
import { fillKitchen, SITE } from '../../helpers/demo-site.ts';
import { LEAD, startTestApp, type TestApp } from '../../helpers/test-app.ts';

let test: TestApp;
beforeAll(async () => {
  test = await startTestApp();
  await fillKitchen(test);
});
afterAll(() => test.close());

it('the demo holds back a lot that its plan takes nothing from, though some of another is left over', async () => {
  const { prisma } = test.database;
  const lot = (id: string, itemId: string, useBy: string) => ({
    ...{ id, siteId: SITE, itemKind: 'component', itemId, quantity: 9000, sourceKind: 'found' },
    madeAt: new Date('2026-03-09T08:00:00Z'),
    useBy: new Date(useBy),
  });
  await prisma.stockLot.createMany({
    data: [
      lot('lot_taken', 'rcp_curd', '2026-03-11T20:00:00Z'),
      lot('lot_spare', 'rcp_curd', '2026-03-10T09:00:00Z'),
    ],
  });
  const plan = await test.services.prep.workOut(LEAD, SITE, 3);
  const { stockUses, leftUnused } = plan.summary;
  expect(stockUses.map(({ lotId }) => lotId)).toContain('lot_taken');
  // The one that keeps longest would be found first.
  expect(leftUnused.map(({ lotId }) => lotId).sort()).toEqual(['lot_spare', 'lot_taken']);
  await addKitchenRecords(test.services, test.database, LEAD, plan);
  const held = await prisma.stockLot.findMany({ where: { heldReason: { not: null } } });
  expect(held.map(({ id }) => id)).toEqual(['lot_spare']);
});
