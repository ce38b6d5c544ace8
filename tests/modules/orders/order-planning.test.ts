import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { evaluate, type ExplanationNode } from '../../../api/core/explanation/index.ts';
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

async function supplier(id: string, cutoffTime = '14:00'): Promise<void> {
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
      minimumOrder: '20',
      deliveryCharge: '5',
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
    await supplier('sup_a');
    await pack('pack_500', 'sup_a', 500, [
      [1, '5.00'],
      [4, '4.00'],
    ]);
    await planAsksFor({ '2026-03-12': 900 });
    await run();
    const [order] = await proposed();
    expect(order).toMatchObject({ total: '10' });
    expect(order?.notes).toEqual([
      '10.00 EUR below the minimum order of 20.00: nothing was added to reach it.',
    ]);
    const path = `/v1/orders/${order?.id}/lines/${order?.lines[0]?.id}`;
    const more = await buyer().put(path).set('if-match', '"1"').send({ packs: 6 }).expect(200);
    expect(more.body).toMatchObject({ total: { amount: '24.00', currency: 'EUR' }, notes: [] });
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
    expect(linesOn(orders, 'sup_a', '2026-03-11')).toEqual([['pack_1kg', 1]]);
    expect(linesOn(orders, 'sup_a', '2026-03-12')).toEqual([['pack_1kg', 1]]);
    expect(linesOn(orders, 'sup_a', '2026-03-13')).toEqual([]);
    expect(linesOn(orders, 'sup_a', '2026-03-16')).toEqual([['pack_1kg', 1]]);

    const second = orders.find((order) => order.deliveryDate === '2026-03-12');
    const line = second?.lines[0];
    expect(line).toMatchObject({ needQuantity: 200, surplusQuantity: 800 });
    const path = `/v1/orders/${second?.id}/lines/${line?.id}/explanation`;
    const { node, nodes } = (await buyer().get(path).expect(200)).body;
    expect(unwrap(evaluate({ nodes }, node, { quantile: planQuantile }))).toBe(1);
    const left = (nodes as ExplanationNode[]).find((n) => n.label.includes('left of the packs'));
    expect(left?.value).toBe(700);
  });

  it('say which delivery is next when the cutoff has passed', async () => {
    await supplier('sup_a', '06:00');
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
  const approve = async (order: Order | undefined) =>
    (
      await buyer()
        .post(`/v1/orders/${order?.id}/approve`)
        .set('if-match', `"${order?.rev}"`)
        .expect(200)
    ).body;

  it('count as due, and what is bought on top is called an addition', async () => {
    await supplier('sup_a');
    await pack('pack_500', 'sup_a', 500, [[1, '5.00']]);
    await planAsksFor({ '2026-03-12': 900 });
    await run();
    const first = await approve((await proposed())[0]);
    await run();
    expect(await proposed()).toEqual([]);
    await test.database.prisma.ingredientNeed.update({
      where: { id: 'need_2026-03-12' },
      data: { quantity: 1400 },
    });
    await test.database.prisma.explanation.update({
      where: { id: 'exp_t' },
      data: {
        nodes: [
          {
            id: 'node_2026-03-12',
            label: 'Butter',
            value: 1400,
            unit: 'g',
            formula: 'given',
            inputs: [],
          },
        ],
      },
    });
    await run();
    const [addition] = await proposed();
    expect(addition?.lines).toMatchObject([{ packId: 'pack_500', packs: 1, needQuantity: 400 }]);
    expect(addition?.notes[0]).toContain(`Addition to order ${first.number} `);
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
