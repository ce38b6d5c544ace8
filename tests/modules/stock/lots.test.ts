import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createNewId } from '../../../api/persistence/new-id.ts';
import { createStockRepository } from '../../../api/persistence/stock.repository.ts';
import { startStockFixture, type StockFixture } from './stock-fixture.ts';

let f: StockFixture;
beforeAll(async () => {
  f = await startStockFixture();
});
afterAll(() => f.close());

const post = (more: object = {}) =>
  f
    .chef()
    .post(`/v1/sites/${f.siteId}/stock-lots`)
    .send({
      itemKind: 'ingredient',
      itemId: f.lemonId,
      amount: { value: 0.6, unit: 'kg' },
      useBy: '2026-03-20T21:00:00Z',
      source: 'received',
      supplierLot: 'L-2231',
      ...more,
    });

describe('stock lots', () => {
  it('are put on record in the base unit, with where they came from and every change', async () => {
    const made = await post().expect(201);
    expect(made.headers.location).toBe(`/v1/stock-lots/${made.body.id}`);
    expect(made.body).toMatchObject({
      itemName: 'Lemon',
      amount: { value: 5, unit: '{each}' }, // 600 g at 120 g a piece
      madeAt: '2026-03-10T05:30:00.000Z',
      state: 'usable',
      supplierLot: 'L-2231',
      sourceKind: 'received',
    });
    const read = await f.chef().get(`/v1/stock-lots/${made.body.id}`).expect(200);
    expect(read.body.movements).toMatchObject([
      { kind: 'received', amount: { value: 5, unit: '{each}' }, actorId: expect.any(String) },
    ]);
  });

  it('that cannot be are refused with pointers, and nothing changes', async () => {
    const before = await f.test.database.prisma.stockLot.count();
    for (const [bad, status, pointer] of [
      [{ useBy: '2026-03-09T05:30:00Z' }, 400, '/useBy'],
      [{ madeAt: '2026-03-10T06:00:00Z', useBy: '2026-03-10T05:59:00Z' }, 400, '/madeAt'],
      [{ madeAt: '2026-03-10T05:00:00Z', useBy: '2026-03-10T05:00:00Z' }, 400, '/useBy'],
      [{ useBy: '2046-03-10T05:00:00Z' }, 400, '/useBy'],
      [{ useBy: 'soon' }, 400, '/useBy'],
      [{ amount: { value: 2, unit: 'smidgen' } }, 422, '/amount/unit'],
      [{ amount: { value: 2, unit: 'L' } }, 422, '/amount'], // no density
      [{ amount: { value: 0, unit: 'kg' } }, 400, '/amount/value'],
      [{ amount: { value: -1, unit: 'kg' } }, 400, '/amount/value'],
      [{ amount: { value: 1e12, unit: 'kg' } }, 400, '/amount/value'],
      [{ amount: { value: 9e6, unit: 'kg' } }, 422, '/amount/value'],
      [{ itemId: 'ing_none' }, 400, '/itemId'],
      [{ itemKind: 'component' }, 400, '/itemId'],
      [{ source: 'stolen' }, 400, '/source'],
      [{ colour: 'yellow' }, 400, ''],
    ] as const) {
      const refused = await post(bad);
      expect([bad, refused.status, refused.body.issues?.[0]?.pointer]).toEqual([
        bad,
        status,
        pointer,
      ]);
    }
    expect(await f.test.database.prisma.stockLot.count()).toBe(before);
  });

  it('are listed first-expiring first, page by page, by state and item', async () => {
    const late = await f.lot(300, '2026-03-15T12:00:00Z');
    const soon = await f.lot(200, '2026-03-12T12:00:00Z');
    const old = await f.lot(100, '2026-03-10T05:00:00Z', { madeAt: '2026-03-08T05:00:00Z' });
    const held = await f.lot(50, '2026-03-13T12:00:00Z');
    await f
      .chef()
      .post(`/v1/stock-lots/${held}/hold`)
      .send({ reason: 'tin lid missing' })
      .expect(200);
    const ids = async (query: string) =>
      (
        await f
          .chef()
          .get(`/v1/sites/${f.siteId}/stock-lots?itemId=${f.creamId}&${query}`)
          .expect(200)
      ).body.items.map((lot: { id: string }) => lot.id);
    expect(await ids('')).toEqual([old, soon, held, late]);
    expect(await ids('state=usable')).toEqual([soon, late]);
    expect(await ids('state=in_date')).toEqual([soon, held, late]);
    expect(await ids('state=expired')).toEqual([old]);
    expect(await ids('state=held')).toEqual([held]);
    const path = `/v1/sites/${f.siteId}/stock-lots?itemKind=component&limit=2`;
    const first = await f.chef().get(path).expect(200);
    const second = await f.chef().get(`${path}&cursor=${first.body.nextCursor}`).expect(200);
    expect([...first.body.items, ...second.body.items].map((l) => l.id)).toEqual([
      old,
      soon,
      held,
      late,
    ]);
  });

  it('are held by anybody of the site, released by the lead, each with a trace', async () => {
    const id = await f.lot(80, '2026-03-14T12:00:00Z');
    const hold = { reason: 'supplier recalls almonds' };
    await f.otherChef().post(`/v1/stock-lots/${id}/hold`).send(hold).expect(404);
    const held = await f.purchasing().post(`/v1/stock-lots/${id}/hold`).send(hold).expect(200);
    expect(held.body).toMatchObject({ state: 'held', heldReason: hold.reason });
    await f.chef().post(`/v1/stock-lots/${id}/hold`).send(hold).expect(409);
    await f.chef().post(`/v1/stock-lots/${id}/release`).send(hold).expect(403);
    await f.lead().post(`/v1/stock-lots/${id}/release`).send({ reason: ' ' }).expect(400);
    const free = await f
      .lead()
      .post(`/v1/stock-lots/${id}/release`)
      .send({ reason: 'other lot number' })
      .expect(200);
    expect(free.body).toMatchObject({ state: 'usable', heldReason: null });
    await f.lead().post(`/v1/stock-lots/${id}/release`).send({ reason: 'x' }).expect(409);
    const read = await f.chef().get(`/v1/stock-lots/${id}`);
    expect(
      read.body.movements.map((m: { kind: string; reason: string }) => [m.kind, m.reason]),
    ).toEqual([
      ['found', null],
      ['held', 'supplier recalls almonds'],
      ['released', 'other lot number'],
    ]);
  });

  it("of another site are neither seen nor changed by that site's chef", async () => {
    const id = await f.lot(10, '2026-03-14T12:00:00Z');
    await f.otherChef().get(`/v1/stock-lots/${id}`).expect(404);
    await f.otherChef().get(`/v1/sites/${f.siteId}/stock-lots`).expect(403);
    await f.otherChef().get(`/v1/sites/${f.siteId}/waste`).expect(403);
    const body = { counts: [] };
    await f.otherChef().post(`/v1/sites/${f.siteId}/stock-counts`).send(body).expect(403);
    await f
      .otherChef()
      .post(`/v1/sites/${f.otherSiteId}/waste`)
      .send({ lotId: id, amount: { value: 1, unit: 'g' }, reason: 'spoiled' })
      .expect(400);
    await f.lead().get('/v1/sites/site_none/stock-lots').expect(404);
  });
});

