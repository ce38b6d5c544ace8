import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { startCoversFixture, type CoversFixture } from './covers-fixture.ts';

let f: CoversFixture;
beforeAll(async () => {
  f = await startCoversFixture();
});
afterAll(() => f.close());

const sitting = (date: string) => `/v1/services/${f.dinnerId}/covers/${date}`;

describe('what came of a service', () => {
  it('is said once or corrected, and stands beside the booking curve', async () => {
    const put = (body: object) =>
      f
        .chef()
        .put(`${sitting('2026-03-06')}/outcome`)
        .send(body);
    await put({ covers: 51 }).expect(200);
    const corrected = await put({ covers: 54, note: 'two walk-in tables' }).expect(200);
    expect(corrected.body).toMatchObject({ covers: 54, closed: false, warnings: [] });
    const read = await f.chef().get(sitting('2026-03-06')).expect(200);
    expect(read.body.outcome).toMatchObject({ covers: 54, note: 'two walk-in tables' });
    expect(await f.test.database.prisma.serviceOutcome.count()).toBe(1);
  });

  it('is refused when still to come, absurd, or closed with covers', async () => {
    const put = (date: string, body: object) =>
      f
        .chef()
        .put(`${sitting(date)}/outcome`)
        .send(body);
    expect((await put('2026-03-11', { covers: 30 }).expect(400)).body.issues[0].pointer).toBe(
      '/serviceDate',
    );
    expect((await put('2026-03-05', { covers: 121 }).expect(400)).body.issues[0].pointer).toBe(
      '/covers',
    );
    await put('2026-03-05', { covers: -1 }).expect(400);
    await put('2026-03-05', { covers: 3, closed: true }).expect(400);
    await put('2026-03-05', { covers: 0, closed: true }).expect(200);
    await f
      .otherChef()
      .put(`${sitting('2026-03-05')}/outcome`)
      .send({ covers: 3 })
      .expect(404);
  });

  it('takes in what was sold, with the moment a dish ran out', async () => {
    const put = (dish: string, body: object) =>
      f
        .chef()
        .put(`${sitting('2026-03-06')}/sales/${dish}`)
        .send(body);
    await put(f.dishId, { portions: 12 }).expect(200);
    const again = await put(f.dishId, { portions: 14, soldOutAt: '2026-03-06T21:05:00+01:00' });
    expect(again.body).toMatchObject({ portions: 14, soldOutAt: '2026-03-06T20:05:00.000Z' });
    expect((await f.chef().get(sitting('2026-03-06'))).body.sales).toHaveLength(1);
    await put('rcp_none', { portions: 1 }).expect(404);
    await put(f.dishId, { portions: 481 }).expect(400);
    await put(f.dishId, { portions: -1 }).expect(400);
    const wrongDay = await put(f.dishId, { portions: 3, soldOutAt: '2026-03-04T20:00:00Z' });
    expect(wrongDay.body.issues[0].pointer).toBe('/soldOutAt');
  });
});

describe('what is known ahead', () => {
  const event = (more: object) => ({
    serviceId: f.dinnerId,
    serviceDate: '2026-03-20',
    reason: 'regatta',
    ...more,
  });
  const post = (more: object) =>
    f.chef().post(`/v1/sites/${f.siteId}/covers-events`).send(event(more));

  it('is a closing, a private hire, a factor or stated covers, and can be taken back', async () => {
    const made = await post({ kind: 'factor', factor: 1.4 }).expect(201);
    await post({ kind: 'private_hire', covers: 60, serviceDate: '2026-03-21' }).expect(201);
    await post({ kind: 'closed', serviceDate: '2026-03-24' }).expect(201);
    await post({ kind: 'covers', covers: 80, serviceDate: '2026-03-25' }).expect(201);
    const path = `/v1/sites/${f.siteId}/covers-events?from=2026-03-20&to=2026-03-25`;
    expect((await f.chef().get(path)).body.items).toHaveLength(4);
    await f.otherChef().delete(`/v1/covers-events/${made.body.id}`).expect(404);
    await f.chef().delete(`/v1/covers-events/${made.body.id}`).expect(204);
    await f.chef().delete(`/v1/covers-events/${made.body.id}`).expect(404);
    expect((await f.chef().get(path)).body.items).toHaveLength(3);
    const row = await f.test.database.prisma.coversEvent.findUnique({
      where: { id: made.body.id },
    });
    expect(row?.removedAt).toEqual(new Date('2026-03-10T05:30:00Z'));
  });

  it('is refused when kind and figure do not go together or it is said already', async () => {
    for (const [bad, status, pointer] of [
      [{ kind: 'factor' }, 400, '/factor'],
      [{ kind: 'factor', factor: 0 }, 400, '/factor'],
      [{ kind: 'closed', covers: 3 }, 400, '/covers'],
      [{ kind: 'private_hire' }, 400, '/covers'],
      [{ kind: 'covers', covers: 121 }, 400, '/covers'],
      [{ kind: 'storm' }, 400, '/kind'],
      [{ kind: 'closed', serviceDate: '2026-03-24' }, 409, '/kind'],
      [{ kind: 'closed', serviceDate: '2026-03-23' }, 400, '/serviceDate'],
      [{ kind: 'closed', reason: ' ' }, 400, '/reason'],
    ] as const) {
      const refused = await post(bad);
      expect([refused.status, refused.body.issues[0].pointer]).toEqual([status, pointer]);
    }
    const path = `/v1/sites/${f.siteId}/covers-events?from=2026-03-25&to=2026-03-20`;
    await f.chef().get(path).expect(400);
  });
});

describe('stated covers', () => {
  it('are set by the lead by weekday, all in one go', async () => {
    const path = `/v1/services/${f.dinnerId}/stated-covers`;
    const put = (weekdays: object[]) => f.lead().put(path).send({ weekdays });
    await put([
      { weekday: 5, covers: 55 },
      { weekday: 6, covers: 62.5 },
    ]).expect(200);
    const saved = await put([{ weekday: 6, covers: 60 }]).expect(200);
    expect(saved.body).toEqual({ serviceId: f.dinnerId, weekdays: [{ weekday: 6, covers: 60 }] });
    for (const [weekdays, pointer] of [
      [[{ weekday: 7, covers: 5 }], '/weekdays/0/weekday'],
      [
        [
          { weekday: 6, covers: 5 },
          { weekday: 6, covers: 6 },
        ],
        '/weekdays/1/weekday',
      ],
      [[{ weekday: 6, covers: 121 }], '/weekdays/0/covers'],
      [[{ weekday: 6, covers: -1 }], '/weekdays/0/covers'],
    ] as const) {
      const refused = await put([...weekdays]).expect(400);
      expect(refused.body.issues[0].pointer).toBe(pointer);
    }
    expect((await f.chef().get(path)).body.weekdays).toEqual([{ weekday: 6, covers: 60 }]);
    await f.chef().put(path).send({ weekdays: [] }).expect(403);
    await f.otherChef().get(path).expect(404);
  });
});
