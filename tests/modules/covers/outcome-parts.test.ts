import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { startCoversFixture, type CoversFixture } from './covers-fixture.ts';

// A dinner of 40 seats; the clock stands on Tuesday 10 March 2026, 06:30 in Rome.
let f: CoversFixture;
beforeAll(async () => {
  f = await startCoversFixture();
});
afterAll(() => f.close());

const sitting = (date: string) => `/v1/services/${f.dinnerId}/covers/${date}`;
const putOutcome = (date: string, body: object) =>
  f
    .chef()
    .put(`${sitting(date)}/outcome`)
    .send(body);
const putSnapshot = (date: string, takenAt: string, body: object) =>
  f
    .chef()
    .put(`${sitting(date)}/snapshots/${takenAt}`)
    .send(body);
const outcomes = () =>
  f.test.database.prisma.serviceOutcome.findMany({ orderBy: { serviceDate: 'asc' } });

describe('what came of a service', () => {
  it('takes walk-ins, no-shows and cancellations apart, and leaves unknown what nobody counted', async () => {
    const told = { covers: 54, walkIns: 9, noShows: 3, cancelled: 7 };
    const kept = await putOutcome('2026-03-06', told).expect(200);
    expect(kept.body).toMatchObject({ ...told, closed: false, warnings: [] });
    const read = await f.chef().get(sitting('2026-03-06')).expect(200);
    expect(read.body.outcome).toMatchObject(told);
    const less = await putOutcome('2026-03-06', { covers: 54, walkIns: 0 }).expect(200);
    expect(less.body).toMatchObject({ walkIns: 0, noShows: null, cancelled: null });
    const entry = await f.test.database.prisma.auditEvent.findFirstOrThrow({
      where: { action: 'record-outcome' },
      orderBy: { id: 'asc' },
    });
    expect(entry.detail).toMatchObject(told);
  });

  it.each([
    [{ covers: 20, walkIns: 21 }, '/walkIns', /no more than 20/],
    [{ covers: 20, walkIns: -1 }, '/walkIns', /./],
    [{ covers: 20, walkIns: 1.5 }, '/walkIns', /./],
    [{ covers: 20, noShows: 121 }, '/noShows', /40 seats/],
    [{ covers: 20, noShows: '3' }, '/noShows', /./],
    [{ covers: 20, cancelled: 401 }, '/cancelled', /10 times the 40 seats/],
    [{ covers: 0, closed: true, noShows: 4 }, '/noShows', /closed/],
    [{ covers: 0, closed: true, walkIns: 4 }, '/walkIns', /./],
    [{ covers: 20, walkins: 4 }, '', /./],
  ])(
    'is refused as %j with field and reason, and nothing changes',
    async (body, pointer, reason) => {
      const before = await outcomes();
      const refused = await putOutcome('2026-03-05', body).expect(400);
      expect(refused.headers['content-type']).toMatch(/^application\/problem\+json/);
      expect(refused.body.issues[0].pointer).toBe(pointer);
      expect(refused.body.issues[0].message).toMatch(reason);
      expect(await outcomes()).toEqual(before);
    },
  );

  it('is kept and said to be odd when its parts do not go with the bookings', async () => {
    await putSnapshot('2026-03-07', '2026-03-07T08:00:00Z', { booked: 30, cancelled: 6 });
    const pointers = async (body: object) =>
      (await putOutcome('2026-03-07', body).expect(200)).body.warnings.map(
        (w: { pointer: string }) => w.pointer,
      );
    // 30 booked: 28 came by booking and 2 did not, beside 8 who walked in.
    expect(await pointers({ covers: 36, walkIns: 8, noShows: 2, cancelled: 6 })).toEqual([]);
    expect(await pointers({ covers: 36, walkIns: 2, noShows: 2 })).toEqual(['/walkIns']);
    expect(await pointers({ covers: 36, walkIns: 12, noShows: 2 })).toEqual(['/noShows']);
    // Two more called off in the course of the day.
    expect(await pointers({ covers: 34, walkIns: 8, noShows: 2, cancelled: 8 })).toEqual([]);
    expect(await pointers({ covers: 36, walkIns: 8, cancelled: 5 })).toEqual(['/cancelled']);
    expect(await pointers({ covers: 0, closed: true, cancelled: 36 })).toEqual([]);
  });
});

