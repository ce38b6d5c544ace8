import { composeServices } from '../../api/compose.ts';
import type { Actor, Clock } from '../../api/modules/platform/index.ts';
import { createNewId } from '../../api/persistence/new-id.ts';
import type { Database } from '../../api/persistence/database.ts';
import { fillKitchen } from '../helpers/demo-site.ts';

// Many small synthetic sites over one book of recipes. Invented.

export const LEAD: Actor = {
  ...{ kind: 'system', id: 'bench', name: 'bench', role: 'lead', siteIds: 'all' },
};
export const ZONE = 'Europe/Rome';
const EVERY_DAY = [1, 2, 3, 4, 5, 6, 7];

export const siteIdOf = (n: number): string => `site_n${n}`;

/**
 * Fills a fresh database with the book of the small test kitchen, one supplier, and `count` sites that
 * differ in covers (30 to 59) and in how often the dish is chosen.
 */
export async function fillManySites(database: Database, count: number): Promise<void> {
  await fillKitchen({ database } as Parameters<typeof fillKitchen>[0]);
  const db = database.prisma;
  // The kitchen's own two sites have done their part: they brought the book along.
  await db.site.updateMany({ data: { archivedAt: new Date() } });
  const numbers = Array.from({ length: count }, (_, n) => n);
  await db.site.createMany({
    data: numbers.map((n) => ({
      ...{ id: siteIdOf(n), name: `House ${n}`, zone: ZONE, currency: 'EUR', ruleSet: 'eu' },
      hours: EVERY_DAY.map((weekday) => ({ weekday, opens: '06:00', closes: '23:00', people: 2 })),
    })),
  });
  await db.service.createMany({
    data: numbers.map((n) => ({
      ...{ id: `svc_n${n}`, siteId: siteIdOf(n), name: 'Dinner', weekdays: EVERY_DAY, seats: 60 },
      ...{ startsAt: '19:00', endsAt: '22:30' },
    })),
  });
  await db.statedCovers.createMany({
    data: numbers.flatMap((n) =>
      EVERY_DAY.map((weekday) => ({ serviceId: `svc_n${n}`, weekday, covers: 30 + (n % 30) })),
    ),
  });
  await db.menu.createMany({
    data: numbers.map((n) => ({
      ...{
        id: `menu_n${n}`,
        siteId: siteIdOf(n),
        name: 'Card',
        activeFrom: new Date('2026-03-01'),
      },
    })),
  });
  await db.menuLine.createMany({
    data: numbers.map((n) => ({
      ...{ id: `ml_n${n}`, menuId: `menu_n${n}`, dishId: 'rcp_tart', serviceId: `svc_n${n}` },
      ...{ share: 0.3 + (n % 7) / 20, priceAmount: '8.00', taxRate: 0.1 },
    })),
  });
  await fillSupplier(database, count);
}

/** One supplier who brings everything to everybody, every day. */
async function fillSupplier(database: Database, count: number): Promise<void> {
  const db = database.prisma;
  await db.supplier.create({
    data: {
      ...{ id: 'sup_mill', name: 'Mill and dairy', zone: ZONE, currency: 'EUR', holidays: [] },
      ...{ deliveryWeekdays: EVERY_DAY, cutoffDaysBefore: 1, cutoffTime: '20:00', leadDays: 0 },
      ...{ minimumOrder: '0', deliveryCharge: '5' },
      sites: { create: Array.from({ length: count }, (_, n) => ({ siteId: siteIdOf(n) })) },
    },
  });
  for (const [name, quantity, unit] of [
    ['butter', 5000, 'g'],
    ['flour', 10_000, 'g'],
    ['lemon', 50, '{each}'],
  ] as const) {
    await db.pack.create({
      data: {
        ...{ id: `pack_${name}`, supplierId: 'sup_mill', ingredientId: `ing_${name}`, name },
        ...{ sku: name, value: quantity, unit, quantity, shelfLifeDays: 20 },
        prices: {
          create: {
            ...{ id: `price_${name}`, minPacks: 1, amount: '20', source: 'invented' },
            validFrom: new Date('2026-01-01T00:00:00Z'),
          },
        },
      },
    });
  }
}

/**
 * Gives every site the first one's plan and `tasks` tasks of `day`, and a chef of its own whose email is
 * `chef<n>@bench.example`.
 */
export async function fillMornings(
  database: Database,
  clock: Clock,
  count: number,
  day: string,
  tasks: number,
  password: string,
): Promise<void> {
  const services = composeServices(database, clock, createNewId());
  const db = database.prisma;
  const chef = { name: 'Cleo', role: 'chef', password } as const;
  const email = 'chef0@bench.example';
  await services.access.users.create(LEAD, { ...chef, email, siteIds: [siteIdOf(0)] });
  const first = await db.user.findFirstOrThrow({ where: { email } });
  const others = Array.from({ length: count - 1 }, (_, i) => i + 1);
  await db.user.createMany({
    data: others.map((n) => ({ ...first, id: `usr_n${n}`, email: `chef${n}@bench.example` })),
  });
  await db.userSite.createMany({
    data: others.map((n) => ({ userId: `usr_n${n}`, siteId: siteIdOf(n) })),
  });
  await services.prep.workOut(LEAD, siteIdOf(0), 3);
  const plan = await db.prepPlan.findFirstOrThrow({ where: { siteId: siteIdOf(0) } });
  const rows = await db.prepTask.findMany({ where: { siteId: siteIdOf(0) } });
  await db.prepPlan.createMany({
    data: others.map((n) => ({
      ...{ ...plan, id: `plan_n${n}`, siteId: siteIdOf(n), summary: plan.summary ?? {} },
    })),
  });
  const makeDate = new Date(`${day}T00:00:00Z`);
  for (const n of [0, ...others]) {
    await db.prepTask.createMany({
      data: Array.from({ length: tasks }, (_, i) => {
        const row = rows[i % rows.length];
        if (!row) throw new Error('The plan has no tasks.');
        return {
          ...{ ...row, id: `task_n${n}-${i}`, siteId: siteIdOf(n), makeDate, status: 'to_do' },
          ...{ planId: n === 0 ? plan.id : `plan_n${n}`, neededFor: row.neededFor ?? [] },
        };
      }),
    });
  }
}
