import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { startCoversFixture, type CoversFixture } from './covers-fixture.ts';

let f: CoversFixture;
beforeAll(async () => {
  f = await startCoversFixture();
});
afterAll(() => f.close());

const snapshot = (more: object = {}) => ({
  serviceId: f.dinnerId,
  serviceDate: '2026-03-13',
  takenAt: '2026-03-09T18:00:00Z',
  booked: 22,
  ...more,
});
const post = (...snapshots: object[]) =>
  f.chef().post(`/v1/sites/${f.siteId}/covers-snapshots`).send({ snapshots });
const put = (takenAt: string, booked: unknown, date = '2026-03-14') =>
  f.chef().put(`/v1/services/${f.dinnerId}/covers/${date}/snapshots/${takenAt}`).send({ booked });
const count = () => f.test.database.prisma.coversSnapshot.count();

describe('booking snapshots', () => {
  it('are kept one beside the other, never overwritten, and read back as a booking curve', async () => {
    const made = await post(
      snapshot(),
      snapshot({ takenAt: '2026-03-01T09:00:00+01:00', booked: 4 }),
    ).expect(201);
    expect(made.body.items[1]).toMatchObject({ takenAt: '2026-03-01T08:00:00.000Z', booked: 4 });
    expect(made.body.warnings).toEqual([]);
    const curve = await f.chef().get(`/v1/services/${f.dinnerId}/covers/2026-03-13`).expect(200);
    expect(curve.body.snapshots.map((s: { booked: number }) => s.booked)).toEqual([4, 22]);
    expect(curve.body).toMatchObject({
      serviceName: 'Dinner',
      outcome: null,
      sales: [],
      events: [],
    });
  });

  it('of the same service, date and instant are refused with a pointer; nothing of the batch lands', async () => {
    const before = await count();
    const again = await post(snapshot({ serviceDate: '2026-03-17' }), snapshot()).expect(409);
    expect(again.body.issues).toEqual([
      {
        pointer: '/snapshots/1',
        message: 'There is a snapshot of this service, date and instant already.',
      },
    ]);
    const within = snapshot({ serviceDate: '2026-03-18' });
    const twice = await post(within, { ...within, takenAt: '2026-03-09T19:00:00+01:00' });
    expect(twice.status).toBe(409);
    expect(await count()).toBe(before);
  });

  it('that cannot be are refused row by row with pointers, and nothing changes', async () => {
    const before = await count();
    for (const [bad, pointer] of [
      [{ takenAt: '2026-03-10T05:36:00Z' }, '/takenAt'],
      [{ takenAt: 'yesterday' }, '/takenAt'],
      [{ serviceDate: '2026-03-06', takenAt: '2026-03-08T06:00:00Z' }, '/takenAt'],
      [{ serviceDate: '2026-02-30' }, '/serviceDate'],
      [{ serviceDate: '2026-03-16' }, '/serviceDate'],
      [{ serviceDate: '2029-03-13' }, '/serviceDate'],
      [{ booked: 121 }, '/booked'],
      [{ booked: -1 }, '/booked'],
      [{ booked: 1.5 }, '/booked'],
      [{ booked: '22' }, '/booked'],
      [{ serviceId: 'svc_none' }, '/serviceId'],
      [{ serviceId: f.otherServiceId }, '/serviceId'],
    ] as const) {
      const refused = await post(snapshot({ serviceDate: '2026-03-20' }), snapshot(bad));
      expect([refused.status, refused.body.issues?.[0]?.pointer]).toEqual([
        400,
        `/snapshots/1${pointer}`,
      ]);
    }
    expect(await count()).toBe(before);
  });

  it('may be a few minutes ahead of our clock', async () => {
    await post(snapshot({ takenAt: '2026-03-10T05:35:00Z', booked: 120 })).expect(201);
  });

  it('for a weekday no longer served are kept for the past and said to be odd', async () => {
    const kept = await post(
      snapshot({ serviceDate: '2026-03-08', takenAt: '2026-03-07T10:00:00Z' }),
    ).expect(201);
    expect(kept.body.warnings).toEqual([
      { pointer: '/snapshots/0/serviceDate', message: 'Dinner is not held on Sundays.' },
    ]);
  });

  it('for a closed day are kept and said to be odd', async () => {
    await f.test.services.sites.addClosedDay(f.siteId, { date: '2026-03-19', reason: 'works' });
    const kept = await post(snapshot({ serviceDate: '2026-03-19' })).expect(201);
    expect(kept.body.warnings[0].message).toBe('Boathouse is closed on 2026-03-19.');
  });

  it('are neither seen nor added by a chef of another site, and not added by purchasing', async () => {
    const path = `/v1/sites/${f.siteId}/covers-snapshots`;
    await f.otherChef().get(path).expect(403);
    await f
      .otherChef()
      .post(path)
      .send({ snapshots: [snapshot()] })
      .expect(403);
    await f.otherChef().get(`/v1/services/${f.dinnerId}/covers/2026-03-13`).expect(404);
    const { PURCHASING } = await import('../../helpers/test-app.ts');
    await f.test
      .as(PURCHASING)
      .post(path)
      .send({ snapshots: [snapshot()] })
      .expect(403);
    await f.test.as(PURCHASING).get(path).expect(200);
    await f.lead().get('/v1/sites/site_none/covers-snapshots').expect(404);
  });

  it('come page by page, by service and dates', async () => {
    const path = `/v1/sites/${f.siteId}/covers-snapshots?from=2026-03-13&to=2026-03-13&limit=1`;
    const first = await f.lead().get(`${path}&serviceId=${f.dinnerId}`).expect(200);
    expect(first.body.items).toHaveLength(1);
    const next = await f.lead().get(`${path}&cursor=${first.body.nextCursor}`).expect(200);
    expect(next.body.items[0].id > first.body.items[0].id).toBe(true);
    expect((await f.lead().get(`${path}&serviceId=svc_none`)).body.items).toEqual([]);
  });
});

describe('a booking system', () => {
  it('may send a snapshot again: the same figure changes nothing, another is refused', async () => {
    const first = await put('2026-03-10T05:00:00Z', 31).expect(201);
    const again = await put('2026-03-10T06:00:00+01:00', 31).expect(200);
    expect(again.body.id).toBe(first.body.id);
    const other = await put('2026-03-10T05:00:00Z', 32).expect(409);
    expect(other.body.issues[0].pointer).toBe('/booked');
    expect(other.body.context.booked).toBe(31);
    const curve = await f.chef().get(`/v1/services/${f.dinnerId}/covers/2026-03-14`);
    expect(curve.body.snapshots.map((s: { booked: number }) => s.booked)).toEqual([31]);
  });

  it('sending one snapshot many times at once makes one', async () => {
    const answers = await Promise.all(
      Array.from({ length: 8 }, () => put('2026-03-10T04:00:00Z', 29)),
    );
    expect(answers.map((a) => a.status).sort()).toEqual([200, 200, 200, 200, 200, 200, 200, 201]);
    expect(new Set(answers.map((a) => a.body.id)).size).toBe(1);
  });

  it('is told what is wrong with a figure', async () => {
    await put('2026-03-10T07:00:00Z', 30).expect(400);
    await put('not-an-instant', 30).expect(400);
    await put('2026-03-10T03:00:00Z', 'many').expect(400);
    await put('2026-03-10T03:00:00Z', 30, '2026-03-15').expect(400);
    await f
      .otherChef()
      .put(`/v1/services/${f.dinnerId}/covers/2026-03-14/snapshots/2026-03-10T03:00:00Z`)
      .send({ booked: 3 })
      .expect(404);
  });
});
