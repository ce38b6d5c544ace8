import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { DISH, fillKitchen, SERVICE, SITE } from '../../helpers/demo-site.ts';
import { chefOf, LEAD, startTestApp, SYSTEM, type TestApp } from '../../helpers/test-app.ts';

let test: TestApp;
const chef = chefOf(SITE);
let butterId: string;
let curdLot: string;

// Butter of a delivery becomes curd; the curd is plated at the dinner of 10 March.
beforeAll(async () => {
  test = await startTestApp();
  await fillKitchen(test);
  butterId = 'lot_butter';
  await prisma().stockLot.create({
    data: {
      id: butterId,
      siteId: SITE,
      itemKind: 'ingredient',
      itemId: 'ing_butter',
      quantity: 5000,
      madeAt: new Date('2026-03-09T08:00:00Z'),
      useBy: new Date('2026-04-01T00:00:00Z'),
      sourceKind: 'received',
      sourceId: 'dlv_1',
      supplierLot: 'BX-4471',
      movements: {
        create: { id: 'mov_0', kind: 'received', quantity: 5000, actorId: LEAD.id },
      },
    },
  });
  await test.services.prep.workOut(SYSTEM, SITE, 3);
  const task = await prisma().prepTask.findFirstOrThrow({
    where: { recipeId: 'rcp_curd' },
    orderBy: { startBy: 'asc' },
  });
  await test
    .as(chef)
    .post(`/v1/prep-tasks/${task.id}/finish`)
    .send({ made: { value: 1200, unit: 'g' } })
    .expect(200);
  curdLot = (await prisma().stockLot.findFirstOrThrow({ where: { itemId: 'rcp_curd' } })).id;
  test.clock.set('2026-03-11T08:00:00Z');
  await test
    .as(chef)
    .put(`/v1/services/${SERVICE}/covers/2026-03-10/sales/${DISH}`)
    .send({ portions: 10 })
    .expect(200);
});
afterAll(() => test.close());

const prisma = () => test.database.prisma;
const trace = async (lotId: string, who = chef) =>
  test.as(who).get(`/v1/stock-lots/${lotId}/trace`);

describe('a supplier lot', () => {
  it('is found by the code on its box, in any case and by its beginning, at the sites one sees', async () => {
    for (const code of ['BX-4471', 'bx-4471', 'BX-44']) {
      const found = await test.as(chef).get(`/v1/lot-codes?code=${code}`).expect(200);
      expect(found.body.items.map((lot: { lotId: string }) => lot.lotId)).toEqual([butterId]);
    }
    const none = await test.as(chefOf('site_other')).get('/v1/lot-codes?code=BX-4471').expect(200);
    expect(none.body.items).toEqual([]);
    await test.as(chef).get('/v1/lot-codes?code=%20').expect(400);
  });

  it('is followed to the components, dishes and services it reached, with quantities', async () => {
    const { body } = await trace(butterId);
    expect(body.forward.map((s: { lot: { lotId: string } }) => s.lot.lotId)).toEqual([curdLot]);
    // 300 g of butter a batch of 1200 g; ten tarts of 60 g.
    expect(body.links).toMatchObject([
      { fromLotId: butterId, toLotId: curdLot, amount: { value: 300, unit: 'g' } },
    ]);
    expect(body.services).toMatchObject([
      {
        lotId: curdLot,
        serviceDate: '2026-03-10',
        service: { name: 'Dinner' },
        dish: { name: 'Lemon tart' },
        portions: 10,
        amount: { value: 600, unit: 'g' },
      },
    ]);
    expect(body.start).toMatchObject({ left: { value: 4700 }, used: { value: 300 } });
  });

  it('is what the lot of a plate leads back to', async () => {
    const { body } = await trace(curdLot);
    expect(body.back).toMatchObject([
      { steps: 1, lot: { lotId: butterId, supplierLot: 'BX-4471' } },
    ]);
    expect(body.start.sold.value).toBe(600);
  });

  it('says what counts lost, and which dishes that may have reached', async () => {
    await test
      .as(chef)
      .post(`/v1/sites/${SITE}/stock-counts`)
      .send({
        counts: [{ itemKind: 'component', itemId: 'rcp_curd', amount: { value: 500, unit: 'g' } }],
      })
      .expect(201);
    const { body } = await trace(butterId);
    expect(body.forward[0].lot.unexplained).toEqual({ value: 100, unit: 'g' });
    expect(body.mayHaveReached).toEqual([{ id: DISH, name: 'Lemon tart' }]);
    expect(body.remarks[0]).toContain('may have been served');
  });

  it('is no way into another site, and called back holds everything made with it', async () => {
    expect((await trace(butterId, chefOf('site_other'))).status).toBe(404);
    const recall = (who: typeof chef, reason: string) =>
      test.as(who).post(`/v1/stock-lots/${butterId}/recall`).send({ reason });
    await recall(chef, 'Listeria notice').expect(403);
    await recall(LEAD, '').expect(400);
    const held = await recall(LEAD, 'Supplier notice: listeria').expect(200);
    expect([...held.body.held].sort()).toEqual([butterId, curdLot].sort());
    const lots = await prisma().stockLot.findMany({ where: { id: { in: [butterId, curdLot] } } });
    expect(lots.map((lot) => lot.heldReason)).toEqual(lots.map(() => 'Supplier notice: listeria'));
  });

  it('whose making was taken back leads nowhere any more', async () => {
    await prisma().stockMovement.updateMany({
      where: { lotId: butterId, kind: 'used' },
      data: { kind: 'used, taken back' },
    });
    expect((await trace(butterId)).body.forward).toEqual([]);
  });
});
