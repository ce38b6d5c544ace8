import { beforeEach, expect, it } from 'vitest';
import { app, planAsksFor, run } from '../../helpers/buying-desk.ts';
import { SITE } from '../../helpers/demo-site.ts';
import {
  accept,
  carries,
  ordersOf,
  OTHER,
  otherAsksFor,
  useJointBuying,
  workOut,
} from '../../helpers/joint-buying.ts';

// The two sites' butter comes in pieces here, thirty a pack.
useJointBuying();
beforeEach(async () => {
  const { prisma } = app().database;
  await prisma.ingredient.update({ where: { id: 'ing_butter' }, data: { baseUnit: 'each' } });
  await prisma.pack.update({
    where: { id: 'pack_1kg' },
    data: { value: 30, unit: '{each}', quantity: 30 },
  });
  await prisma.prepPlan.deleteMany();
  await prisma.explanation.deleteMany();
  await planAsksFor({ '2026-03-13': 13.2 });
  await otherAsksFor('2026-03-13', 15.7);
});

it('carries whole pieces between sites and buys for them whole', async () => {
  const purchase = await workOut();
  expect(purchase).toMatchObject({ choice: 'together', togetherCost: { amount: '21.00' } });
  const pieces = (value: number) => ({ value, unit: '{each}' });
  expect(purchase.together[0].lines[0].sites).toEqual(
    expect.arrayContaining([
      { site: { id: SITE, name: SITE }, amount: pieces(14) },
      { site: { id: OTHER, name: OTHER }, amount: pieces(16) },
    ]),
  );
  expect(purchase.carries).toMatchObject([{ to: { id: OTHER }, amount: pieces(16) }]);
  await accept(purchase).expect(200);
  expect(await carries()).toMatchObject([{ amount: pieces(16) }]);
  expect(await ordersOf(OTHER)).toEqual([]);
  const [order] = await ordersOf(SITE);
  expect(order?.lines[0]?.packs).toBe(1);
  const goesOn = order?.lines[0]?.uses.filter((use) => use.siteId === OTHER) ?? [];
  expect(goesOn.map((use) => use.quantity)).toEqual([16]);
});

it('promises no part of a piece where not all of it can be bought', async () => {
  const purchase = await workOut();
  await accept(purchase).expect(200);
  // One delivery is left, of one pack, and the buying site needs more of it than it did.
  const { prisma } = app().database;
  await prisma.supplier.update({ where: { id: 'sup_a' }, data: { deliveryWeekdays: [4] } });
  await prisma.pack.update({ where: { id: 'pack_1kg' }, data: { maxPacks: 1 } });
  await prisma.prepPlan.deleteMany({ where: { siteId: SITE } });
  await prisma.explanation.deleteMany({ where: { subjectId: 'plan_t' } });
  await planAsksFor({ '2026-03-12': 20.3 });
  await run();
  const amounts = (await carries()).map((one: { amount: { value: number } }) => one.amount.value);
  // 9.7 are left of thirty: nine of them go on.
  expect(amounts).toEqual([9]);
});
