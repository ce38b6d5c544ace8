import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { fillTwoKitchens, MAKER, SHELL, SITE } from '../../helpers/two-kitchens.ts';
import { chefOf, LEAD, startTestApp, type TestApp } from '../../helpers/test-app.ts';

// Shells for Molo leave Serafina at 14:00 in Rome (13:00 UTC); both keep cold food at 4 °C (EU).
let test: TestApp;
let transferId: string;
const maker = chefOf(MAKER);
const receiver = chefOf(SITE);
const COLD = { value: 3, unit: 'Cel' };

beforeAll(async () => {
  test = await startTestApp();
  await fillTwoKitchens(test, {
    production: { keeping: { minutes: 24 * 60, after: 'transfer' } },
  });
  await test.services.prep.workOut(LEAD, SITE, 4);
});
afterAll(() => test.close());

beforeEach(async () => {
  const db = test.database.prisma;
  test.clock.set('2026-03-10T13:00:00Z');
  await db.temperatureReading.deleteMany();
  await db.safetyBreach.deleteMany();
  await db.stockLot.deleteMany();
  const rows = await db.transfer.findMany({ orderBy: { leavesAt: 'asc' } });
  transferId = rows[0]?.id ?? '';
  await db.transfer.update({
    where: { id: transferId },
    data: { status: 'planned', quantity: 36, promised: 36, reason: null },
  });
  await db.$executeRaw`UPDATE "transfers" SET "sent" = NULL, "received" = NULL`;
  await db.stockLot.createMany({
    data: [
      { id: 'lot_early', quantity: 20, useBy: new Date('2026-03-11T22:00:00Z') },
      { id: 'lot_late', quantity: 40, useBy: new Date('2026-03-12T12:00:00Z') },
      { id: 'lot_short', quantity: 9, useBy: new Date('2026-03-10T16:00:00Z') },
    ].map((lot) => ({
      ...lot,
      siteId: MAKER,
      itemKind: 'component',
      itemId: SHELL,
      madeAt: new Date('2026-03-10T10:00:00Z'),
      sourceKind: 'found',
    })),
  });
});

const each = (value: number) => ({ value, unit: '{each}' });
const send = (body: object = {}, actor = maker) =>
  test
    .as(actor)
    .post(`/v1/transfers/${transferId}/send`)
    .send({
      lots: [
        { lotId: 'lot_early', amount: each(20) },
        { lotId: 'lot_late', amount: each(16) },
      ],
      temperature: COLD,
      ...body,
    });
const receive = (body: object = {}, actor = receiver) =>
  test
    .as(actor)
    .post(`/v1/transfers/${transferId}/receive`)
    .send({
      lots: [
        { lotId: 'lot_early', amount: each(20) },
        { lotId: 'lot_late', amount: each(16) },
      ],
      temperature: COLD,
      ...body,
    });
const lots = (siteId: string) =>
  test.database.prisma.stockLot.findMany({ where: { siteId }, orderBy: { useBy: 'asc' } });
const left = async (id: string) =>
  (await test.database.prisma.stockLot.findUnique({ where: { id } }))?.quantity;
const actions = async () =>
  (
    await test.database.prisma.auditEvent.findMany({
      where: { subjectId: transferId },
      orderBy: { id: 'asc' },
    })
  ).map(({ action }) => action);

