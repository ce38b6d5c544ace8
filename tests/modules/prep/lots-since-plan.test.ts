import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { fillKitchen, SITE } from '../../helpers/demo-site.ts';
import { chefOf, startTestApp, type TestApp } from '../../helpers/test-app.ts';

// What the fridge held when the plan was made is not always what it holds when the list is read.
let test: TestApp;
const chef = chefOf(SITE);
const at = `/v1/sites/${SITE}`;
const DAY = '2026-03-10';

interface Use {
  lotId: string;
  amount: { value: number };
  left: { value: number };
  held: boolean;
}
const ask = async (path: string) =>
  (await test.as(chef).get(`${at}/${path}?date=${DAY}`).expect(200)).body;
const curd = async (): Promise<Use[]> =>
  (await ask('prep-list')).useFirst.filter((use: Use) => use.lotId === 'lot_curd');

beforeAll(async () => {
  test = await startTestApp();
  await fillKitchen(test);
  const lot = (id: string, itemId: string, quantity: number) => ({
    ...{ id, siteId: SITE, itemKind: 'component', itemId, quantity },
    ...{ sourceKind: 'count', sourceId: 'cnt_x' },
    madeAt: new Date('2026-03-09T10:00:00Z'),
    useBy: new Date('2026-03-12T21:00:00Z'),
  });
  const db = test.database.prisma;
  await db.recipeVersion.update({ where: { id: 'ver_shell' }, data: { storage: 'frozen' } });
  await db.stockLot.createMany({
    data: [lot('lot_curd', 'rcp_curd', 900), lot('lot_shell', 'rcp_shell', 200)],
  });
  await test.services.prep.workOut(chef, SITE, 7);
});
afterAll(() => test.close());

describe('what a list says to use first', () => {
  it('has with it what the lot holds, and shows at once when some of it is thrown away', async () => {
    const before = await curd();
    expect(before.length).toBeGreaterThan(0);
    for (const use of before) expect(use).toMatchObject({ left: { value: 900 }, held: false });
    await test
      .as(chef)
      .post(`${at}/waste`)
      .send({ lotId: 'lot_curd', amount: { value: 880, unit: 'g' }, reason: 'spilled' })
      .expect(201);
    for (const use of await curd()) expect(use.left.value).toBe(20);
  });

  it('says that a lot is held back, and that it may be used again once it is released', async () => {
    await test.as(chef).post('/v1/stock-lots/lot_curd/hold').send({ reason: 'smells' }).expect(200);
    expect((await curd()).map(({ held }) => held)).not.toContain(false);
    await test.database.prisma.stockLot.update({
      where: { id: 'lot_curd' },
      data: { heldReason: null },
    });
    expect((await curd()).map(({ held }) => held)).not.toContain(true);
  });

  it('leaves out of what must thaw a lot that is held back, or used up', async () => {
    const shells = async () =>
      (await ask('pull-list')).outOfFreezer.filter((use: Use) => use.lotId === 'lot_shell').length;
    const change = (data: { heldReason: string | null; quantity: number }) =>
      test.database.prisma.stockLot.update({ where: { id: 'lot_shell' }, data });
    expect(await shells()).toBeGreaterThan(0);
    await change({ heldReason: 'torn bag', quantity: 200 });
    expect(await shells()).toBe(0);
    await change({ heldReason: null, quantity: 0 });
    expect(await shells()).toBe(0);
  });

  it('says of a task that what it made is held back, until it is released', async () => {
    const list = await ask('prep-list');
    const { id, toMake } = list.tasks[0];
    await test
      .as(chef)
      .post(`/v1/prep-tasks/${id}/finish`)
      .send({ made: toMake.amount })
      .expect(200);
    const held = async () => [
      (await ask('prep-list')).tasks.find((task: { id: string }) => task.id === id).held,
      (await test.as(chef).get(`/v1/prep-tasks/${id}`).expect(200)).body.held,
    ];
    expect(await held()).toEqual([false, false]);
    const change = (heldReason: string | null) =>
      test.database.prisma.stockLot.updateMany({ where: { sourceId: id }, data: { heldReason } });
    await change('too warm');
    expect(await held()).toEqual([true, true]);
    await change(null);
    expect(await held()).toEqual([false, false]);
  });
});
