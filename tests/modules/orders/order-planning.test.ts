import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { evaluate } from '../../../api/core/explanation/index.ts';
import { planQuantile } from '../../../api/core/planning/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import type { Order } from '../../../api/modules/orders/index.ts';
import { fillKitchen, SITE } from '../../helpers/demo-site.ts';
import { chefOf, PURCHASING, startTestApp, type TestApp } from '../../helpers/test-app.ts';

// A plan written straight to the tables, small enough to work its orders out by hand. The clock of
// the test stands on 2026-03-10, 05:30 UTC, which is 06:30 in Rome. All data is synthetic.

let test: TestApp;
const buyer = () => test.as(PURCHASING);
const day = (date: string): Date => new Date(`${date}T00:00:00Z`);
const proposed = () => test.services.orders.matching(PURCHASING, { status: 'proposed' });
const run = async () => (await buyer().post('/v1/order-runs').send({}).expect(201)).body;
const linesOn = (orders: readonly Order[], supplierId: string, date: string) =>
  orders
    .filter((order) => order.supplierId === supplierId && order.deliveryDate === date)
    .flatMap((order) => order.lines.map((line) => [line.packId, line.packs]));

async function supplier(
  id: string,
  given: { cutoffTime?: string; minimumOrder?: string; deliveryCharge?: string } = {},
): Promise<void> {
  const { cutoffTime = '14:00', minimumOrder = '0', deliveryCharge = '0' } = given;
  await test.database.prisma.supplier.create({
    data: {
      id,
      name: id,
      zone: 'Europe/Rome',
      currency: 'EUR',
      deliveryWeekdays: [1, 2, 3, 4, 5, 6, 7],
      cutoffDaysBefore: 1,
      cutoffTime,
      leadDays: 0,
      minimumOrder,
      deliveryCharge,
      holidays: [],
      sites: { create: { siteId: SITE } },
    },
  });
}

async function pack(
  id: string,
  supplierId: string,
  quantity: number,
  prices: readonly [minPacks: number, amount: string][],
): Promise<void> {
  await test.database.prisma.pack.create({
    data: {
      id,
      supplierId,
      ingredientId: 'ing_butter',
      name: id,
      sku: id,
      value: quantity,
      unit: 'g',
      quantity,
      shelfLifeDays: 3,
      prices: {
        create: prices.map(([minPacks, amount]) => ({
          id: `price_${id}_${minPacks}`,
          validFrom: day('2026-01-01'),
          minPacks,
          amount,
          source: 'list',
        })),
      },
    },
  });
}

/** Makes the plan ask for butter at noon UTC of the dates. */
async function planAsksFor(needs: Readonly<Record<string, number>>): Promise<void> {
  const entries = Object.entries(needs);
  await test.database.prisma.prepPlan.create({
    data: {
      id: 'plan_t',
      siteId: SITE,
      fromDate: day('2026-03-10'),
      toDate: day('2026-03-17'),
      status: 'current',
      inputsHash: 'x',
      workedOutAt: day('2026-03-10'),
      summary: {},
      needs: {
        create: entries.map(([date, quantity]) => ({
          id: `need_${date}`,
          siteId: SITE,
          ingredientId: 'ing_butter',
          needDate: day(date),
          at: new Date(`${date}T12:00:00Z`),
          quantity,
          certainQuantity: quantity / 2,
          node: `node_${date}`,
        })),
      },
    },
  });
  await test.database.prisma.explanation.create({
    data: {
      id: 'exp_t',
      subjectKind: 'prep plan',
      subjectId: 'plan_t',
      nodes: entries.map(([date, value]) => ({
        id: `node_${date}`,
        label: `Butter for ${date}`,
        value,
        unit: 'g',
        formula: 'given',
        inputs: [],
      })),
    },
  });
}

beforeAll(async () => {
  test = await startTestApp();
  await fillKitchen(test);
});
afterAll(() => test.close());
beforeEach(async () => {
  const { prisma } = test.database;
  await prisma.order.deleteMany();
  await prisma.prepPlan.deleteMany();
  await prisma.explanation.deleteMany();
  await prisma.pack.deleteMany();
  await prisma.supplier.deleteMany();
  await prisma.stockLot.deleteMany();
});