describe('the stock repository', () => {
  it('gives the planner lots with something left that are not held, and takes bulk loads', async () => {
    const repository = createStockRepository(f.test.database.prisma, createNewId());
    const at = new Date('2026-03-09T05:00:00Z');
    await repository.insertLots(
      Array.from({ length: 1_200 }, (_, i) => ({
        lot: {
          id: `lot_bulk${i}`,
          siteId: f.otherSiteId,
          itemKind: 'component' as const,
          itemId: f.creamId,
          quantity: i % 3,
          madeAt: at,
          useBy: new Date(at.getTime() + (i + 1) * 60_000),
          sourceKind: 'opening count',
          sourceId: null,
          supplierLot: null,
          note: null,
        },
        movement: {
          id: `mov_bulk${i}`,
          kind: 'counted',
          quantity: i % 3,
          at,
          actorId: 'demo',
          reason: null,
        },
      })),
    );
    const usable = await repository.usableLots(f.otherSiteId);
    expect(usable).toHaveLength(800);
    expect(usable.slice(0, 2).map((lot) => lot.id)).toEqual(['lot_bulk1', 'lot_bulk2']);
    expect(await f.test.database.prisma.stockMovement.count({ where: { kind: 'counted' } })).toBe(
      1_200,
    );
  });
});
