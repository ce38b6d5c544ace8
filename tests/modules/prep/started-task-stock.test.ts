import { afterAll, beforeAll, expect, it } from 'vitest';
import { fillKitchen, SITE } from '../../helpers/demo-site.ts';
import { chefOf, startTestApp, SYSTEM, type TestApp } from '../../helpers/test-app.ts';

let test: TestApp;
beforeAll(async () => {
  test = await startTestApp();
  await fillKitchen(test);
});
afterAll(() => test.close());

it('a started task holds the components it is using: a new plan does not give them away again', async () => {
  const { prisma } = test.database;
  // The filling is made of curd, so that a component is drawn from stock by a batch.
  await prisma.recipe.create({
    data: {
      id: 'rcp_filling',
      kind: 'component',
      name: 'Filling',
      baseUnit: 'g',
      station: 'larder',
    },
  });
  await prisma.recipeVersion.create({
    data: {
      id: 'ver_filling',
      recipeId: 'rcp_filling',
      number: 1,
      status: 'published',
      firstServiceDate: new Date('2026-01-01T00:00:00Z'),
      outputValue: 1000,
      outputUnit: 'g',
      outputQuantity: 1000,
      batchMin: 1,
      batchMultiple: 1,
      shelfLifeMin: 2880,
      storage: 'chilled',
      cautions: [],
      createdBy: 'test',
      lines: {
        create: {
          id: 'line_filling-0',
          position: 0,
          componentId: 'rcp_curd',
          value: 1000,
          unit: 'g',
          quantity: 1000,
        },
      },
    },
  });
  await prisma.recipeLine.create({
    data: {
      id: 'line_tart-2',
      versionId: 'ver_tart',
      position: 2,
      componentId: 'rcp_filling',
      value: 30,
      unit: 'g',
      quantity: 30,
    },
  });
  await prisma.stockLot.create({
    data: {
      id: 'lot_curd',
      siteId: SITE,
      itemKind: 'component',
      itemId: 'rcp_curd',
      quantity: 20_000,
      madeAt: new Date('2026-03-09T12:00:00Z'),
      // Before any curd made in the plan, so that it is eaten first.
      useBy: new Date('2026-03-12T23:00:00Z'),
      sourceKind: 'count',
    },
  });
  await test.services.prep.workOut(SYSTEM, SITE, 3);
  const task = await prisma.prepTask.findFirstOrThrow({ where: { recipeId: 'rcp_filling' } });
  const held = 1000 * task.batches;
  await test.as(chefOf(SITE)).post(`/v1/prep-tasks/${task.id}/start`).expect(200);
  // Leave in stock exactly what the started batch is using.
  await prisma.stockLot.update({ where: { id: 'lot_curd' }, data: { quantity: held } });
  const plan = await test.services.prep.workOut(SYSTEM, SITE, 3);
  expect(plan.summary.stockUses.filter((use) => use.lotId === 'lot_curd')).toEqual([]);
  // One gram more is one gram free.
  await prisma.stockLot.update({ where: { id: 'lot_curd' }, data: { quantity: held + 1 } });
  const next = await test.services.prep.workOut(SYSTEM, SITE, 3);
  const used = next.summary.stockUses.filter((use) => use.lotId === 'lot_curd');
  expect(used.reduce((sum, use) => sum + use.quantity, 0)).toBeCloseTo(1, 6);
});