describe('what leaves a site', () => {
  it('is offered from the lots that keep until it is eaten, first-expiring first', async () => {
    const seen = await test.as(maker).get(`/v1/transfers/${transferId}`).expect(200);
    expect(seen.body).toMatchObject({
      from: { name: 'Serafina' },
      to: { name: 'Molo' },
      containers: 3,
      limits: { leaving: '4 °C', arriving: '4 °C' },
    });
    expect(
      seen.body.lotsToSend.map((one: { lotId: string; take: { value: number } }) => [
        one.lotId,
        one.take.value,
      ]),
    ).toEqual([
      ['lot_early', 20],
      ['lot_late', 16],
      ['lot_short', 0],
    ]);
    const there = await test.as(receiver).get(`/v1/transfers/${transferId}`).expect(200);
    expect(there.body.lotsToSend).toEqual([]);
    await test.as(chefOf('site_far')).get(`/v1/transfers/${transferId}`).expect(404);
  });

  it('goes off the record lot by lot, once, with its temperature', async () => {
    const done = await send({ minutesAgo: 5 }).expect(200);
    expect(done.body.heldLotIds).toEqual([]);
    expect(done.body.transfer).toMatchObject({
      status: 'sent',
      sent: { by: 'Cleo Chef', amount: each(36), at: '2026-03-10T12:55:00.000Z' },
    });
    expect([await left('lot_early'), await left('lot_late')]).toEqual([0, 24]);
    const again = await send().expect(409);
    expect(again.body.detail).toMatch(/left already/);
    expect([await left('lot_early'), await left('lot_late')]).toEqual([0, 24]);
    const readings = await test.database.prisma.temperatureReading.findMany();
    expect(readings.map(({ lotId, celsius }) => [lotId, celsius]).sort()).toEqual([
      ['lot_early', 3],
      ['lot_late', 3],
    ]);
    expect((await actions()).at(-1)).toBe('send');
  });

  it('of two tablets counts once', async () => {
    const both = await Promise.all([send(), send()]);
    expect(both.map(({ status }) => status).sort()).toEqual([200, 409]);
    expect(await left('lot_late')).toBe(24);
  });

  it('stays and is held where it is too warm, until a lead decides', async () => {
    const warm = await send({ temperature: { value: 9, unit: 'Cel' } }).expect(200);
    expect(warm.body.transfer.status).toBe('planned');
    expect(warm.body.heldLotIds).toEqual(['lot_early', 'lot_late']);
    expect(await left('lot_early')).toBe(20);
    const held = await lots(MAKER);
    expect(held.filter(({ heldReason }) => heldReason?.includes('4 °C'))).toHaveLength(2);
    expect(await test.database.prisma.safetyBreach.count({ where: { kind: 'cold' } })).toBe(2);
    await send().expect(409); // Held lots do not leave.
  });

  it.each([
    [{ temperature: null }, 400, '/temperature'],
    [{ temperature: { value: 900, unit: 'Cel' } }, 422, '/temperature/value'],
    [{ lots: [{ lotId: 'lot_none', amount: { value: 3, unit: '{each}' } }] }, 400, '/lots/0/lotId'],
    [
      { lots: [{ lotId: 'lot_early', amount: { value: 21, unit: '{each}' } }] },
      409,
      '/lots/0/amount/value',
    ],
    [{ lots: [{ lotId: 'lot_early', amount: { value: 3, unit: 'kg' } }] }, 422, '/lots/0/amount'],
    [
      { lots: [{ lotId: 'lot_early', amount: { value: 0, unit: '{each}' } }] },
      400,
      '/lots/0/amount/value',
    ],
    [
      {
        lots: [
          { lotId: 'lot_early', amount: { value: 3, unit: '{each}' } },
          { lotId: 'lot_early', amount: { value: 3, unit: '{each}' } },
        ],
      },
      400,
      '/lots/1/lotId',
    ],
    [{ minutesAgo: 9999 }, 400, '/minutesAgo'],
  ])('is refused with its field, and nothing moves: %j', async (wrong, status, pointer) => {
    const answer = await send(wrong);
    expect([answer.status, answer.body.issues?.[0]?.pointer]).toEqual([status, pointer]);
    expect([await left('lot_early'), await left('lot_late')]).toEqual([20, 40]);
    expect(await test.database.prisma.temperatureReading.count()).toBe(0);
  });

  it('is written by its own site only', async () => {
    await send({}, receiver).expect(403);
    await receive({}, maker).expect(403);
  });

  it('can be taken back while it is not received, within four hours', async () => {
    await send().expect(200);
    await test.as(maker).post(`/v1/transfers/${transferId}/take-back`).expect(200);
    expect([await left('lot_early'), await left('lot_late')]).toEqual([20, 40]);
    await send().expect(200);
    test.clock.set('2026-03-10T18:00:00Z');
    await test.as(maker).post(`/v1/transfers/${transferId}/take-back`).expect(409);
    test.clock.set('2026-03-10T14:30:00Z');
    await receive().expect(200);
    await test.as(maker).post(`/v1/transfers/${transferId}/take-back`).expect(409);
  });

  it('can be called off with a reason, which the other site sees', async () => {
    await test
      .as(maker)
      .post(`/v1/transfers/${transferId}/call-off`)
      .send({ reason: 'the oven is down' })
      .expect(200);
    const day = '2026-03-10';
    const list = await test
      .as(receiver)
      .get(`/v1/sites/${SITE}/transfers?from=${day}&to=${day}`)
      .expect(200);
    expect(list.body.items[0]).toMatchObject({ status: 'not_sent', reason: 'the oven is down' });
    await send().expect(409);
  });
});

