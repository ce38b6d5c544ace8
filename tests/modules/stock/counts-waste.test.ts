import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { startStockFixture, type StockFixture } from './stock-fixture.ts';

let f: StockFixture;
beforeEach(async () => {
  f = await startStockFixture();
});
afterEach(() => f.close());

const cream = (grams: number, more: object = {}) => ({
  itemKind: 'component',
  itemId: f.creamId,
  amount: { value: grams, unit: 'g' },
  ...more,
});
const count = (...counts: object[]) =>
  f.chef().post(`/v1/sites/${f.siteId}/stock-counts`).send({ counts });
const waste = (body: object) =>
  f
    .chef()
    .post(`/v1/sites/${f.siteId}/waste`)
    .send({ reason: 'spoiled', amount: { value: 100, unit: 'g' }, ...body });

describe('a stock count', () => {
  it('takes what is missing from the lots that expire first', async () => {
    const soon = await f.lot(300, '2026-03-11T12:00:00Z');
    const late = await f.lot(500, '2026-03-14T12:00:00Z');
    const answer = await count({ ...cream(0), amount: { value: 0.45, unit: 'kg' } }).expect(201);
    expect(answer.body.items[0]).toMatchObject({
      itemName: 'Almond cream',
      recorded: { value: 800, unit: 'g' },
      counted: { value: 450, unit: 'g' },
      drift: { value: -350, unit: 'g' },
    });
    expect(await f.left(f.creamId)).toEqual([0, 450]);
    expect(await f.moved(soon)).toBe(0);
    expect(await f.moved(late)).toBe(450);
    const list = await f.chef().get(`/v1/sites/${f.siteId}/stock-counts?itemId=${f.creamId}`);
    expect(list.body.items).toMatchObject([{ drift: { value: -350 }, counted: { value: 450 } }]);
  });

  it('adds what there is more of to the in-date lot that expires first, never to a fresher one', async () => {
    await f.lot(100, '2026-03-09T12:00:00Z', { madeAt: '2026-03-06T12:00:00Z' });
    await f.lot(300, '2026-03-11T12:00:00Z');
    await f.lot(500, '2026-03-14T12:00:00Z');
    await count(cream(1000)).expect(201);
    expect(await f.left(f.creamId)).toEqual([100, 400, 500]);
  });

  it('makes a lot of what there is more of where its use-by is said, and asks where none is known', async () => {
    const held = await f.lot(200, '2026-03-14T12:00:00Z');
    await f.chef().post(`/v1/stock-lots/${held}/hold`).send({ reason: 'smell' }).expect(200);
    const asked = await count(cream(350)).expect(400);
    expect(asked.body.issues[0].pointer).toBe('/counts/0/useBy');
    expect(await f.left(f.creamId)).toEqual([200]);
    const past = await count(cream(350, { useBy: '2026-03-10T05:00:00Z' })).expect(400);
    expect(past.body.issues[0].pointer).toBe('/counts/0/useBy');
    await count(cream(350, { useBy: '2026-03-12T12:00:00Z' })).expect(201);
    expect(await f.left(f.creamId)).toEqual([150, 200]);
  });

  it('of nothing empties every lot; one that agrees changes no lot', async () => {
    const lot = await f.lot(0.1, '2026-03-11T12:00:00Z');
    await f.lot(0.2, '2026-03-12T12:00:00Z');
    const agreed = await count(cream(0.3)).expect(201);
    expect(agreed.body.items[0].drift.value).toBe(0);
    expect((await f.chef().get(`/v1/stock-lots/${lot}`)).body.movements).toHaveLength(1);
    await count(cream(0)).expect(201);
    expect(await f.left(f.creamId)).toEqual([0, 0]);
  });

  it('lands whole or not at all', async () => {
    await f.lot(300, '2026-03-11T12:00:00Z');
    const before = JSON.stringify(await f.test.database.prisma.stockMovement.findMany());
    const lemon = {
      itemKind: 'ingredient',
      itemId: f.lemonId,
      amount: { value: 4, unit: '{each}' },
    };
    for (const [counts, status, pointer] of [
      [[cream(100), lemon], 400, '/counts/1/useBy'],
      [[cream(100), cream(200)], 400, '/counts/1/itemId'],
      [[cream(100), { ...lemon, itemId: 'ing_none' }], 400, '/counts/1/itemId'],
      [
        [cream(100), { ...lemon, amount: { value: 4, unit: 'furlong' } }],
        422,
        '/counts/1/amount/unit',
      ],
      [
        [cream(100), { ...lemon, amount: { value: -4, unit: '{each}' } }],
        400,
        '/counts/1/amount/value',
      ],
      [[], 400, '/counts'],
    ] as const) {
      const refused = await count(...counts);
      expect([refused.status, refused.body.issues[0].pointer]).toEqual([status, pointer]);
    }
    expect(JSON.stringify(await f.test.database.prisma.stockMovement.findMany())).toBe(before);
    expect(await f.test.database.prisma.stockCount.count()).toBe(0);
  });

  it('sent again under the same key counts once', async () => {
    await f.lot(300, '2026-03-11T12:00:00Z');
    const send = () => count(cream(250)).set('idempotency-key', 'tablet-3-count-0001');
    const first = await send().expect(201);
    const again = await send().expect(201);
    expect(again.body).toEqual(first.body);
    expect(await f.test.database.prisma.stockCount.count()).toBe(1);
  });
});

