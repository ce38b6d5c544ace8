import { describe, expect, it } from 'vitest';
import { evaluate } from '../../../api/core/explanation/index.ts';
import { planQuantile } from '../../../api/core/planning/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { app, approve, buyer, proposed, run } from '../../helpers/buying-desk.ts';
import { SITE } from '../../helpers/demo-site.ts';
import {
  accept,
  carries,
  kiloOnTheShelf,
  ordersOf,
  OTHER,
  otherAsksFor,
  useJointBuying,
  workOut,
} from '../../helpers/joint-buying.ts';
import { chefOf, PURCHASING } from '../../helpers/test-app.ts';

useJointBuying();
const grams = (value: number) => ({ value, unit: 'g' });

describe('a joint purchase', () => {
  it('is worked out both ways under the same rules, and orders nothing', async () => {
    const purchase = await workOut();
    // Apart: two kilos and two deliveries. Together: one kilo, one delivery, one trip.
    expect(purchase).toMatchObject({
      status: 'proposed',
      choice: 'together',
      separateCost: { amount: '38.00', currency: 'EUR' },
      togetherCost: { amount: '21.00' },
      saving: { amount: '17.00' },
    });
    expect(purchase.separate).toHaveLength(2);
    expect(purchase.together).toMatchObject([
      {
        site: { id: SITE },
        supplier: { id: 'sup_a' },
        lines: [{ pack: { id: 'pack_1kg' }, packs: 1 }],
      },
    ]);
    expect(purchase.together[0].lines[0].sites).toEqual(
      expect.arrayContaining([
        { site: { id: SITE, name: SITE }, amount: { value: 700, unit: 'g' } },
        { site: { id: OTHER, name: OTHER }, amount: { value: 300, unit: 'g' } },
      ]),
    );
    expect(purchase.carries).toMatchObject([
      {
        from: { id: SITE },
        to: { id: OTHER },
        amount: { value: 300 },
        tripCost: { amount: '2.00' },
      },
    ]);
    const [carry] = purchase.carries;
    expect(carry.tripDate > purchase.together[0].deliveryDate).toBe(true);
    expect(carry.usableFrom <= '2026-03-13').toBe(true);
    expect(await proposed()).toEqual([]);
    expect(await carries()).toEqual([]);
  });

  it('once accepted sends the goods to the buying site, and each site’s part is on record', async () => {
    const taken = (await accept(await workOut()).expect(200)).body;
    expect(taken).toMatchObject({ status: 'accepted', decidedBy: 'Pia Purchasing', rev: 2 });
    expect(await ordersOf(OTHER)).toEqual([]);
    const [order] = await ordersOf(SITE);
    expect(order?.lines.map((line) => [line.packId, line.packs])).toEqual([['pack_1kg', 1]]);
    const { body } = await buyer().get(`/v1/orders/${order?.id}`).expect(200);
    expect(body.lines[0].neededOn).toEqual(
      expect.arrayContaining([
        expect.objectContaining({
          site: { id: OTHER, name: OTHER },
          amount: { value: 300, unit: 'g' },
        }),
        expect.objectContaining({
          site: { id: SITE, name: SITE },
          amount: { value: 700, unit: 'g' },
        }),
      ]),
    );
    const path = `/v1/orders/${order?.id}/lines/${body.lines[0].id}/explanation`;
    const { node, nodes } = (await buyer().get(path).expect(200)).body;
    expect(unwrap(evaluate({ nodes }, node, { quantile: planQuantile }))).toBe(1);
    expect(await carries()).toMatchObject([{ status: 'planned', amount: { value: 300 } }]);
  });

  it('stays bought once when the orders are worked out again, sent and delivered', async () => {
    await accept(await workOut()).expect(200);
    await run();
    expect(await ordersOf(OTHER)).toEqual([]);
    const [order] = await ordersOf(SITE);
    const approved = await approve(order);
    await buyer()
      .post(`/v1/orders/${order?.id}/send`)
      .set('if-match', `"${approved.rev}"`)
      .send({})
      .expect(200);
    await run();
    expect(await proposed()).toEqual([]);
    // What came stands in the fridge of the buying site until its trip; it is not that site's own.
    const { prisma } = app().database;
    await prisma.order.updateMany({ data: { status: 'received' } });
    await kiloOnTheShelf();
    await run();
    expect(await proposed()).toEqual([]);
    await prisma.ingredientNeed.updateMany({ where: { siteId: SITE }, data: { quantity: 900 } });
    await run();
    const more = await ordersOf(SITE);
    expect(more.flatMap((one) => one.lines.map((line) => line.needQuantity))).toEqual([200]);
  });

  it('moves the goods lot by lot when they came, and holds what came too warm', async () => {
    await accept(await workOut()).expect(200);
    const { prisma } = app().database;
    const [carry] = await carries();
    const receive = (body: object, who = app().as(chefOf(OTHER))) =>
      who
        .post(`/v1/goods-carries/${carry.id}/receive`)
        .set('if-match', `"${carry.rev}"`)
        .send(body);
    await receive({ amount: grams(300) }).expect(409);
    await kiloOnTheShelf();
    await prisma.ingredient.update({ where: { id: 'ing_butter' }, data: { storage: 'chilled' } });
    const much = await receive({ amount: { value: 3, unit: 'kg' } }).expect(422);
    expect(much.body.issues).toMatchObject([{ pointer: '/amount' }]);
    const pieces = await receive({ amount: { value: 3, unit: '{each}' } });
    expect(pieces.status).toBeGreaterThanOrEqual(400);
    expect(pieces.body.issues[0].pointer).toMatch(/^\/amount/);
    await receive({ amount: grams(300) }, app().as(chefOf(SITE))).expect(403);
    const done = await receive({ amount: grams(290), celsius: 14 }).expect(200);
    expect(done.body).toMatchObject({
      status: 'carried',
      carried: { amount: { value: 290 }, celsius: 14, by: 'Cleo Chef' },
    });
    const lots = await prisma.stockLot.findMany({ where: { itemId: 'ing_butter' } });
    expect(lots.find((lot) => lot.id === 'lot_kilo')?.quantity).toBe(710);
    expect(lots.find((lot) => lot.siteId === OTHER)).toMatchObject({
      quantity: 290,
      sourceKind: 'transfer',
      sourceId: 'lot_kilo',
      supplierLot: 'L-7',
      heldReason: expect.stringContaining('14 °C'),
    });
    await receive({ amount: grams(290) }).expect(412);
    await prisma.ingredient.update({ where: { id: 'ing_butter' }, data: { storage: 'ambient' } });
  });

  it('called off, each site buys for itself again', async () => {
    await accept(await workOut()).expect(200);
    const [carry] = await carries();
    await buyer()
      .post(`/v1/goods-carries/${carry.id}/drop`)
      .set('if-match', `"${carry.rev}"`)
      .send({ reason: 'the van is off the road' })
      .expect(200);
    await run();
    expect((await ordersOf(OTHER)).flatMap((order) => order.lines)).toHaveLength(1);
    expect((await ordersOf(SITE)).flatMap((order) => order.lines[0]?.needQuantity)).toEqual([700]);
  });

  it('is taken only as it was worked out, once, and only where it pays', async () => {
    const purchase = await workOut();
    await otherAsksFor('2026-03-13', 400, 'plan_new');
    const moved = await accept(purchase).expect(409);
    expect(moved.body.detail).toContain('moved on');
    expect(await carries()).toEqual([]);
    const again = await workOut();
    await accept({ ...again, rev: 7 }).expect(412);
    await accept(again).expect(200);
    await accept({ ...again, rev: 2 }).expect(409);
    await app().database.prisma.transferRoute.updateMany({ data: { costPerTrip: '90' } });
    await app().database.prisma.goodsCarry.deleteMany();
    await app().database.prisma.order.deleteMany();
    const dear = await workOut();
    expect(dear).toMatchObject({ choice: 'separate', saving: { amount: '0.00' } });
    await accept(dear).expect(409);
    const path = `/v1/joint-purchases/${dear.id}/decline`;
    const left = await buyer()
      .post(path)
      .set('if-match', '"1"')
      .send({ reason: 'dear' })
      .expect(200);
    expect(left.body).toMatchObject({ status: 'declined', reason: 'dear' });
  });

  it('needs two sites, one currency and a trip in time, and is for those who see all its sites', async () => {
    const refused = async (body: object) =>
      (await buyer().post('/v1/joint-purchases').send(body).expect(400)).body.issues;
    const purchase = await workOut();
    await buyer()
      .post('/v1/joint-purchases')
      .send({ siteIds: [SITE, 'site_none'] })
      .expect(404);
    await app().database.prisma.transferRoute.deleteMany();
    expect(await refused({ siteIds: [SITE, OTHER] })).toMatchObject([{ pointer: '/siteIds' }]);
    await app().database.prisma.site.update({ where: { id: OTHER }, data: { currency: 'GBP' } });
    expect(await refused({ siteIds: [SITE, OTHER] })).toMatchObject([{ pointer: '/siteIds' }]);
    await app().database.prisma.site.update({ where: { id: OTHER }, data: { currency: 'EUR' } });
    const half = app().as({ ...PURCHASING, siteIds: [SITE] });
    await half.get(`/v1/joint-purchases/${purchase.id}`).expect(404);
    expect((await half.get('/v1/joint-purchases').expect(200)).body.items).toEqual([]);
    await app().as(chefOf(SITE)).get('/v1/joint-purchases').expect(403);
  });
});
