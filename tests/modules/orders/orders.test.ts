import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { evaluate, type ExplanationNode } from '../../../api/core/explanation/index.ts';
import { planQuantile } from '../../../api/core/planning/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { fillKitchen, SITE } from '../../helpers/demo-site.ts';
import { chefOf, PURCHASING, SYSTEM, startTestApp, type TestApp } from '../../helpers/test-app.ts';

interface Line {
  readonly id: string;
  readonly pack: { readonly id: string; readonly quantity: { readonly value: number } };
  readonly ingredient: { readonly id: string };
  readonly packs: number;
  readonly proposedPacks: number;
  readonly changedByHand: boolean;
  readonly need: { readonly value: number };
  readonly note: string | null;
}

let test: TestApp;
const buyer = () => test.as(PURCHASING);
const run = async () => (await buyer().post('/v1/order-runs').send({}).expect(201)).body;
const firstOrder = async () => {
  const list = await buyer().get('/v1/orders?status=proposed&limit=200').expect(200);
  const header = list.body.items.find((o: { lineCount: number }) => o.lineCount > 1);
  return (await buyer().get(`/v1/orders/${header.id}`).expect(200)).body;
};

beforeAll(async () => {
  test = await startTestApp();
  await fillKitchen(test);
  const { prisma } = test.database;
  await prisma.supplier.create({
    data: {
      id: 'sup_dairy',
      name: '=Lakeside Dairy',
      zone: 'Europe/Rome',
      currency: 'EUR',
      deliveryWeekdays: [1, 2, 3, 4, 5, 6, 7],
      cutoffDaysBefore: 1,
      cutoffTime: '14:00',
      leadDays: 0,
      minimumOrder: '500',
      deliveryCharge: '0',
      holidays: [],
      sites: { create: { siteId: SITE } },
    },
  });
  const pack = (id: string, ingredientId: string, quantity: number, amount: string) => ({
    id,
    supplierId: 'sup_dairy',
    ingredientId,
    name: id,
    sku: id,
    value: quantity,
    unit: 'g',
    quantity,
    prices: {
      create: {
        id: `price_${id}`,
        validFrom: new Date('2026-01-01T00:00:00Z'),
        amount,
        source: 'list',
      },
    },
  });
  for (const data of [
    pack('pack_butter-1kg', 'ing_butter', 1000, '9.00'),
    pack('pack_butter-250', 'ing_butter', 250, '2.60'),
    pack('pack_lemon', 'ing_lemon', 1, '0.40'),
  ]) {
    await prisma.pack.create({ data });
  }
  await test.services.prep.workOut(SYSTEM, SITE, 7);
});
afterAll(() => test.close());

describe('an order run', () => {
  it('buys what the plan needs in whole packs, and says what nobody sells', async () => {
    const result = await run();
    expect(result.orders.length).toBeGreaterThan(0);
    expect(
      result.shortfalls.some(
        (s: { ingredient: { id: string }; reason: string }) =>
          s.ingredient.id === 'ing_flour' && s.reason === 'no-pack',
      ),
    ).toBe(true);
    const order = await firstOrder();
    const held = new Map<string, number>();
    for (const line of order.lines as Line[]) {
      held.set(
        line.ingredient.id,
        (held.get(line.ingredient.id) ?? 0) + line.packs * line.pack.quantity.value,
      );
    }
    for (const line of order.lines as Line[]) {
      expect(held.get(line.ingredient.id)).toBeGreaterThanOrEqual(line.need.value - 1e-6);
    }
    expect(order.notes.join(' ')).toContain('below the minimum order');
  });

  it('explains a line so that its packs can be worked out again from covers down', async () => {
    const order = await firstOrder();
    const line = order.lines[0] as Line;
    const path = `/v1/orders/${order.id}/lines/${line.id}/explanation`;
    const body = (await buyer().get(path).expect(200)).body;
    const nodes = body.nodes as ExplanationNode[];
    expect(unwrap(evaluate({ nodes }, body.node, { quantile: planQuantile }))).toBe(line.packs);
    expect(nodes.some((node) => node.unit === 'covers')).toBe(true);
    expect(nodes.some((node) => node.source?.kind === 'recipe line')).toBe(true);
  });

  it('takes stock in date off the need', async () => {
    const before = await firstOrder();
    const butter = (before.lines as Line[]).find((l) => l.ingredient.id === 'ing_butter');
    await test.database.prisma.stockLot.create({
      data: {
        id: 'lot_butter',
        siteId: SITE,
        itemKind: 'ingredient',
        itemId: 'ing_butter',
        quantity: 100_000,
        madeAt: new Date('2026-03-09T00:00:00Z'),
        useBy: new Date('2026-06-01T00:00:00Z'),
        sourceKind: 'count',
      },
    });
    await run();
    const after = (await buyer().get('/v1/orders?limit=200').expect(200)).body.items;
    const lines = await Promise.all(
      after.map(async (o: { id: string }) => (await buyer().get(`/v1/orders/${o.id}`)).body.lines),
    );
    expect(butter).toBeDefined();
    expect(lines.flat().some((l: Line) => l.ingredient.id === 'ing_butter')).toBe(false);
    await test.database.prisma.stockLot.delete({ where: { id: 'lot_butter' } });
    await run();
  });
});

