import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import { fillKitchen, SITE } from '../../helpers/demo-site.ts';
import { chefOf, startTestApp, SYSTEM, type TestApp } from '../../helpers/test-app.ts';

let test: TestApp;
const opened: TestApp[] = [];
const chef = chefOf(SITE);
const NOW = '2026-03-10T05:30:00Z';

beforeEach(async () => {
  test = await startTestApp(NOW);
  opened.push(test);
  await fillKitchen(test);
  await test.services.prep.workOut(SYSTEM, SITE, 3);
});
afterAll(async () => {
  for (const one of opened) await one.close();
});

const prisma = () => test.database.prisma;
const curd = () =>
  prisma().prepTask.findFirstOrThrow({
    where: { recipeId: 'rcp_curd' },
    orderBy: { startBy: 'asc' },
  });
const post = async (act: string, body: object, key?: string) => {
  const request = test.as(chef).post(`/v1/prep-tasks/${(await curd()).id}/${act}`);
  return key === undefined ? request.send(body) : request.set('idempotency-key', key).send(body);
};
const MADE = { made: { value: 1200, unit: 'g' } };

describe('a tick that says how long ago it happened', () => {
  it('dates the lot and its use-by from then, not from when it arrived', async () => {
    const done = await post('finish', { ...MADE, minutesAgo: 95 });
    expect(done.status).toBe(200);
    expect(done.body.finishedAt).toBe('2026-03-10T03:55:00.000Z');
    const lot = await prisma().stockLot.findFirstOrThrow();
    expect(lot.madeAt.toISOString()).toBe('2026-03-10T03:55:00.000Z');
    expect(lot.useBy.getTime() - lot.madeAt.getTime()).toBe(4320 * 60_000);
    expect((await curd()).tickedAt?.toISOString()).toBe('2026-03-10T05:30:00.000Z');
  });

  it.each([
    ['more than two days', 2881],
    ['ahead of now', -1],
    ['no number', 'yesterday'],
  ])('is refused when that is %s, and nothing changes', async (_, minutesAgo) => {
    const refused = await post('finish', { ...MADE, minutesAgo });
    expect(refused.status).toBe(400);
    expect(refused.body.issues[0].pointer).toBe('/minutesAgo');
    expect((await curd()).status).toBe('to_do');
    expect(await prisma().stockLot.count()).toBe(0);
  });

  it('is refused when it would be finished before it was started', async () => {
    await post('start', { minutesAgo: 30 });
    const refused = await post('finish', { ...MADE, minutesAgo: 60 });
    expect(refused.status).toBe(400);
    expect(refused.body.issues[0]).toMatchObject({ pointer: '/minutesAgo' });
    // Two tablets that round differently by some minutes do not contradict each other.
    const done = await post('finish', { ...MADE, minutesAgo: 33 });
    expect(done.body.finishedAt).toBe('2026-03-10T05:00:00.000Z');
  });

  it('sent again later under its key says a longer time and is still the same tick', async () => {
    const first = await post('finish', { ...MADE, minutesAgo: 10 }, 'one-tick-only');
    test.clock.advanceMinutes(5);
    const again = await post('finish', { ...MADE, minutesAgo: 15 }, 'one-tick-only');
    expect(again.status).toBe(200);
    expect(again.body).toEqual(first.body);
    const other = await post(
      'finish',
      { made: { value: 900, unit: 'g' }, minutesAgo: 15 },
      'one-tick-only',
    );
    expect(other.status).toBe(409);
    expect(await prisma().stockLot.count()).toBe(1);
  });

  it('can be taken back within four hours of reaching the record, however old it is', async () => {
    await post('finish', { ...MADE, minutesAgo: 600 });
    test.clock.advanceMinutes(239);
    expect((await post('undo', {})).status).toBe(200);
    await post('finish', MADE);
    test.clock.advanceMinutes(241);
    expect((await post('undo', {})).status).toBe(409);
  });
});

describe('a use-by', () => {
  it('is no later than that of what went in uncooked, and says which lot decides', async () => {
    await prisma().recipeStep.updateMany({
      where: { versionId: 'ver_curd' },
      data: { kind: 'mix' },
    });
    await prisma().stockLot.create({
      data: {
        id: 'lot_butter',
        siteId: SITE,
        itemKind: 'ingredient',
        itemId: 'ing_butter',
        quantity: 5000,
        madeAt: new Date('2026-03-09T00:00:00Z'),
        useBy: new Date('2026-03-11T22:00:00Z'),
        sourceKind: 'received',
      },
    });
    await post('finish', MADE);
    const lot = await prisma().stockLot.findFirstOrThrow({ where: { itemId: 'rcp_curd' } });
    expect(lot.useBy.toISOString()).toBe('2026-03-11T22:00:00.000Z');
    const [first, second] = lot.useByReasons as { kind: string; lotId: string | null }[];
    expect([first?.kind, first?.lotId, second?.kind]).toEqual([
      'input',
      'lot_butter',
      'shelf-life',
    ]);
  });

  it('of a US site ends with the seventh day, and no plan counts on more', async () => {
    await prisma().site.update({
      where: { id: SITE },
      data: { ruleSet: 'us', zone: 'America/New_York' },
    });
    await prisma().recipeVersion.update({
      where: { id: 'ver_curd' },
      data: { shelfLifeMin: 30 * 1440 },
    });
    await test.services.prep.workOut(SYSTEM, SITE, 14);
    const task = await curd();
    const planned = (task.useBy.getTime() - task.readyBy.getTime()) / 60_000;
    expect(planned).toBeLessThanOrEqual(6 * 1440);
    await post('finish', MADE);
    const lot = await prisma().stockLot.findFirstOrThrow({ where: { itemId: 'rcp_curd' } });
    // Made on 10 March local time: to the end of 16 March, which is 04:00 UTC of the 17th.
    expect(lot.useBy.toISOString()).toBe('2026-03-17T04:00:00.000Z');
  });
});