describe('packs and deliveries', () => {
  it('come from the supplier whose whole packs cost least, not the one with the lowest price a kilo', async () => {
    await supplier('sup_big');
    await supplier('sup_small');
    await pack('pack_10kg', 'sup_big', 10_000, [[1, '60.00']]);
    await pack('pack_500', 'sup_small', 500, [[1, '5.00']]);
    await planAsksFor({ '2026-03-12': 900 });
    await run();
    expect(linesOn(await proposed(), 'sup_small', '2026-03-12')).toEqual([['pack_500', 2]]);
    expect(await proposed()).toHaveLength(1);
  });

  it('take the cheaper price from a number of packs on, also when a person changes the number', async () => {
    await supplier('sup_a', { minimumOrder: '20', deliveryCharge: '5' });
    await pack('pack_500', 'sup_a', 500, [
      [1, '5.00'],
      [4, '4.00'],
    ]);
    await planAsksFor({ '2026-03-12': 900 });
    await run();
    const [order] = await proposed();
    expect(order).toMatchObject({ total: '10' });
    expect(order?.notes).toEqual([
      '10.00 EUR below the minimum order of 20.00: filling it up would cost more than it is worth. Ask the supplier, or add what keeps.',
    ]);
    const path = `/v1/orders/${order?.id}/lines/${order?.lines[0]?.id}`;
    const more = await buyer().put(path).set('if-match', '"1"').send({ packs: 6 }).expect(200);
    expect(more.body).toMatchObject({
      goods: { amount: '24.00' },
      total: { amount: '29.00', currency: 'EUR' },
      notes: [],
    });
    expect(more.body.lines[0]).toMatchObject({
      unitPrice: { amount: '4.00' },
      surplus: { value: 2100 },
    });
  });

  it('use up what an earlier delivery leaves while it keeps', async () => {
    await supplier('sup_a');
    await pack('pack_1kg', 'sup_a', 1000, [[1, '9.00']]);
    // 700 g of the first kilo serve the 12th and 800 g of the second the 13th, so that nothing comes
    // then; a pack keeps three days, so nothing of them serves the 16th.
    await planAsksFor({
      '2026-03-11': 300,
      '2026-03-12': 900,
      '2026-03-13': 600,
      '2026-03-16': 100,
    });
    await run();
    const orders = await proposed();
    const lines = orders.flatMap((order) => order.lines);
    expect(lines.reduce((sum, line) => sum + line.packs, 0)).toBe(3);
    const usedOn = (date: string) =>
      lines
        .flatMap((line) => line.uses)
        .filter((use) => use.needDate === date)
        .reduce((sum, use) => sum + use.quantity, 0);
    expect(['2026-03-11', '2026-03-12', '2026-03-13', '2026-03-16'].map(usedOn)).toEqual([
      300, 900, 600, 100,
    ]);
    for (const order of orders) {
      for (const use of order.lines.flatMap((line) => line.uses)) {
        const kept = (Date.parse(use.needDate) - Date.parse(order.deliveryDate)) / 86_400_000;
        expect(kept).toBeGreaterThanOrEqual(0);
        expect(kept).toBeLessThanOrEqual(3);
      }
    }
    for (const order of orders) {
      for (const line of order.lines) {
        const path = `/v1/orders/${order.id}/lines/${line.id}/explanation`;
        const { node, nodes } = (await buyer().get(path).expect(200)).body;
        expect(unwrap(evaluate({ nodes }, node, { quantile: planQuantile }))).toBe(line.packs);
      }
    }
  });

  it('fill an order up to the minimum when that costs little, and say what it costs', async () => {
    await supplier('sup_a', { minimumOrder: '20' });
    await pack('pack_500', 'sup_a', 500, [[1, '6.00']]);
    await test.database.prisma.pack.update({
      where: { id: 'pack_500' },
      data: { shelfLifeDays: 30 },
    });
    // Three packs are 18.00; a fourth reaches 20.00 and its 500 g are used in the days after.
    await planAsksFor({ '2026-03-12': 1500 });
    await run();
    const [order] = await proposed();
    expect(order?.lines[0]?.packs).toBe(4);
    expect(order?.notes.join(' ')).toMatch(/^6\.00 EUR of packs only reach the minimum order/);
    expect(order?.lines[0]).toMatchObject({ packsForMinimum: 1 });
    expect(order?.choice?.toReachMinimum).toMatchObject({ cost: '6' });
  });

  it('come at the price in force on the delivery date, and only while the supplier has them', async () => {
    await supplier('sup_a');
    await pack('pack_500', 'sup_a', 500, [[1, '5.00']]);
    await test.database.prisma.packPrice.create({
      data: {
        id: 'price_later',
        packId: 'pack_500',
        validFrom: day('2026-03-14'),
        amount: '7.00',
        source: 'list',
      },
    });
    await pack('pack_dear', 'sup_a', 500, [[1, '9.00']]);
    await test.database.prisma.pack.update({
      where: { id: 'pack_500' },
      data: { outOfStock: true, backOn: day('2026-03-13') },
    });
    await planAsksFor({ '2026-03-11': 500, '2026-03-17': 500 });
    await run();
    const bought = (await proposed()).flatMap((order) =>
      order.lines.map((line) => [line.packId, Number(line.unitPrice)]),
    );
    // The 17th is in reach of deliveries from the 14th on (three days in date).
    expect(bought).toEqual([
      ['pack_dear', 9],
      ['pack_500', 7],
    ]);
  });

  it('come from the supplier a contract binds the site to', async () => {
    await supplier('sup_cheap');
    await supplier('sup_bound');
    await pack('pack_cheap', 'sup_cheap', 500, [[1, '1.00']]);
    await pack('pack_bound', 'sup_bound', 500, [[1, '5.00']]);
    const { prisma } = test.database;
    await prisma.supplyContract.create({
      data: {
        id: 'con_1',
        siteId: SITE,
        ingredientId: 'ing_butter',
        supplierId: 'sup_bound',
        fromDate: day('2026-01-01'),
      },
    });
    await planAsksFor({ '2026-03-12': 500 });
    await run();
    expect((await proposed()).map((order) => order.supplierId)).toEqual(['sup_bound']);
    await prisma.supplyContract.update({
      where: { id: 'con_1' },
      data: { toDate: day('2026-03-01') },
    });
    await run();
    expect((await proposed()).map((order) => order.supplierId)).toEqual(['sup_cheap']);
  });

  it('leave out a pack whose price breaks make no sense, and say so', async () => {
    await supplier('sup_a');
    await pack('pack_odd', 'sup_a', 500, [
      [1, '5.00'],
      [4, '6.00'],
    ]);
    await pack('pack_500', 'sup_a', 500, [[1, '8.00']]);
    await planAsksFor({ '2026-03-12': 500 });
    const { warnings } = await run();
    expect(warnings).toEqual(['pack_odd (sup_a) is left out: A price break never costs more.']);
    expect((await proposed())[0]?.lines[0]?.packId).toBe('pack_500');
  });

  it('say which delivery is next when the cutoff has passed', async () => {
    await supplier('sup_a', { cutoffTime: '06:00' });
    await pack('pack_1kg', 'sup_a', 1000, [[1, '9.00']]);
    await planAsksFor({ '2026-03-11': 300, '2026-03-12': 600 });
    const { shortfalls } = await run();
    expect(shortfalls).toHaveLength(1);
    expect(shortfalls[0]).toMatchObject({
      ingredient: { id: 'ing_butter' },
      amount: { value: 300, unit: 'g' },
      needDate: '2026-03-11',
      reason: 'past-cutoff',
    });
    expect(shortfalls[0].message).toContain('2026-03-12');
    expect((await proposed()).map((order) => order.deliveryDate)).toEqual(['2026-03-12']);
  });
});

