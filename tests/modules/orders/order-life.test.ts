import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { addDairy } from '../../helpers/dairy.ts';
import { fillKitchen, SITE } from '../../helpers/demo-site.ts';
import { ADMIN, chefOf, PURCHASING, startTestApp, type TestApp } from '../../helpers/test-app.ts';

// From a proposal to the shelf and the invoice. The clock stands on 2026-03-10, 05:30 UTC. Synthetic data.

let test: TestApp;
const buyer = () => test.as(PURCHASING);
const chef = () => test.as(chefOf(SITE));
const ORDER = { siteId: SITE, supplierId: 'sup_a', deliveryDate: '2026-03-12' };

interface Body {
  readonly id: string;
  readonly rev: number;
  readonly number: number | null;
  readonly status: string;
  readonly lines: readonly { readonly id: string }[];
}

const step = (order: Body, what: string, body?: object) =>
  buyer().post(`/v1/orders/${order.id}/${what}`).set('if-match', `"${order.rev}"`).send(body);

async function ordered(packs = 4): Promise<Body> {
  const made = (await buyer().post('/v1/orders').send(ORDER).expect(201)).body as Body;
  const line = { packId: 'pack_butter', packs };
  return (await step(made, 'lines', line).expect(200)).body as Body;
}

async function sent(packs = 4): Promise<Body> {
  const approved = (await step(await ordered(packs), 'approve').expect(200)).body as Body;
  return (await step(approved, 'send').expect(200)).body as Body;
}

const receive = (order: Body, body: object, as = chef()) =>
  as.post(`/v1/orders/${order.id}/deliveries`).set('if-match', `"${order.rev}"`).send(body);
const came = (order: Body, packs: number, more: object = {}) => ({
  lines: [{ lineId: order.lines[0]?.id, packs, temperatureC: 3, ...more }],
});

beforeAll(async () => {
  test = await startTestApp();
  await fillKitchen(test);
  const { prisma } = test.database;
  await prisma.ingredient.update({ where: { id: 'ing_butter' }, data: { storage: 'chilled' } });
  await addDairy(test.database, {
    supplierId: 'sup_a',
    deliveryCharge: '5',
    shelfLifeDays: 20,
  });
});
afterAll(() => test.close());
beforeEach(async () => {
  test.clock.set(new Date('2026-03-10T05:30:00Z'));
  const { prisma } = test.database;
  await prisma.order.deleteMany();
  await prisma.approvalLimit.deleteMany();
  await prisma.stockMovement.deleteMany();
  await prisma.stockLot.deleteMany();
});

