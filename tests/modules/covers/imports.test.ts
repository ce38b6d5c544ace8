import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createCoversRepository } from '../../../api/persistence/covers.repository.ts';
import { startCoversFixture, type CoversFixture } from './covers-fixture.ts';

let f: CoversFixture;
beforeAll(async () => {
  f = await startCoversFixture();
});
afterAll(() => f.close());

const send = (kind: string, csv: string | Buffer, query = '') =>
  f
    .chef()
    .post(`/v1/sites/${f.siteId}/covers-imports/${kind}${query}`)
    .set('content-type', 'text/csv')
    .send(csv);

async function fingerprint() {
  const { prisma } = f.test.database;
  return JSON.stringify([
    await prisma.coversSnapshot.findMany(),
    await prisma.serviceOutcome.findMany(),
    await prisma.dishSale.findMany(),
  ]);
}

describe('an import of comma-separated values', () => {
  it('lands as a whole, with quoted cells, any column order and services by name', async () => {
    const csv =
      '\uFEFFbooked,Taken At,service,service date\r\n' +
      '12,2026-03-08T09:00:00Z,"Dinner",2026-03-12\r\n' +
      '\r\n' +
      '15,2026-03-09T10:00:00+01:00,dinner,2026-03-12\r\n';
    const dry = await send('snapshots', csv, '?dryRun=true').expect(200);
    expect(dry.body).toMatchObject({ dryRun: true, rows: 2, added: 2, problems: [] });
    expect(await f.test.database.prisma.coversSnapshot.count()).toBe(0);
    const done = await send('snapshots', csv).expect(200);
    expect(done.body).toMatchObject({ dryRun: false, added: 2, replaced: 0, unchanged: 0 });
    const again = await send('snapshots', csv).expect(200);
    expect(again.body).toMatchObject({ added: 0, unchanged: 2 });
  });

  it('reports every bad row with its line and column, and changes nothing', async () => {
    const before = await fingerprint();
    const csv = [
      'service,service_date,taken_at,booked',
      'Dinner,2026-03-12,2026-03-09T12:00:00Z,17', // fine
      'Supper,2026-03-12,2026-03-09T12:00:00Z,17',
      'Dinner,12.03.2026,2026-03-09T12:00:00Z,17',
      'Dinner,2026-03-12,2026-03-09 12:00,17',
      'Dinner,2026-03-12,2026-02-30T12:00:00Z,17',
      'Dinner,2026-03-12,2026-03-09T13:00:00Z,"1,7"',
      'Dinner,2026-03-12,2026-03-09T14:00:00Z,400',
      'Dinner,2026-03-12,2026-03-12T14:00:00Z,17',
      'Dinner,2026-03-12,2026-03-09T12:00:00Z,17',
      'Dinner,2026-03-12,2026-03-08T09:00:00Z,13',
      'Dinner,2026-03-12,17',
      'Dinner,2026-03-16,2026-03-09T12:00:00Z,-3',
    ].join('\n');
    const dry = await send('snapshots', csv, '?dryRun=true').expect(200);
    expect(
      dry.body.problems.map((p: { row: number; column: string }) => [p.row, p.column]),
    ).toEqual([
      [3, 'service'],
      [4, 'service_date'],
      [5, 'taken_at'],
      [6, 'taken_at'],
      [7, 'booked'],
      [8, 'booked'],
      [9, 'taken_at'],
      [10, null],
      [11, 'booked'],
      [12, null],
      [13, 'booked'],
    ]);
    const real = await send('snapshots', csv).expect(400);
    expect(real.body.detail).toBe('11 rows are not right; nothing was imported.');
    expect(real.body.issues).toHaveLength(11);
    expect(real.body.issues[0].pointer).toBe('/rows/3/service');
    expect(await fingerprint()).toBe(before);
  });

  it('refuses files that are not what they say', async () => {
    const before = await fingerprint();
    for (const [csv, message] of [
      ['service,service_date,taken_at\nDinner,2026-03-12,x', 'The column booked is missing.'],
      [
        'service;service_date;taken_at;booked\na;b;c;d',
        'Separate the columns by commas, not semicolons.',
      ],
      ['service,service_date,taken_at,booked', 'The file has a header and no rows.'],
      ['service,service_date,taken_at,booked,booked\n', 'The column booked is there twice.'],
      [
        'service,service_date,taken_at,booked,colour\na,b,c,d,e',
        'There is no column colour; we know service, service_date, taken_at, booked, cancelled.',
      ],
    ] as const) {
      const refused = await send('snapshots', csv).expect(400);
      expect(refused.body.issues[0].message).toBe(message);
    }
    const quote = await send('snapshots', 'service,service_date,taken_at,booked\n"Dinner,1,2,3');
    expect(quote.status).toBe(400);
    expect(quote.body.issues[0].message).toMatch(/RFC 4180/);
    await send('snapshots', Buffer.from([0x73, 0xff, 0xfe, 0x2c])).expect(400);
    await send('snapshots', '').expect(400);
    await send('weather', 'a,b\n1,2').expect(400);
    await f
      .chef()
      .post(`/v1/sites/${f.siteId}/covers-imports/snapshots`)
      .send({ service: 'Dinner' })
      .expect(400);
    await f.otherChef().post(`/v1/sites/${f.siteId}/covers-imports/snapshots`).expect(403);
    expect(await fingerprint()).toBe(before);
  });

  it('refuses a file that is too large', async () => {
    const big = `service,service_date,taken_at,booked\n${'x'.repeat(9 * 1_048_576)}`;
    const answer = await send('snapshots', big).catch((error: { code?: string }) => error);
    expect('status' in answer ? answer.status : answer.code).toSatisfy(
      (it: unknown) => it === 413 || it === 'EPIPE' || it === 'ECONNRESET',
    );
    const rows = 'Dinner,2026-03-12,2026-03-09T12:00:00Z,1\n'.repeat(50_001);
    const long = await send('snapshots', `service,service_date,taken_at,booked\n${rows}`);
    expect(long.body.issues[0].message).toMatch(/more than 50000 rows/);
  });

  it('replaces outcomes that changed and leaves those that say the same', async () => {
    const csv = (covers: number) =>
      'service,service_date,covers,closed,note\n' +
      `${f.dinnerId},2026-03-05,${covers},no,\n` +
      'Dinner,2026-03-06,0,yes,"pipes, frozen"\n';
    expect((await send('outcomes', csv(41)).expect(200)).body).toMatchObject({ added: 2 });
    expect((await send('outcomes', csv(43)).expect(200)).body).toMatchObject({
      added: 0,
      replaced: 1,
      unchanged: 1,
    });
    const read = await f.chef().get(`/v1/services/${f.dinnerId}/covers/2026-03-06`);
    expect(read.body.outcome).toMatchObject({ closed: true, note: 'pipes, frozen' });
  });

  it('takes sales by dish name, with the moment of running out', async () => {
    const csv =
      'service,service_date,dish,portions,sold_out_at\n' +
      'Dinner,2026-03-05,walnut tart,12,\n' +
      `Dinner,2026-03-06,${f.dishId},15,2026-03-06T21:00:00+01:00\n`;
    expect((await send('sales', csv).expect(200)).body).toMatchObject({ added: 2 });
    const bad = await send(
      'sales',
      'service,service_date,dish,portions\nDinner,2026-03-05,Cloud cake,2\n',
      '?dryRun=true',
    );
    expect(bad.body.problems).toEqual([
      { row: 2, column: 'dish', message: 'There is no dish called Cloud cake.' },
    ]);
  });

  it('answers a repeat under the same key without importing again', async () => {
    const csv = 'service,service_date,taken_at,booked\nDinner,2026-03-14,2026-03-09T09:00:00Z,9\n';
    const once = () => send('snapshots', csv).set('idempotency-key', 'import-of-the-morning');
    expect((await once().expect(200)).body.added).toBe(1);
    expect((await once().expect(200)).body.added).toBe(1);
    expect((await send('snapshots', csv).expect(200)).body.unchanged).toBe(1);
  });
});

