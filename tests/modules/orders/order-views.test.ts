import { beforeEach, describe, expect, it } from 'vitest';
import { app, buyer, day, pack, supplier, useBuyingDesk } from '../../helpers/buying-desk.ts';
import { SITE } from '../../helpers/demo-site.ts';
import { chefOf } from '../../helpers/test-app.ts';

// Five orders written straight to the tables: two suppliers, two sites, this week and the last. The
// clock stands on Tuesday 2026-03-10, 05:30 UTC.
const OTHER = 'site_other';

useBuyingDesk();

const order = (
  id: string,
  supplierId: string,
  siteId: string,
  date: string,
  packs: number,
  status = 'approved',
) =>
  app().database.prisma.order.create({
    data: {
      id,
      supplierId,
      siteId,
      deliveryDate: day(date),
      cutoffAt: new Date(Date.parse(`${date}T13:00:00Z`) - 86_400_000),
      status,
      currency: 'EUR',
      total: String(packs * 10),
      deliveryCharge: '5',
      notes: [],
      lines: {
        create: {
          id: `ol_${id}`,
          packId: `pack_${supplierId}`,
          ingredientId: 'ing_butter',
          packQuantity: 1000,
          proposedPacks: packs,
          packs,
          unitPrice: '10',
          needQuantity: packs * 1000,
          certainQuantity: packs * 250,
          surplusQuantity: 0,
        },
      },
    },
  });

beforeEach(async () => {
  for (const id of ['sup_a', 'sup_b']) {
    await supplier(id);
    await pack(`pack_${id}`, id, 1000, [[1, '10.00']]);
  }
  await order('ord_1', 'sup_a', SITE, '2026-03-12', 3);
  await order('ord_2', 'sup_a', OTHER, '2026-03-12', 1, 'proposed');
  await order('ord_3', 'sup_b', SITE, '2026-03-13', 2);
  await order('ord_4', 'sup_b', SITE, '2026-03-13', 9, 'cancelled');
  await order('ord_5', 'sup_a', SITE, '2026-03-05', 2, 'closed');
});

const groups = async (by: string, who = buyer()) =>
  (await who.get(`/v1/order-groups?by=${by}&from=2026-03-12&to=2026-03-13`).expect(200)).body
    .groups as {
    key: string;
    total: { amount: string };
    orderIds: string[];
    ingredients: { amount: { value: number }; certain: { value: number } }[];
    lastWeek: null | {
      total: { amount: string };
      changes: { before: { value: number } | null; now: { value: number } | null }[];
    };
  }[];

describe('orders added up', () => {
  it('come by supplier, by site, by delivery day and for the group, cancelled ones left out', async () => {
    const totals = async (by: string) =>
      (await groups(by)).map(({ key, total }) => [key, total.amount]);
    // Goods at 10.00 a pack and 5.00 for each delivery.
    expect(await totals('supplier')).toEqual([
      ['sup_a', '50.00'],
      ['sup_b', '25.00'],
    ]);
    expect(await totals('site')).toEqual(
      expect.arrayContaining([
        [SITE, '60.00'],
        [OTHER, '15.00'],
      ]),
    );
    expect(await totals('delivery-date')).toEqual([
      ['2026-03-12', '50.00'],
      ['2026-03-13', '25.00'],
    ]);
    const [all] = await groups('group');
    expect(all?.total.amount).toBe('75.00');
    expect(all?.orderIds.sort()).toEqual(['ord_1', 'ord_2', 'ord_3']);
  });

  it('say how much of each ingredient is booked and how much is forecast', async () => {
    const [all] = await groups('group');
    expect(all?.ingredients).toMatchObject([
      { amount: { value: 6000, unit: 'g' }, certain: { value: 1500 } },
    ]);
    const header = (await buyer().get('/v1/orders/ord_1').expect(200)).body;
    expect(header.certainFraction).toBe(0.25);
    expect(header.lines[0]).toMatchObject({ certain: { value: 750 }, need: { value: 3000 } });
  });

  it('stand against the same view a week earlier', async () => {
    const bySupplier = await groups('supplier');
    expect(bySupplier.find(({ key }) => key === 'sup_a')?.lastWeek).toMatchObject({
      total: { amount: '25.00' },
      changeFraction: 1,
      changes: [{ before: { value: 2000 }, now: { value: 4000 }, changeFraction: 1 }],
    });
    expect(bySupplier.find(({ key }) => key === 'sup_b')?.lastWeek).toBeNull();
    const byDay = await groups('delivery-date');
    expect(byDay[0]?.lastWeek?.total.amount).toBe('25.00');
  });

  it('are those of the sites one may see', async () => {
    const half = app().as({ ...chefOf(OTHER), role: 'purchasing' });
    expect((await groups('group', half)).map(({ total }) => total.amount)).toEqual(['15.00']);
    await app()
      .as(chefOf(SITE))
      .get('/v1/order-groups?by=site&from=2026-03-12&to=2026-03-12')
      .expect(403);
    await buyer().get('/v1/order-groups?by=site&from=2026-03-13&to=2026-03-12').expect(400);
    await buyer().get('/v1/order-groups?by=site&from=2026-01-01&to=2026-12-31').expect(400);
  });
});

describe('open cutoffs', () => {
  it('count down to orders that are not sent, the soonest first, on the clock of the site', async () => {
    await app().database.prisma.site.update({
      where: { id: OTHER },
      data: { zone: 'America/New_York' },
    });
    const { items } = (await buyer().get('/v1/order-cutoffs').expect(200)).body;
    expect(items).toMatchObject([
      // 13:00 UTC is 14:00 in Rome; in New York, in summer time since Sunday, it is 09:00.
      {
        site: { id: SITE },
        deliveryDate: '2026-03-12',
        minutesLeft: 24 * 60 + 450,
        onSiteClock: { date: '2026-03-11', time: '14:00' },
      },
      { site: { id: OTHER }, onSiteClock: { date: '2026-03-11', time: '09:00' } },
      { site: { id: SITE }, deliveryDate: '2026-03-13' },
    ]);
    await app().database.prisma.site.update({
      where: { id: OTHER },
      data: { zone: 'Europe/Rome' },
    });
  });
});