describe('approving', () => {
  it('is past its cutoff only where the supplier takes it late, and never past the delivery', async () => {
    const order = await ordered();
    test.clock.set(new Date('2026-03-11T15:00:00Z'));
    const refused = await step(order, 'approve').expect(409);
    expect(refused.body.issues).toEqual([
      { pointer: '/agreedLate', message: expect.stringContaining('takes it late') },
    ]);
    const late = { agreedLate: true };
    const approved = (await step(order, 'approve', late).expect(200)).body;
    expect(approved.history.at(-1)).toMatchObject({
      state: 'approved',
      note: 'the supplier takes it after the cutoff',
    });
    await step(approved, 'send').expect(422);
    await step(approved, 'send', late).expect(200);
    await test.database.prisma.order.deleteMany();
    test.clock.set(new Date('2026-03-10T05:30:00Z'));
    const missed = await ordered();
    test.clock.set(new Date('2026-03-13T05:30:00Z'));
    expect((await step(missed, 'approve', late).expect(409)).body.detail).toContain(
      'The delivery date has passed.',
    );
  });

  it('is held to the limit of the person, else of the role, delivery charge included', async () => {
    const limit = (subject: string, amount: string) =>
      test
        .as(ADMIN)
        .put('/v1/approval-limits')
        .send({ subject, limit: { amount, currency: 'EUR' } })
        .expect(200);
    await limit('role:purchasing', '40.99');
    const order = await ordered(4);
    const refused = await step(order, 'approve').expect(403);
    expect(refused.body.detail).toContain('41');
    await limit(PURCHASING.id, '41');
    await step(order, 'approve').expect(200);
    await buyer().put('/v1/approval-limits').send({}).expect(403);
  });

  it('in another currency than every limit of theirs is refused: no limit there is no leave', async () => {
    const limit = (subject: string, currency: string, amount = '500') =>
      test
        .as(ADMIN)
        .put('/v1/approval-limits')
        .send({ subject, limit: { amount, currency } })
        .expect(200);
    await limit(PURCHASING.id, 'GBP');
    const order = await ordered(4);
    const refused = await step(order, 'approve').expect(422);
    expect(refused.body.detail).toContain('GBP');
    expect((await buyer().get(`/v1/orders/${order.id}`)).body.status).toBe('proposed');
    // What the role may approve in euro holds for those who have no limit of their own in euro.
    await limit('role:purchasing', 'EUR', '40.99');
    await step(order, 'approve').expect(403);
    await limit('role:purchasing', 'EUR', '41');
    await step(order, 'approve').expect(200);
  });

  it('of a stale version is refused and changes nothing', async () => {
    const order = await ordered();
    await step({ ...order, rev: order.rev - 1 }, 'approve').expect(412);
    expect((await buyer().get(`/v1/orders/${order.id}`)).body.status).toBe('proposed');
  });

  it('is needed again after a change by hand, under the same number', async () => {
    const approved = (await step(await ordered(), 'approve').expect(200)).body as Body;
    const path = `/v1/orders/${approved.id}/lines/${approved.lines[0]?.id}`;
    const changed = await buyer().put(path).set('if-match', `"${approved.rev}"`).send({ packs: 6 });
    expect(changed.body).toMatchObject({ status: 'proposed', number: 1, approvedBy: null });
    expect((await step(changed.body, 'approve').expect(200)).body.number).toBe(1);
  });
});

describe('an order for a delivery', () => {
  it('is the only open one for it', async () => {
    await ordered();
    await buyer().post('/v1/orders').send(ORDER).expect(409);
  });

  it('is refused past its cutoff and for a day without delivery', async () => {
    test.clock.set(new Date('2026-03-11T13:30:00Z'));
    const late = await buyer().post('/v1/orders').send(ORDER).expect(400);
    expect(late.body.issues[0].pointer).toBe('/deliveryDate');
  });

  it('is not sent past its cutoff unless the supplier agrees, and not opened again', async () => {
    const approved = (await step(await ordered(), 'approve').expect(200)).body as Body;
    test.clock.set(new Date('2026-03-11T13:30:00Z'));
    await step(approved, 'send').expect(422);
    const gone = (await step(approved, 'send', { agreedLate: true }).expect(200)).body as Body;
    await step(gone, 'reopen', { reason: 'two more' }).expect(422);
  });

  it('can be opened again before the cutoff and keeps its number', async () => {
    const open = await step(await sent(), 'reopen', { reason: 'Two more' }).expect(200);
    expect(open.body).toMatchObject({ status: 'proposed', number: 1, sentAt: null });
  });
});

describe('goods at the door', () => {
  it('come in part, make dated lots with the supplier’s code, then complete the order', async () => {
    const order = (await step(await sent(), 'confirm', { supplierRef: 'LD-77' }).expect(200)).body;
    test.clock.set(new Date('2026-03-12T06:00:00Z'));
    const more = { useByDate: '2026-03-20', supplierLot: 'L-0451' };
    const first = (await receive(order, came(order, 3, more)).expect(201)).body;
    expect(first.order).toMatchObject({ status: 'part-delivered', supplierRef: 'LD-77' });
    const lots = await test.database.prisma.stockLot.findMany();
    expect(lots).toMatchObject([
      { itemId: 'ing_butter', quantity: 3000, supplierLot: 'L-0451', sourceKind: 'received' },
    ]);
    // 23:59 in Rome is 22:59 UTC in March before the clocks change.
    expect(lots[0]?.useBy.toISOString()).toBe('2026-03-20T22:59:00.000Z');
    const rest = (await receive(first.order, came(order, 0, { refusedPacks: 1 })).expect(201)).body;
    expect(rest.order.status).toBe('received');
    const items = (await chef().get(`/v1/orders/${order.id}/deliveries`).expect(200)).body.items;
    expect(items).toHaveLength(2);
  });

  it('are refused when more than ordered, too warm or past their date, unless somebody answers for it', async () => {
    const order = await sent();
    test.clock.set(new Date('2026-03-12T06:00:00Z'));
    const lineId = order.lines[0]?.id;
    const over = await receive(order, came(order, 5)).expect(422);
    expect(over.body.issues[0].pointer).toBe('/lines/0/packs');
    await receive(order, came(order, 4, { temperatureC: 9 })).expect(422);
    await receive(order, came(order, 4, { useByDate: '2026-03-11' })).expect(422);
    expect(await test.database.prisma.stockLot.count()).toBe(0);
    const taken = await receive(order, { ...came(order, 5), takeOver: [lineId] }).expect(201);
    expect(taken.body.delivery.findings.map((f: { kind: string }) => f.kind)).toContain(
      'more-than-ordered',
    );
  });

  it('are put in by a chef of the site only, and nothing is taken in before it is sent', async () => {
    const order = await ordered();
    await receive(order, came(order, 4)).expect(409);
    await receive(order, came(order, 4), test.as(chefOf('site_other'))).expect(404);
  });
});