describe('waste', () => {
  it('of an item goes from the lots that expire first, with its reason, and is listed', async () => {
    await f.lot(80, '2026-03-11T12:00:00Z');
    await f.lot(500, '2026-03-14T12:00:00Z');
    const done = await waste({
      itemKind: 'component',
      itemId: f.creamId,
      reason: 'over-made',
      note: 'rain',
    }).expect(201);
    expect(done.body).toMatchObject({ amount: { value: 100, unit: 'g' } });
    expect(done.body.lots.map((l: { amount: { value: number } }) => l.amount.value)).toEqual([
      80, 20,
    ]);
    expect(await f.left(f.creamId)).toEqual([0, 480]);
    const list = await f.chef().get(`/v1/sites/${f.siteId}/waste`).expect(200);
    expect(
      list.body.items.map((l: { amount: { value: number }; reason: string }) => [
        l.amount.value,
        l.reason,
      ]),
    ).toEqual([
      [20, 'over-made: rain'],
      [80, 'over-made: rain'],
    ]);
    const none = await f.chef().get(`/v1/sites/${f.siteId}/waste?before=2026-03-10T05:00:00Z`);
    expect(none.body.items).toEqual([]);
  });

  it('of a lot leaves the others alone, also when it is held or expired', async () => {
    await f.lot(300, '2026-03-11T12:00:00Z');
    const late = await f.lot(500, '2026-03-14T12:00:00Z');
    await f.chef().post(`/v1/stock-lots/${late}/hold`).send({ reason: 'mould' }).expect(200);
    await waste({ lotId: late, amount: { value: 500, unit: 'g' } }).expect(201);
    expect(await f.left(f.creamId)).toEqual([300, 0]);
  });

  it('of more than is on record, of nothing named, or of both is refused', async () => {
    const lot = await f.lot(60, '2026-03-11T12:00:00Z');
    const more = await waste({ lotId: lot }).expect(409);
    expect(more.body).toMatchObject({
      issues: [{ pointer: '/amount/value' }],
      context: { recorded: 60, baseUnit: 'g' },
    });
    for (const [body, pointer] of [
      [{}, '/lotId'],
      [{ itemId: f.creamId }, '/itemKind'],
      [{ lotId: lot, itemId: f.creamId }, '/itemId'],
      [{ lotId: 'lot_none' }, '/lotId'],
      [{ lotId: lot, reason: 'eaten' }, '/reason'],
      [{ lotId: lot, amount: { value: 0, unit: 'g' } }, '/amount/value'],
    ] as const) {
      const refused = await waste(body).expect(400);
      expect(refused.body.issues[0].pointer).toBe(pointer);
    }
    expect(await f.left(f.creamId)).toEqual([60]);
  });

  it('written off from many tablets at once takes no gram twice and leaves none below zero', async () => {
    const lots = [
      await f.lot(250, '2026-03-11T12:00:00Z'),
      await f.lot(250, '2026-03-12T12:00:00Z'),
    ];
    const answers = await Promise.all(
      Array.from({ length: 8 }, (_, i) =>
        i % 2 === 0
          ? waste({ itemKind: 'component', itemId: f.creamId })
          : waste({ lotId: lots[1], amount: { value: 70, unit: 'g' } }),
      ),
    );
    const wasted = answers
      .filter((a) => a.status === 201)
      .reduce((sum, a) => sum + (a.body.amount.value as number), 0);
    expect(answers.every((a) => a.status === 201 || a.status === 409)).toBe(true);
    const left = await f.left(f.creamId);
    expect(Math.min(...left)).toBeGreaterThanOrEqual(0);
    expect(left.reduce((sum, q) => sum + q, 0)).toBeCloseTo(500 - wasted, 9);
    for (const [i, id] of lots.entries()) expect(await f.moved(id)).toBeCloseTo(left[i] ?? NaN, 9);
  });

  it('and counts at the same moment leave the record at what lots and movements agree on', async () => {
    const lot = await f.lot(500, '2026-03-12T12:00:00Z');
    const answers = await Promise.all([
      count(cream(400)),
      waste({ lotId: lot, amount: { value: 50, unit: 'g' } }),
      count(cream(300)),
      waste({ lotId: lot, amount: { value: 25, unit: 'g' } }),
    ]);
    expect(answers.map((a) => a.status)).toEqual([201, 201, 201, 201]);
    const [left] = await f.left(f.creamId);
    expect(await f.moved(lot)).toBeCloseTo(left ?? NaN, 9);
    // The last count says 300 or 400; at most both wastes came after it.
    expect([225, 250, 275, 300, 325, 350, 375, 400]).toContain(left);
  });
});