describe('a booking system', () => {
  const at = '2026-03-10T05:00:00Z';
  it('says with each snapshot how many have cancelled by then, and may send it again', async () => {
    const put = (body: object) => putSnapshot('2026-03-14', at, body);
    const first = await put({ booked: 31, cancelled: 4 }).expect(201);
    expect(first.body).toMatchObject({ booked: 31, cancelled: 4 });
    expect((await put({ booked: 31, cancelled: 4 }).expect(200)).body.id).toBe(first.body.id);
    // One that does not count says nothing against it.
    expect((await put({ booked: 31 }).expect(200)).body.cancelled).toBe(4);
    const other = await put({ booked: 31, cancelled: 5 }).expect(409);
    expect(other.body.issues).toEqual([{ pointer: '/cancelled', message: 'It says 4.' }]);
    expect(other.body.context).toEqual({ booked: 31, cancelled: 4 });
    const read = await f.chef().get(sitting('2026-03-14')).expect(200);
    expect(read.body.snapshots.map((s: { cancelled: number }) => s.cancelled)).toEqual([4]);
  });

  it('is told which figure cannot be', async () => {
    for (const cancelled of [-1, 401, 2.5, 'two']) {
      const refused = await putSnapshot('2026-03-14', '2026-03-09T05:00:00Z', {
        booked: 3,
        cancelled,
      }).expect(400);
      expect(refused.body.issues[0].pointer).toBe('/cancelled');
    }
  });
});

describe('an import', () => {
  const send = (kind: string, csv: string, query = '') =>
    f
      .chef()
      .post(`/v1/sites/${f.siteId}/covers-imports/${kind}${query}`)
      .set('content-type', 'text/csv')
      .send(csv);

  it('of outcomes reads their parts, an empty cell as not counted, and refuses what cannot be', async () => {
    const head = 'service,service_date,covers,walk_ins,no_shows,cancelled';
    const bad = [
      head,
      'Dinner,2026-02-25,30,31,,',
      'Dinner,2026-02-26,30,5,many,2',
      'Dinner,2026-02-27,30,5,2,401',
    ].join('\n');
    const before = await outcomes();
    const dry = await send('outcomes', bad, '?dryRun=true').expect(200);
    expect(
      dry.body.problems.map((p: { row: number; column: string }) => [p.row, p.column]),
    ).toEqual([
      [2, 'walk_ins'],
      [3, 'no_shows'],
      [4, 'cancelled'],
    ]);
    await send('outcomes', bad).expect(400);
    expect(await outcomes()).toEqual(before);
    const good = `${head}\nDinner,2026-02-25,30,5,,2\nDinner,2026-02-26,28,0,1,\n`;
    expect((await send('outcomes', good).expect(200)).body.added).toBe(2);
    expect((await outcomes()).slice(0, 2)).toMatchObject([
      { covers: 30, walkIns: 5, noShows: null, cancelled: 2 },
      { covers: 28, walkIns: 0, noShows: 1, cancelled: null },
    ]);
    expect((await send('outcomes', good).expect(200)).body.unchanged).toBe(2);
  });

  it('of outcomes without those columns leaves what was counted with the same covers', async () => {
    const again = 'service,service_date,covers\nDinner,2026-02-25,30\nDinner,2026-02-26,27\n';
    expect((await send('outcomes', again).expect(200)).body).toMatchObject({
      unchanged: 1,
      replaced: 1,
    });
    expect((await outcomes()).slice(0, 2)).toMatchObject([
      { covers: 30, walkIns: 5, cancelled: 2 },
      { covers: 27, walkIns: null, noShows: null },
    ]);
  });

  it('of snapshots reads what had cancelled, and never overwrites it', async () => {
    const csv = (cancelled: string) =>
      `service,service_date,taken_at,booked,cancelled\nDinner,2026-03-13,2026-03-09T18:00:00Z,22,${cancelled}\n`;
    expect((await send('snapshots', csv('3')).expect(200)).body.added).toBe(1);
    expect((await send('snapshots', csv('')).expect(200)).body.unchanged).toBe(1);
    const clash = await send('snapshots', csv('2'), '?dryRun=true').expect(200);
    expect(clash.body.problems).toMatchObject([{ row: 2, column: 'cancelled' }]);
    await send('snapshots', csv('2')).expect(400);
  });
});
