import supertest from 'supertest';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readConfig } from '../../api/config.ts';
import { startServer, type RunningServer } from '../../api/start-server.ts';
import { SITE } from '../helpers/demo-site.ts';
import { chefOf, LEAD, startTestApp, type TestApp } from '../helpers/test-app.ts';
import { fillWorkingKitchen } from '../helpers/working-kitchen.ts';

// A clock that was wrong and is put right jumps by hours. What was written in between keeps its times:
// nothing is done twice for it, nothing is dated by guessing, and who may come in errs on the safe side.

let test: TestApp;
let server: RunningServer;
const chef = chefOf(SITE);
const person = { email: 'cleo@lakes.example', password: 'three ovens at dawn' };
const HOURS = 60;

beforeAll(async () => {
  test = await startTestApp();
  await fillWorkingKitchen(test);
  server = await startServer(readConfig({ PORT: '0', LOG_LEVEL: 'silent' }), {
    database: { ...test.database, close: async () => undefined },
    clock: test.clock,
    pageDir: null,
    requestsPerMinute: 0,
  });
});
afterAll(async () => {
  await server.close();
  await test.close();
});

/** Runs something with the clock `minutes` ahead, and puts it right afterwards. */
async function ahead<T>(minutes: number, run: () => Promise<T>): Promise<T> {
  const right = test.clock.now();
  test.clock.advanceMinutes(minutes);
  try {
    return await run();
  } finally {
    test.clock.set(right.toISOString());
  }
}

async function signIn(): Promise<string> {
  const answer = await supertest(server.url).post('/v1/session').send(person).expect(201);
  return String(answer.headers['set-cookie']).split(';')[0] ?? '';
}
const list = (cookie: string) =>
  supertest(server.url).get(`/v1/sites/${SITE}/prep-list`).set('cookie', cookie);

describe('a clock that jumps by hours', () => {
  it('forward ends sessions as if the time had passed, and back leaves those that live', async () => {
    const cookie = await signIn();
    await ahead(5 * HOURS, () => list(cookie).expect(401));
    await list(cookie).expect(200);
    // Begun while the clock was ahead: not seen "in the future" as a fault, and it can be ended.
    const early = await ahead(3 * HOURS, signIn);
    await list(early).expect(200);
  });

  it('back does no keyed request twice', async () => {
    const post = () =>
      test
        .as(chef)
        .post(`/v1/sites/${SITE}/stock-counts`)
        .set('idempotency-key', 'count-while-ahead')
        .send({
          counts: [
            {
              ...{ itemKind: 'ingredient', itemId: 'ing_flour', useBy: '2026-04-01T00:00:00Z' },
              amount: { value: 2500, unit: 'g' },
            },
          ],
        });
    const first = await ahead(3 * HOURS, () => post().expect(201));
    const again = await post().expect(201);
    expect(again.headers['idempotent-replay']).toBe('true');
    expect(again.body).toEqual(first.body);
  });

  it('back refuses to finish a task before it was started, and takes it once the start is taken back', async () => {
    const task = await test.database.prisma.prepTask.findFirstOrThrow({
      where: { siteId: SITE, recipeId: 'rcp_curd', status: 'to_do' },
    });
    const tick = (what: string, body: object = {}) =>
      test.as(chef).post(`/v1/prep-tasks/${task.id}/${what}`).send(body);
    const made = { made: { value: task.quantity, unit: 'g' } };
    await ahead(3 * HOURS, () => tick('start').expect(200));
    const refused = await tick('finish', made).expect(400);
    expect(refused.body.issues[0].pointer).toBe('/minutesAgo');
    expect(await test.database.prisma.stockLot.count({ where: { sourceId: task.id } })).toBe(0);
    await tick('undo').expect(200);
    await tick('finish', made).expect(200);
    const lot = await test.database.prisma.stockLot.findFirstOrThrow({
      where: { sourceId: task.id, itemId: 'rcp_curd' },
    });
    expect(lot.madeAt).toEqual(test.clock.now());
  });

  it('back plans from the day it is now, though a plan of a later hour stands', async () => {
    const later = await ahead(26 * HOURS, () => test.services.prep.workOut(LEAD, SITE, 3));
    expect(later.fromDate).toBe('2026-03-11');
    const now = await test.services.prep.workOut(LEAD, SITE, 3);
    expect(now.fromDate).toBe('2026-03-10');
    const shown = await test.as(chef).get(`/v1/sites/${SITE}/prep-list`).expect(200);
    expect(shown.body.plan.id).toBe(now.id);
  });
});