describe('an order', () => {
  it('keeps a pack count changed by hand when it is worked out again', async () => {
    const order = await firstOrder();
    const line = order.lines[0] as Line;
    const path = `/v1/orders/${order.id}/lines/${line.id}`;
    const seen = `"${order.rev}"`;
    await buyer().put(path).send({ packs: 7 }).expect(428);
    await buyer().put(path).set('if-match', seen).send({ packs: -1 }).expect(400);
    const reason = 'A wedding nobody has booked in yet';
    const saved = await buyer().put(path).set('if-match', seen).send({ packs: 77, reason });
    expect(saved.body).toMatchObject({ rev: order.rev + 1 });
    expect(saved.body.lines.find((l: Line) => l.id === line.id)).toMatchObject({
      changedByHand: true,
      changedBy: 'Pia Purchasing',
      changeReason: reason,
    });
    await buyer().put(path).set('if-match', seen).send({ packs: 8 }).expect(412);
    await run();
    const all = await test.services.orders.matching(PURCHASING, {});
    const kept = all.flatMap((o) => o.lines).find((l) => l.changedByHand);
    expect(kept).toMatchObject({ packId: line.pack.id, packs: 77 });
    expect(kept?.note).toContain(String(line.proposedPacks));
  });

  it('is approved once, with numbers that have no gap', async () => {
    const proposed = await test.services.orders.matching(PURCHASING, { status: 'proposed' });
    const numbers: number[] = [];
    for (const order of proposed.slice(0, 2)) {
      const path = `/v1/orders/${order.id}/approve`;
      const refused = await buyer().post(path).set('if-match', `"${order.rev}"`).expect(409);
      expect(refused.body.issues[0].pointer).toBe('/agreedBelowMinimum');
      const approved = await buyer()
        .post(path)
        .set('if-match', `"${order.rev}"`)
        .send({ agreedBelowMinimum: true })
        .expect(200);
      numbers.push(approved.body.number);
      await buyer()
        .post(path)
        .set('if-match', `"${order.rev + 1}"`)
        .expect(409);
      await buyer().post(path).set('if-match', `"${order.rev}"`).expect(412);
    }
    expect(numbers).toEqual(numbers.map((_, i) => i + 1));
    const audit = await test.database.prisma.auditEvent.count({ where: { action: 'approve' } });
    expect(audit).toBe(numbers.length);
  });

  it('is not shown to a chef of another site, nor changed by a chef at all', async () => {
    const [order] = await test.services.orders.matching(PURCHASING, {});
    await test.as(chefOf('site_other')).get(`/v1/orders/${order?.id}`).expect(404);
    await test.as(chefOf(SITE)).get(`/v1/orders/${order?.id}`).expect(200);
    await test.as(chefOf(SITE)).post('/v1/order-runs').send({}).expect(403);
    await buyer().get('/v1/orders/ord_none').expect(404);
  });

  it('goes out as CSV in which no cell runs as a formula', async () => {
    const csv = await buyer().get('/v1/order-lines.csv').expect(200);
    expect(csv.headers['content-type']).toContain('text/csv');
    const rows = csv.text.split('\r\n');
    expect(rows[0]).toContain('delivery date,supplier');
    expect(rows.length).toBeGreaterThan(2);
    expect(csv.text).toContain("'=Lakeside Dairy");
    expect(csv.text).not.toContain(',=Lakeside');
  });
});
