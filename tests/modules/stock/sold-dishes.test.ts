import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import { DISH, fillKitchen, SERVICE, SITE } from '../../helpers/demo-site.ts';
import { chefOf, LEAD, startTestApp, type TestApp } from '../../helpers/test-app.ts';

let test: TestApp;
const opened: TestApp[] = [];
const chef = chefOf(SITE);

// Dinner of 10 March, 19:00 to 22:30 in Rome; a tart takes 60 g of curd and one shell.
beforeEach(async () => {
  test = await startTestApp('2026-03-11T08:00:00Z');
  opened.push(test);
  await fillKitchen(test);
  await lot('lot_old', 'rcp_curd', 500, '2026-03-09T12:00:00Z', '2026-03-12T12:00:00Z');
  await lot('lot_new', 'rcp_curd', 1200, '2026-03-10T12:00:00Z', '2026-03-13T12:00:00Z');
  await lot('lot_shell', 'rcp_shell', 30, '2026-03-10T12:00:00Z', '2026-03-12T12:00:00Z');
});
afterAll(async () => {
  for (const one of opened) await one.close();
});

const prisma = () => test.database.prisma;
const lot = async (
  id: string,
  itemId: string,
  quantity: number,
  madeAt: string,
  useBy: string,
  more: object = {},
) =>
  prisma().stockLot.create({
    data: {
      id,
      siteId: SITE,
      itemKind: 'component',
      itemId,
      quantity,
      madeAt: new Date(madeAt),
      useBy: new Date(useBy),
      sourceKind: 'counted',
      ...more,
    },
  });
const left = async (...ids: string[]) =>
  Promise.all(
    ids.map(async (id) => (await prisma().stockLot.findUniqueOrThrow({ where: { id } })).quantity),
  );
const sell = (portions: number, date = '2026-03-10') =>
  test
    .as(chef)
    .put(`/v1/services/${SERVICE}/covers/${date}/sales/${DISH}`)
    .send({ portions })
    .expect(200);
const importSales = (portions: number) =>
  test
    .as(chef)
    .post(`/v1/sites/${SITE}/covers-imports/sales`)
    .set('content-type', 'text/csv')
    .send(`service,service_date,dish,portions\nDinner,2026-03-10,Lemon tart,${portions}\n`);

describe('dishes sold', () => {
  it('take their components out of stock, first-expiring first, with the sale beside each', async () => {
    await sell(20);
    expect(await left('lot_old', 'lot_new', 'lot_shell')).toEqual([0, 500, 10]);
    const moved = await prisma().stockMovement.findMany({ where: { kind: 'sold' } });
    const sale = await prisma().dishSale.findFirstOrThrow();
    expect(new Set(moved.map((m) => m.saleId))).toEqual(new Set([sale.id]));
  });

  it('said again, by hand or by import, take nothing more', async () => {
    await sell(20);
    await sell(20);
    expect((await importSales(20)).status).toBeLessThan(300);
    expect(await left('lot_old', 'lot_new', 'lot_shell')).toEqual([0, 500, 10]);
  });

  it('corrected take the difference, or put it back where it came from last', async () => {
    await sell(20);
    await importSales(25);
    expect(await left('lot_old', 'lot_new', 'lot_shell')).toEqual([0, 200, 5]);
    await sell(5);
    expect(await left('lot_old', 'lot_new', 'lot_shell')).toEqual([200, 1200, 25]);
    await sell(0);
    expect(await left('lot_old', 'lot_new', 'lot_shell')).toEqual([500, 1200, 30]);
  });

  it('leave held lots, lots past their use-by and lots made after the service alone', async () => {
    await prisma().stockLot.update({ where: { id: 'lot_old' }, data: { heldReason: 'recall' } });
    await prisma().stockLot.update({
      where: { id: 'lot_new' },
      data: { useBy: new Date('2026-03-10T17:59:00Z') },
    });
    await lot('lot_after', 'rcp_curd', 900, '2026-03-11T07:00:00Z', '2026-03-14T07:00:00Z');
    const answer = await sell(10);
    expect(await left('lot_old', 'lot_new', 'lot_after')).toEqual([500, 1200, 900]);
    expect(JSON.stringify(answer.body.warnings)).toContain('More Lemon curd was sold');
  });

  it('leave what was counted after the service alone: the count has seen what was eaten', async () => {
    await test
      .as(chef)
      .post(`/v1/sites/${SITE}/stock-counts`)
      .send({
        counts: [{ itemKind: 'component', itemId: 'rcp_curd', amount: { value: 600, unit: 'g' } }],
      })
      .expect(201);
    await sell(20);
    expect(await left('lot_old', 'lot_new', 'lot_shell')).toEqual([0, 600, 10]);
  });

  it('of long ago take nothing from what is in the fridge now', async () => {
    await sell(20, '2026-03-03');
    expect(await left('lot_old', 'lot_new', 'lot_shell')).toEqual([500, 1200, 30]);
  });

  it('take the draw of the wording that drove the date', async () => {
    await prisma().recipeVersion.create({
      data: {
        id: 'ver_tart-2',
        recipeId: DISH,
        number: 2,
        status: 'published',
        firstServiceDate: new Date('2026-03-11T00:00:00Z'),
        outputValue: 1,
        outputUnit: '{each}',
        outputQuantity: 1,
        batchMin: 1,
        batchMultiple: 1,
        shelfLifeMin: 60,
        storage: 'chilled',
        cautions: [],
        createdBy: 'test',
        lines: {
          create: {
            id: 'line_tart-2-0',
            position: 0,
            componentId: 'rcp_curd',
            value: 40,
            unit: 'g',
            quantity: 40,
          },
        },
      },
    });
    await sell(10);
    expect(await left('lot_old', 'lot_shell')).toEqual([0, 20]);
    expect(await left('lot_new')).toEqual([1100]);
  });

  it('at one moment from two tills count as the last word, once', async () => {
    await Promise.all([
      sell(20),
      test
        .as(LEAD)
        .put(`/v1/services/${SERVICE}/covers/2026-03-10/sales/${DISH}`)
        .send({ portions: 20 })
        .expect(200),
    ]);
    expect(await left('lot_old', 'lot_new', 'lot_shell')).toEqual([0, 500, 10]);
  });
});
