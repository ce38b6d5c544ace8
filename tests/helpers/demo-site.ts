import type { TestApp } from './test-app.ts';

// A small synthetic kitchen written straight to the tables: one site, one dish of two components
// (the curd sets for six hours), a lemon with two parts, bookings for tomorrow.
export const SITE = 'site_test';
export const SERVICE = 'svc_dinner';
export const DISH = 'rcp_tart';

/** Fills a fresh test database. The clock of the test stands on 2026-03-10, 05:30 UTC. */
export async function fillKitchen({ database }: TestApp): Promise<void> {
  const db = database.prisma;
  const date = (d: string): Date => new Date(`${d}T00:00:00Z`);
  const every = [1, 2, 3, 4, 5, 6, 7];
  await db.site.createMany({
    data: [SITE, 'site_other'].map((id) => ({
      id,
      name: id,
      zone: 'Europe/Rome',
      currency: 'EUR',
      ruleSet: 'eu',
      hours: every.map((weekday) => ({ weekday, opens: '06:00', closes: '23:00', people: 2 })),
    })),
  });
  await db.service.create({
    data: {
      id: SERVICE,
      siteId: SITE,
      name: 'Dinner',
      startsAt: '19:00',
      endsAt: '22:30',
      weekdays: every,
      seats: 60,
    },
  });
  await db.statedCovers.createMany({
    data: every.map((weekday) => ({ serviceId: SERVICE, weekday, covers: 40 })),
  });
  await db.ingredient.createMany({
    data: [
      { id: 'ing_lemon', name: 'Lemon', baseUnit: 'each', pieceMassG: 110 },
      { id: 'ing_butter', name: 'Butter', baseUnit: 'g' },
      { id: 'ing_flour', name: 'Flour', baseUnit: 'g' },
    ],
  });
  await db.ingredient.createMany({
    data: [
      {
        id: 'ing_zest',
        name: 'Lemon zest',
        baseUnit: 'g',
        partOfId: 'ing_lemon',
        partGroup: 'zest',
        partYield: 3,
      },
      {
        id: 'ing_juice',
        name: 'Lemon juice',
        baseUnit: 'g',
        partOfId: 'ing_lemon',
        partGroup: 'flesh',
        partYield: 48,
      },
    ],
  });
  await db.recipe.createMany({
    data: [
      { id: DISH, kind: 'dish', name: 'Lemon tart', baseUnit: 'each', station: 'pass' },
      { id: 'rcp_curd', kind: 'component', name: 'Lemon curd', baseUnit: 'g', station: 'stove' },
      { id: 'rcp_shell', kind: 'component', name: 'Tart shell', baseUnit: 'each', station: 'oven' },
    ],
  });
  const version = (recipeId: string, output: number, shelfLifeMin: number) => ({
    id: `ver_${recipeId.slice(4)}`,
    recipeId,
    number: 1,
    status: 'published',
    firstServiceDate: date('2026-01-01'),
    outputValue: output,
    outputUnit: recipeId === 'rcp_curd' ? 'g' : '{each}',
    outputQuantity: output,
    batchMin: 1,
    batchMultiple: 1,
    shelfLifeMin,
    storage: 'chilled',
    cautions: [],
    createdBy: 'test',
  });
  await db.recipeVersion.createMany({
    data: [version(DISH, 1, 60), version('rcp_curd', 1200, 4320), version('rcp_shell', 20, 2880)],
  });
  const line = (
    versionId: string,
    position: number,
    item: object,
    quantity: number,
    unit: string,
  ) => ({
    id: `line_${versionId.slice(4)}-${position}`,
    versionId,
    position,
    value: quantity,
    unit,
    quantity,
    ...item,
  });
  await db.recipeLine.createMany({
    data: [
      line('ver_tart', 0, { componentId: 'rcp_curd' }, 60, 'g'),
      line('ver_tart', 1, { componentId: 'rcp_shell' }, 1, '{each}'),
      line('ver_curd', 0, { ingredientId: 'ing_juice' }, 300, 'g'),
      line('ver_curd', 1, { ingredientId: 'ing_zest' }, 12, 'g'),
      line('ver_curd', 2, { ingredientId: 'ing_butter' }, 300, 'g'),
      line('ver_shell', 0, { ingredientId: 'ing_flour' }, 350, 'g'),
      line('ver_shell', 1, { ingredientId: 'ing_butter' }, 210, 'g'),
    ],
  });
  const step = (versionId: string, text: string, workingMin: number, waitingMin: number) => ({
    id: `step_${versionId.slice(4)}`,
    versionId,
    position: 0,
    text,
    kind: 'set',
    workingMin,
    waitingMin,
    holdMaxMin: 2880,
  });
  await db.recipeStep.createMany({
    data: [
      step('ver_curd', 'Cook to 82 °C, pass, set in the chiller.', 30, 360),
      step('ver_shell', 'Line the rings, bake blind.', 40, 20),
    ],
  });
  await db.menu.create({
    data: {
      id: 'menu_test',
      siteId: SITE,
      name: 'Spring card',
      activeFrom: date('2026-03-01'),
      lines: {
        create: {
          id: 'ml_tart',
          dishId: DISH,
          serviceId: SERVICE,
          share: 0.5,
          priceAmount: '8.00',
          taxRate: 0.1,
        },
      },
    },
  });
  await db.coversSnapshot.create({
    data: {
      id: 'snap_1',
      siteId: SITE,
      serviceId: SERVICE,
      serviceDate: date('2026-03-11'),
      takenAt: new Date('2026-03-10T04:00:00Z'),
      booked: 22,
    },
  });
}