describe('the invoice', () => {
  it('is checked against order and delivery, with the credit due, and the price paid is kept', async () => {
    const order = await sent();
    test.clock.set(new Date('2026-03-12T06:00:00Z'));
    const body = { ...came(order, 3, { pricePerPack: '9.50' }), final: true };
    const received = (await receive(order, body).expect(201)).body;
    expect(received.order.status).toBe('received');
    const invoice = {
      number: 'R-1',
      date: '2026-03-13',
      currency: 'EUR',
      deliveryCharge: '6.00',
      lines: [{ lineId: order.lines[0]?.id, packs: 4, pricePerPack: '9.50' }],
    };
    const path = `/v1/orders/${order.id}/invoices`;
    // One pack not received 9.50, three at 0.50 too much 1.50, delivery 1.00 too much.
    const checked = await buyer().post(path).send(invoice).expect(201);
    expect(checked.body.creditDue).toEqual({ amount: '12.00', currency: 'EUR' });
    await buyer().post(path).send(invoice).expect(409);
    const again = { ...invoice, number: 'R-2' };
    const inPounds = await buyer()
      .post(path)
      .send({ ...again, currency: 'GBP' })
      .expect(422);
    expect(inPounds.body.issues).toEqual([
      { pointer: '/currency', message: 'The order is in EUR.' },
    ]);
    // Charged a second time, all of it is due back: 4 packs at 9.50, and the delivery.
    const twice = await buyer().post(path).send(again).expect(201);
    expect(twice.body.creditDue).toEqual({ amount: '44.00', currency: 'EUR' });
    const paid = await buyer().get('/v1/packs/pack_butter/paid-prices').expect(200);
    expect(paid.body.items).toMatchObject([{ date: '2026-03-12', price: { amount: '9.50' } }]);
    expect((await step(received.order, 'close').expect(200)).body.status).toBe('closed');
  });
});

describe('views', () => {
  it('add orders up against last week and count cutoffs down on the clock of the site', async () => {
    await ordered(4);
    const groups = await buyer().get('/v1/order-groups?by=supplier&from=2026-03-12&to=2026-03-12');
    expect(groups.body.groups).toMatchObject([
      {
        name: 'Lakeside Dairy',
        goods: { amount: '36.00' },
        total: { amount: '41.00' },
        lastWeek: null,
      },
    ]);
    const cutoffs = (await buyer().get('/v1/order-cutoffs').expect(200)).body.items;
    expect(cutoffs).toMatchObject([
      { minutesLeft: 31 * 60 + 30, onSiteClock: { date: '2026-03-11', time: '14:00' } },
    ]);
  });

  it('lay an approved order out for paper and call an export after sending a copy', async () => {
    const order = await sent();
    const sheet = (await buyer().get(`/v1/orders/${order.id}/sheet`).expect(200)).body;
    expect(sheet.title).toBe('Order 1 (copy)');
    const ubl = await buyer().get(`/v1/orders/${order.id}/export?format=ubl`).expect(200);
    expect(ubl.text).toContain('<cbc:CopyIndicator>true</cbc:CopyIndicator>');
  });
});
