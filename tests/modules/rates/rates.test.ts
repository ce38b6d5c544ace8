import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { chefOf, PURCHASING, startTestApp, type TestApp } from '../../helpers/test-app.ts';

let test: TestApp;
beforeAll(async () => {
  test = await startTestApp();
});
afterAll(() => test.close());

const add = (body: object) => test.as(PURCHASING).post('/v1/exchange-rates').send(body);
const rate = { from: 'GBP', to: 'EUR', validFrom: '2026-03-01', rate: '1.16' };
const all = async () => (await test.as(chefOf()).get('/v1/exchange-rates').expect(200)).body.items;

describe('exchange rates', () => {
  it('are entered by hand with their date, one a day and direction, and taken out again', async () => {
    const made = await add(rate).expect(201);
    expect(made.body).toMatchObject({ ...rate, enteredBy: PURCHASING.id });
    const again = await add({ ...rate, rate: '1.2' }).expect(409);
    expect(again.body.issues[0].pointer).toBe('/validFrom');
    await add({ ...rate, validFrom: '2026-03-08', rate: '1.17' }).expect(201);
    expect((await all()).map((r: { rate: string }) => r.rate)).toEqual(['1.17', '1.16']);
    await test.as(PURCHASING).delete(`/v1/exchange-rates/${made.body.id}`).expect(204);
    await test.as(PURCHASING).delete(`/v1/exchange-rates/${made.body.id}`).expect(404);
  });

  it('are refused where they make no sense', async () => {
    const before = await all();
    for (const [part, pointer] of [
      [{ from: 'XXQ' }, '/from'],
      [{ to: 'GBP' }, '/to'],
      [{ rate: '0' }, '/rate'],
      [{ rate: '-1' }, '/rate'],
      [{ validFrom: '2026-13-01' }, '/validFrom'],
    ] as const) {
      const refused = await add({ ...rate, ...part });
      expect([refused.status, refused.body.issues[0].pointer]).toEqual([400, pointer]);
    }
    await test.as(chefOf()).post('/v1/exchange-rates').send(rate).expect(403);
    expect(await all()).toEqual(before);
  });
});
