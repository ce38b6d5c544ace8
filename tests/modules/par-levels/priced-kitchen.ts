import { startWithHistory } from '../forecasts/history-fixture.ts';
import { SITE } from '../../helpers/demo-site.ts';
import type { TestApp } from '../../helpers/test-app.ts';

/** The kitchen with twelve weeks behind it, and prices for all that goes into the tart. */
export async function startPriced(): Promise<TestApp> {
  const test = await startWithHistory();
  await addPrices(test);
  return test;
}

/** A supplier with a price for every ingredient of the tart. */
export async function addPrices({ database }: Pick<TestApp, 'database'>): Promise<void> {
  const db = database.prisma;
  await db.supplier.create({
    data: {
      id: 'sup_test',
      name: 'Test stores',
      zone: 'Europe/Rome',
      currency: 'EUR',
      deliveryWeekdays: [1, 3, 5],
      cutoffDaysBefore: 1,
      cutoffTime: '12:00',
      minimumOrder: '0',
      deliveryCharge: '0',
      holidays: [],
      sites: { create: { siteId: SITE } },
    },
  });
  for (const [ingredient, unit, quantity, amount] of [
    ['lemon', '{each}', 50, '15.00'],
    ['butter', 'g', 1000, '9.00'],
    ['flour', 'g', 10_000, '12.00'],
  ] as const) {
    await db.pack.create({
      data: {
        id: `pack_${ingredient}`,
        supplierId: 'sup_test',
        ingredientId: `ing_${ingredient}`,
        name: ingredient,
        sku: ingredient,
        value: quantity,
        unit,
        quantity,
        isDefault: true,
        prices: {
          create: {
            id: `price_${ingredient}`,
            validFrom: new Date('2026-01-01T00:00:00Z'),
            amount,
            source: 'list',
          },
        },
      },
    });
  }
}