describe('orders already with the supplier', () => {
  const send = async (order: { id: string; rev: number }) =>
    (
      await buyer()
        .post(`/v1/orders/${order.id}/send`)
        .set('if-match', `"${order.rev}"`)
        .expect(200)
    ).body;
  const nowAsksFor = async (date: string, value: number): Promise<void> => {
    await test.database.prisma.ingredientNeed.update({
      where: { id: `need_${date}` },
      data: { quantity: value },
    });
    const explanation = await test.database.prisma.explanation.findUniqueOrThrow({
      where: { id: 'exp_t' },
    });
    const nodes = (explanation.nodes as { id: string; value: number }[]).map((node) =>
      node.id === `node_${date}` ? { ...node, value } : node,
    );
    await test.database.prisma.explanation.update({ where: { id: 'exp_t' }, data: { nodes } });
  };
  const approve = async (order: Order | undefined) =>
    (
      await buyer()
        .post(`/v1/orders/${order?.id}/approve`)
        .set('if-match', `"${order?.rev}"`)
        .expect(200)
    ).body;

  it('follow the plan while they are not sent, and wait for approval again under their number', async () => {
    await supplier('sup_a');
    await pack('pack_500', 'sup_a', 500, [[1, '5.00']]);
    await planAsksFor({ '2026-03-12': 900 });
    await run();
    const first = await approve((await proposed())[0]);
    await run();
    expect(await proposed()).toEqual([]);
    await nowAsksFor('2026-03-12', 1400);
    await run();
    const [changed] = await proposed();
    expect(changed).toMatchObject({ id: first.id, number: 1, lines: [{ packs: 3 }] });
    expect(changed?.lastRefresh?.differences).toMatchObject([
      { what: 'changed', packsBefore: 2, plannedPacks: 3, packsNow: 3 },
    ]);
    expect((await approve(changed)).number).toBe(1);
  });

  it('count as due once sent; what needs grow by comes with the next delivery, the gap named', async () => {
    await supplier('sup_a');
    await pack('pack_500', 'sup_a', 500, [[1, '5.00']]);
    await planAsksFor({ '2026-03-12': 900, '2026-03-13': 10 });
    await run();
    const first = await approve((await proposed())[0]);
    await send(first);
    await run();
    expect(await proposed()).toEqual([]);
    test.clock.set(new Date('2026-03-11T14:00:00Z'));
    await nowAsksFor('2026-03-12', 1400);
    const { shortfalls, additions } = await run();
    test.clock.set(new Date('2026-03-10T05:30:00Z'));
    expect(shortfalls).toMatchObject([
      {
        reason: 'past-cutoff',
        amount: { value: 400 },
        needDate: '2026-03-12',
        nextFrom: '2026-03-13',
      },
    ]);
    expect(additions).toMatchObject([
      {
        orderId: first.id,
        orderNumber: 1,
        added: [{ deliveryDate: '2026-03-13', packs: 1 }],
        short: { value: 400 },
      },
    ]);
    const [addition] = await proposed();
    expect(addition?.deliveryDate).toBe('2026-03-13');
    expect(addition?.notes[0]).toBe('Addition to order 1, which is with the supplier: Butter.');
  });

  it('are cancelled with a reason, once, and keep their number so that none repeats', async () => {
    await supplier('sup_a');
    await pack('pack_500', 'sup_a', 500, [[1, '5.00']]);
    await planAsksFor({ '2026-03-12': 900 });
    await run();
    const first = await approve((await proposed())[0]);
    const path = `/v1/orders/${first.id}/cancel`;
    const cancel = (rev: number, reason = 'The event is off') =>
      buyer().post(path).set('if-match', `"${rev}"`).send({ reason });
    await buyer().post(path).send({ reason: 'The event is off' }).expect(428);
    await cancel(1).expect(412);
    await cancel(2, ' ').expect(400);
    const gone = await cancel(2).expect(200);
    expect(gone.body).toMatchObject({ status: 'cancelled', number: 1, rev: 3 });
    expect(gone.body.notes.join(' ')).toContain('The event is off');
    await cancel(3).expect(409);
    await test.as(chefOf(SITE)).post(path).set('if-match', '"3"').send({ reason: 'x' }).expect(403);
    await run();
    expect((await approve((await proposed())[0])).number).toBe(2);
  });

  it('get numbers without gaps or repeats when approved at the same moment', async () => {
    await supplier('sup_a');
    await pack('pack_500', 'sup_a', 500, [[1, '5.00']]);
    await test.database.prisma.pack.update({
      where: { id: 'pack_500' },
      data: { shelfLifeDays: 0 },
    });
    await planAsksFor({ '2026-03-11': 500, '2026-03-12': 500, '2026-03-13': 500 });
    await run();
    const orders = await proposed();
    const approved = await Promise.all(orders.map(approve));
    expect(approved.map((order) => order.number).sort()).toEqual([1, 2, 3]);
  });

  it('go out as UBL and as a workbook once they have a number', async () => {
    await supplier('sup_a');
    await pack('pack_500', 'sup_a', 500, [[1, '5.00']]);
    await planAsksFor({ '2026-03-12': 900 });
    await run();
    const [order] = await proposed();
    const path = `/v1/orders/${order?.id}/export`;
    await buyer().get(`${path}?format=ubl`).expect(409);
    await buyer().get(`${path}?format=csv`).expect(200);
    await approve(order);
    const ubl = await buyer().get(`${path}?format=ubl`).expect(200);
    expect(ubl.headers['content-disposition']).toContain('.xml');
    // Namespace of the OASIS UBL 2.1 Order schema.
    expect(ubl.text).toContain('urn:oasis:names:specification:ubl:schema:xsd:Order-2');
    expect(ubl.text).toContain('<cbc:ID>1</cbc:ID>');
    const book = await buyer().get(`${path}?format=xlsx`).responseType('blob').expect(200);
    // A workbook is a ZIP file, which begins with these two letters (PKWARE APPNOTE 4.3.7).
    expect((book.body as Buffer).subarray(0, 2).toString('latin1')).toBe('PK');
  });
});