describe('the covers of a site for the planner', () => {
  it('hold everything between two dates and nothing of other sites', async () => {
    const { prisma } = f.test.database;
    const repository = createCoversRepository(prisma);
    await repository.insertSnapshots([
      {
        id: 'snap_other',
        siteId: f.otherSiteId,
        serviceId: f.otherServiceId,
        serviceDate: '2026-03-12',
        takenAt: new Date('2026-03-08T09:00:00Z'),
        booked: 99,
        cancelled: null,
      },
    ]);
    const covers = await repository.forSite(f.siteId, '2026-03-05', '2026-03-12');
    expect(covers.snapshots.map((s) => s.booked)).toEqual([12, 15]);
    expect(covers.outcomes.map((o) => o.covers)).toEqual([43, 0]);
    expect(covers.sales.map((s) => [s.portions, s.soldOutAt?.toISOString()])).toEqual([
      [12, undefined],
      [15, '2026-03-06T20:00:00.000Z'],
    ]);
  });

  it('are loaded in bulk past the size of one statement', async () => {
    const repository = createCoversRepository(f.test.database.prisma);
    const rows = Array.from({ length: 9_001 }, (_, i) => ({
      id: `snap_bulk${i}`,
      siteId: f.siteId,
      serviceId: f.dinnerId,
      serviceDate: '2025-03-12',
      takenAt: new Date(Date.UTC(2025, 0, 1) + i * 60_000),
      booked: i % 100,
      cancelled: i % 3 === 0 ? null : i % 7,
    }));
    await repository.insertSnapshots(rows);
    const read = await repository.snapshotsOf([f.dinnerId], '2025-03-12', '2025-03-12');
    expect(read).toEqual(rows);
  });
});
