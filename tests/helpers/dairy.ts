import type { TestApp } from './test-app.ts';
import { SITE } from './demo-site.ts';

/** What differs from the supplier and the pack that most tests want. */
export interface DairyGiven {
  readonly supplierId?: string;
  readonly deliveryCharge?: string;
  /** Days the butter keeps; not stated when left out. */
  readonly shelfLifeDays?: number;
}

/** A supplier who brings a kilo of butter for 9.00 every day to the site; nobody sells the flour. */
export async function addDairy(
  { prisma }: TestApp['database'],
  { supplierId = 'sup_dairy', deliveryCharge = '0', shelfLifeDays }: DairyGiven = {},
): Promise<void> {
  await prisma.supplier.create({
    data: {
      id: supplierId,
      name: 'Lakeside Dairy',
      zone: 'Europe/Rome',
      currency: 'EUR',
      deliveryWeekdays: [1, 2, 3, 4, 5, 6, 7],
      cutoffDaysBefore: 1,
      cutoffTime: '14:00',
      minimumOrder: '0',
      deliveryCharge,
      sites: { create: { siteId: SITE } },
    },
  });
  await prisma.pack.create({
    data: {
      id: 'pack_butter',
      supplierId,
      ingredientId: 'ing_butter',
      name: 'Butter, 1 kg block',
      sku: 'LD-100',
      value: 1000,
      unit: 'g',
      quantity: 1000,
      ...(shelfLifeDays === undefined ? {} : { shelfLifeDays }),
      prices: {
        create: {
          id: 'price_butter',
          validFrom: new Date('2026-01-01T00:00:00Z'),
          amount: '9.00',
          source: 'list',
        },
      },
    },
  });
}