describe('hand changes and totals', () => {
  it('keeps a changed line that the plan no longer asks for, and says so', async () => {
    await supplier('sup_a');
    await pack('pack_500', 'sup_a', 500, [[1, '5.00']]);
    await planAsksFor({ '2026-03-12': 900 });
    await run();
    const [order] = await proposed();
    const path = `/v1/orders/${order?.id}/lines/${order?.lines[0]?.id}`;
    await buyer().put(path).set('if-match', '"1"').send({ packs: 5 }).expect(200);
    await test.database.prisma.ingredientNeed.deleteMany();
    await run();
    const [kept] = await proposed();
    expect(kept?.lines).toMatchObject([
      {
        packs: 5,
        proposedPacks: 0,
        changedByHand: true,
        note: 'Kept at 5 as changed by hand; the plan now asks for 0.',
      },
    ]);
    await buyer().put(path).set('if-match', '"2"').send({ packs: 4 }).expect(412);
  });

  it('adds the packs up over the delivery dates, cancelled orders left out', async () => {
    await supplier('sup_a');
    await pack('pack_500', 'sup_a', 500, [[1, '5.00']]);
    await test.database.prisma.pack.update({
      where: { id: 'pack_500' },
      data: { shelfLifeDays: 0 },
    });
    await planAsksFor({ '2026-03-11': 500, '2026-03-12': 1000, '2026-03-15': 500 });
    await run();
    const totals = async (from: string, to: string) =>
      (await buyer().get(`/v1/order-totals?from=${from}&to=${to}`).expect(200)).body.items;
    expect(await totals('2026-03-11', '2026-03-12')).toEqual([
      {
        ingredient: { id: 'ing_butter', name: 'Butter' },
        supplier: { id: 'sup_a', name: 'sup_a' },
        pack: { id: 'pack_500', name: 'pack_500' },
        packs: 3,
        total: { amount: '15.00', currency: 'EUR' },
        sites: [{ site: { id: SITE, name: SITE }, packs: 3 }],
      },
    ]);
    const order = (await proposed()).find((o) => o.deliveryDate === '2026-03-11');
    await buyer()
      .post(`/v1/orders/${order?.id}/cancel`)
      .set('if-match', '"1"')
      .send({ reason: 'Bought at the market' })
      .expect(200);
    expect((await totals('2026-03-11', '2026-03-12'))[0].packs).toBe(2);
    await buyer().get('/v1/order-totals?from=2026-03-12&to=2026-03-11').expect(400);
    await test.as(chefOf(SITE)).get('/v1/order-totals?from=2026-03-11&to=2026-03-12').expect(403);
  });
});