describe('what comes to a site', () => {
  beforeEach(async () => {
    await send().expect(200);
    test.clock.set('2026-03-10T14:30:00Z');
  });

  it('becomes a lot for each that left, with the earlier of its use-by and what it keeps once carried', async () => {
    const done = await receive().expect(200);
    expect(done.body.transfer).toMatchObject({
      status: 'received',
      received: { amount: each(36), difference: each(0), note: null },
    });
    const here = await lots(SITE);
    expect(
      here.map(({ quantity, useBy, madeAt, sourceKind, sourceId }) => ({
        quantity,
        useBy: useBy.toISOString(),
        madeAt: madeAt.toISOString(),
        sourceKind,
        sourceId,
      })),
    ).toEqual(
      [
        ['lot_early', 20],
        ['lot_late', 16],
      ].map(([sourceId, quantity]) => ({
        quantity,
        // A day after it came: sooner than either lot's own.
        useBy: '2026-03-11T14:30:00.000Z',
        madeAt: '2026-03-10T10:00:00.000Z',
        sourceKind: 'transfer',
        sourceId,
      })),
    );
    expect(JSON.stringify(here[0]?.useByReasons)).toContain('Once carried it keeps for 1 day');
    await receive().expect(409);
    expect((await lots(SITE)).length).toBe(2);
  });

  it('says what is missing, with somebody’s word for it', async () => {
    const less = [
      { lotId: 'lot_early', amount: each(20) },
      { lotId: 'lot_late', amount: each(0) },
    ];
    const mute = await receive({ lots: less }).expect(400);
    expect(mute.body.issues[0].pointer).toBe('/note');
    const said = await receive({ lots: less, note: 'one box fell' }).expect(200);
    expect(said.body.transfer.received).toMatchObject({
      amount: each(20),
      difference: each(-16),
      note: 'one box fell',
    });
    expect((await lots(SITE)).map(({ quantity }) => quantity)).toEqual([20]);
    const left_ = said.body.transfer.received.lots;
    expect(left_[1]).toMatchObject({ fromLotId: 'lot_late', lotId: null });
  });

  it('is held where it came too warm, by the rules of the receiving site', async () => {
    await test.database.prisma.site.update({ where: { id: SITE }, data: { ruleSet: 'uk' } });
    const fine = await receive({ temperature: { value: 7, unit: 'Cel' } }).expect(200);
    expect(fine.body.heldLotIds).toEqual([]);
    await test.database.prisma.site.update({ where: { id: SITE }, data: { ruleSet: 'eu' } });
    await test.database.prisma.stockLot.deleteMany({ where: { siteId: SITE } });
    await test.database.prisma.transfer.update({
      where: { id: transferId },
      data: { status: 'sent' },
    });
    const warm = await receive({ temperature: { value: 45, unit: '[degF]' } }).expect(200);
    expect(warm.body.heldLotIds).toHaveLength(2);
    expect((await lots(SITE)).every(({ heldReason }) => heldReason !== null)).toBe(true);
    const overview = await test.as(receiver).get(`/v1/sites/${SITE}/safety`).expect(200);
    expect(JSON.stringify(overview.body)).toContain(warm.body.heldLotIds[0]);
  });

  it('of a lot called back on the way is held as well', async () => {
    await test
      .as(LEAD)
      .post('/v1/stock-lots/lot_early/recall')
      .send({ reason: 'glass in the flour' })
      .expect(200);
    const done = await receive().expect(200);
    expect(done.body.heldLotIds).toHaveLength(1);
    const held = (await lots(SITE)).filter(({ heldReason }) => heldReason !== null);
    expect(held.map(({ sourceId, heldReason }) => [sourceId, heldReason])).toEqual([
      ['lot_early', 'glass in the flour'],
    ]);
  });

  it('is traced both ways, and called back with what it came from', async () => {
    await receive().expect(200);
    const forward = await test.as(LEAD).get('/v1/stock-lots/lot_early/trace').expect(200);
    expect(forward.body.start.sent).toEqual(each(20));
    expect(forward.body.forward).toHaveLength(1);
    const there = forward.body.forward[0].lot;
    expect(there.site.name).toBe('Molo');
    const back = await test.as(LEAD).get(`/v1/stock-lots/${there.lotId}/trace`).expect(200);
    expect(back.body.back.map((one: { lot: { lotId: string } }) => one.lot.lotId)).toEqual([
      'lot_early',
    ]);
    await test
      .as(LEAD)
      .post('/v1/stock-lots/lot_early/recall')
      .send({ reason: 'glass in the flour' })
      .expect(200);
    const here = await test.database.prisma.stockLot.findUnique({ where: { id: there.lotId } });
    expect(here?.heldReason).toBe('glass in the flour');
  });

  it('cannot come before somebody wrote that it left', async () => {
    await test.as(maker).post(`/v1/transfers/${transferId}/take-back`).expect(200);
    const early = await receive().expect(409);
    expect(early.body.detail).toMatch(/Nobody wrote that it left/);
  });

  it('is counted on by the plan while it is on its way, and once when it is here', async () => {
    test.clock.set('2026-03-10T13:30:00Z');
    const shortOf = async () => {
      const plan = await test.services.prep.workOut(LEAD, SITE, 4);
      return plan.summary.shortages
        .filter(({ itemId, serviceDate }) => itemId === SHELL && serviceDate === '2026-03-10')
        .reduce((sum, { quantity }) => sum + quantity, 0);
    };
    const onTheWay = await shortOf();
    test.clock.set('2026-03-10T14:30:00Z');
    await receive().expect(200);
    expect(await shortOf()).toBe(onTheWay);
    // Away again, it is missing.
    await test.database.prisma.stockLot.deleteMany({ where: { siteId: SITE } });
    expect(await shortOf()).toBeGreaterThan(onTheWay);
  });
});

describe('a figure of what is asked for', () => {
  it('is explained to both ends, from the covers on', async () => {
    for (const actor of [maker, receiver]) {
      const told = await test.as(actor).get(`/v1/transfers/${transferId}/explanation`).expect(200);
      expect(told.body.lines.join('\n')).toMatch(/Covers expected.*Dinner/);
      expect(told.body.lines.at(-1)).toMatch(/Tart shell from Serafina, leaves 2026-03-10/);
    }
  });
});
