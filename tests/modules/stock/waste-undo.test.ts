import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { startStockFixture, type StockFixture } from './stock-fixture.ts';

let f: StockFixture;
beforeEach(async () => {
  f = await startStockFixture();
});
afterEach(() => f.close());

const at = () => `/v1/sites/${f.siteId}`;
const waste = async (body: object): Promise<readonly string[]> => {
  const done = await f
    .chef()
    .post(`${at()}/waste`)
    .send({ reason: 'spilled', amount: { value: 100, unit: 'g' }, ...body })
    .expect(201);
  return done.body.lots.map((lot: { lineId: string }) => lot.lineId);
};
const cream = () => ({ itemKind: 'component', itemId: f.creamId });
const undo = (lineIds: readonly string[], as = f.chef()) =>
  as.post(`${at()}/waste/undo`).send({ lineIds });

describe('what was thrown away by mistake', () => {
  it('goes back into the lots it came from, is on record, and is not waste any more', async () => {
    const lots = [
      await f.lot(80, '2026-03-11T12:00:00Z'),
      await f.lot(500, '2026-03-14T12:00:00Z'),
    ];
    const lines = await waste(cream());
    expect(await f.left(f.creamId)).toEqual([0, 480]);
    const back = await undo(lines).expect(200);
    expect(back.body.items.map((l: { amount: { value: number } }) => l.amount.value)).toEqual([
      80, 20,
    ]);
    expect(await f.left(f.creamId)).toEqual([80, 500]);
    for (const [i, id] of lots.entries()) expect(await f.moved(id)).toBe([80, 500][i]);
    const list = await f.chef().get(`${at()}/waste`).expect(200);
    for (const line of list.body.items) {
      expect(line).toMatchObject({ takenBackAt: '2026-03-10T05:30:00.000Z', undoUntil: null });
    }
    const trail = await f.test.database.prisma.auditEvent.findMany({
      where: { action: 'waste-undo' },
      orderBy: { id: 'asc' },
    });
    expect(trail.map(({ detail }) => detail)).toEqual([
      { lineId: lines[0], quantity: 80, reason: 'spilled' },
      { lineId: lines[1], quantity: 20, reason: 'spilled' },
    ]);
    const after = await f.lead().get(`${at()}/afterwards?from=2026-03-10&to=2026-03-10`);
    expect(after.status).toBe(200);
    expect(JSON.stringify(after.body)).not.toContain('"spilled"');
  });

  it('goes back once, whoever asks at the same moment', async () => {
    const lot = await f.lot(300, '2026-03-14T12:00:00Z');
    const lines = await waste({ lotId: lot });
    const answers = await Promise.all([undo(lines), undo(lines), undo(lines)]);
    expect(answers.map(({ status }) => status).sort()).toEqual([200, 409, 409]);
    expect(await f.left(f.creamId)).toEqual([300]);
    expect(await f.moved(lot)).toBe(300);
  });

  it('goes back whole or not at all', async () => {
    const lot = await f.lot(300, '2026-03-14T12:00:00Z');
    const [first = ''] = await waste({ lotId: lot });
    const [second = ''] = await waste({ lotId: lot });
    await undo([first]).expect(200);
    await undo([second, first]).expect(409);
    await undo([second, 'mov_none']).expect(404);
    expect(await f.left(f.creamId)).toEqual([200]);
    await undo([second]).expect(200);
    expect(await f.left(f.creamId)).toEqual([300]);
  });

  it('stays away after four hours, and after a count of what is there', async () => {
    const lot = await f.lot(300, '2026-03-14T12:00:00Z');
    const lines = await waste({ lotId: lot });
    f.test.clock.set('2026-03-10T05:40:00Z');
    await f
      .chef()
      .post(`${at()}/stock-counts`)
      .send({ counts: [{ ...cream(), amount: { value: 150, unit: 'g' } }] })
      .expect(201);
    const counted = await undo(lines).expect(409);
    expect(counted.body.detail).toContain('counted since');
    f.test.clock.set('2026-03-10T05:50:00Z');
    const later = await waste({ lotId: lot });
    const [line] = (await f.chef().get(`${at()}/waste`).expect(200)).body.items;
    expect(line).toMatchObject({ id: later[0], undoUntil: '2026-03-10T09:50:00.000Z' });
    f.test.clock.set('2026-03-10T09:50:01Z');
    const late = await undo(later).expect(409);
    expect(late.body.detail).toContain('four hours');
    expect(await f.left(f.creamId)).toEqual([50]);
  });

  it('goes back only for the cooks of its site', async () => {
    const lot = await f.lot(300, '2026-03-14T12:00:00Z');
    const lines = await waste({ lotId: lot });
    await undo(lines, f.otherChef()).expect(403);
    await undo(lines, f.purchasing()).expect(403);
    await f
      .otherChef()
      .post(`/v1/sites/${f.otherSiteId}/waste/undo`)
      .send({ lineIds: lines })
      .expect(404);
    await undo([]).expect(400);
    expect(await f.left(f.creamId)).toEqual([200]);
    await undo(lines, f.lead()).expect(200);
    expect(await f.left(f.creamId)).toEqual([300]);
  });
});
