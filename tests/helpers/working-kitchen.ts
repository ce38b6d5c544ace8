import { fillKitchen, SITE } from './demo-site.ts';
import { LEAD, PURCHASING, type TestApp } from './test-app.ts';

// The synthetic kitchen at work: supplier and packs, a plan, proposed orders, stock, equipment, a
// draft version, a person, a key. For tests that need one of everything.

/** Fills a fresh database and works out a plan and orders. */
export async function fillWorkingKitchen(test: TestApp): Promise<void> {
  await fillKitchen(test);
  const { prisma: db } = test.database;
  const { services } = test;
  await db.supplier.create({
    data: {
      id: 'sup_mill',
      name: 'Mill and dairy',
      zone: 'Europe/Rome',
      currency: 'EUR',
      deliveryWeekdays: [1, 2, 3, 4, 5, 6, 7],
      cutoffDaysBefore: 1,
      cutoffTime: '20:00',
      leadDays: 0,
      minimumOrder: '0',
      deliveryCharge: '5',
      holidays: [],
      sites: { create: { siteId: SITE } },
    },
  });
  for (const [ingredientId, quantity, unit] of [
    ['ing_butter', 5000, 'g'],
    ['ing_flour', 10_000, 'g'],
    ['ing_lemon', 50, '{each}'],
  ] as const) {
    const name = ingredientId.slice(4);
    await db.pack.create({
      data: {
        id: `pack_${name}`,
        supplierId: 'sup_mill',
        ingredientId,
        name,
        sku: name,
        value: quantity,
        unit,
        quantity,
        shelfLifeDays: 20,
        prices: {
          create: {
            id: `price_${name}`,
            minPacks: 1,
            amount: '20',
            source: 'test',
            validFrom: new Date('2026-01-01T00:00:00Z'),
          },
        },
      },
    });
  }
  await services.sites.addEquipment(SITE, {
    kind: 'oven deck',
    name: 'Deck',
    units: 2,
    holdsQuantity: null,
    holdsUnit: null,
  });
  await db.stockLot.createMany({
    data: ['ing_butter', 'rcp_shell'].map((itemId, i) => ({
      id: `lot_${i}`,
      siteId: SITE,
      itemKind: i === 0 ? 'ingredient' : 'component',
      itemId,
      quantity: 10,
      madeAt: new Date('2026-03-09T00:00:00Z'),
      useBy: new Date('2026-03-20T00:00:00Z'),
      sourceKind: 'found',
    })),
  });
  await services.access.users.create(LEAD, {
    email: 'cleo@lakes.example',
    name: 'Cleo',
    role: 'chef',
    siteIds: [SITE],
    password: 'three ovens at dawn',
  });
  await services.prep.workOut(LEAD, SITE, 7);
  await services.orders.runOrders(PURCHASING, { siteIds: [SITE], days: 7 });
}

/** Where the ids of each kind of field are found. */
const SOURCES: Readonly<Record<string, string>> = {
  siteId: 'SELECT "id" FROM "sites"',
  serviceId: 'SELECT "id" FROM "services"',
  equipmentId: 'SELECT "id" FROM "equipment"',
  closedDayId: 'SELECT "id" FROM "closed_days"',
  ingredientId: 'SELECT "id" FROM "ingredients"',
  recipeId: 'SELECT "id" FROM "recipes"',
  componentId: `SELECT "id" FROM "recipes" WHERE "kind" = 'component'`,
  dishId: `SELECT "id" FROM "recipes" WHERE "kind" = 'dish'`,
  versionId: 'SELECT "id" FROM "recipe_versions"',
  menuId: 'SELECT "id" FROM "menus"',
  supplierId: 'SELECT "id" FROM "suppliers"',
  packId: 'SELECT "id" FROM "packs"',
  priceId: 'SELECT "id" FROM "pack_prices"',
  orderId: 'SELECT "id" FROM "orders"',
  lineId: 'SELECT "id" FROM "order_lines"',
  planId: 'SELECT "id" FROM "prep_plans"',
  taskId: 'SELECT "id" FROM "prep_tasks"',
  lotId: 'SELECT "id" FROM "stock_lots"',
  userId: 'SELECT "id" FROM "users"',
  tokenId: 'SELECT "id" FROM "api_tokens"',
  rateId: 'SELECT "id" FROM "exchange_rates"',
  eventId: 'SELECT "id" FROM "covers_events"',
  node: 'SELECT "quantityNode" AS "id" FROM "prep_tasks"',
};

/** Ids that stand in the database now, by the name of the field that takes them. */
export async function idsByField(test: TestApp): Promise<ReadonlyMap<string, readonly string[]>> {
  const found = new Map<string, readonly string[]>();
  for (const [field, sql] of Object.entries(SOURCES)) {
    const rows = await test.database.prisma.$queryRawUnsafe<{ id: string }[]>(
      `${sql} ORDER BY 1 LIMIT 40`,
    );
    if (rows.length > 0) {
      found.set(
        field,
        rows.map((row) => row.id),
      );
    }
  }
  const items = [...(found.get('ingredientId') ?? []), ...(found.get('componentId') ?? [])];
  return found.set('itemId', items).set('siteIds', found.get('siteId') ?? []);
}
