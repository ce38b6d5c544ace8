import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { SERVICE, SITE } from '../../helpers/demo-site.ts';
import { chefOf, PURCHASING, type TestApp } from '../../helpers/test-app.ts';
import { OTHER_DINNER, startWithHistory } from '../forecasts/history-fixture.ts';

let test: TestApp;
const chef = chefOf(SITE);
const run = (body: object = {}) =>
  test
    .as(chef)
    .post(`/v1/sites/${SITE}/backtests`)
    .send({ serviceId: SERVICE, ...body });
const count = () => test.database.prisma.backtest.count();

interface Point {
  readonly origin: string;
  readonly serviceDate: string;
  readonly horizonDays: number;
  readonly actual: number;
  readonly mean: number;
}
interface Score {
  readonly horizonDays: number;
  readonly services: number;
  readonly wape: number;
  readonly bias: number;
  readonly pinball: { readonly level: number; readonly loss: number }[];
  readonly coverage: Record<'fifty' | 'eighty' | 'ninety', number>;
  readonly compared: { readonly baselines: Record<string, { readonly wape: number }> };
  readonly overridden: { readonly services: number; readonly override: { readonly wape: number } };
}

beforeAll(async () => {
  test = await startWithHistory();
});
afterAll(() => test.close());

describe('a test of the forecast over the past', () => {
  it('scores each horizon by error, bias, pinball loss and coverage beside three plain guesses', async () => {
    const { body } = await run({
      horizons: [7, 1, 7],
      from: '2026-02-01',
      to: '2026-03-01',
    }).expect(201);
    expect(body.horizons).toEqual([1, 7]);
    expect(body.scores.map((s: Score) => s.horizonDays)).toEqual([1, 7]);
    for (const score of body.scores as Score[]) {
      expect(score.services).toBe(29);
      const own = (body.points as Point[]).filter((p) => p.horizonDays === score.horizonDays);
      const actual = own.reduce((a, p) => a + p.actual, 0);
      const errors = own.reduce((a, p) => a + Math.abs(p.actual - p.mean), 0);
      expect(score.wape).toBeCloseTo(errors / actual, 9);
      expect(score.bias).toBeCloseTo(
        own.reduce((a, p) => a + p.mean - p.actual, 0) / own.length,
        9,
      );
      expect(score.pinball.map((p) => p.level)).toEqual([0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95]);
      const { fifty, eighty, ninety } = score.coverage;
      expect(fifty <= eighty && eighty <= ninety).toBe(true);
      expect(Object.keys(score.compared.baselines).sort()).toEqual([
        'booked-only',
        'mean-of-last-four',
        'same-weekday-last-week',
      ]);
    }
    const read = await test.as(chef).get(`/v1/backtests/${body.id}?horizonDays=7`).expect(200);
    expect(read.body.scores).toEqual(body.scores);
    expect(read.body.points).toEqual(body.points.filter((p: Point) => p.horizonDays === 7));
    const list = await test.as(chef).get(`/v1/sites/${SITE}/backtests`).expect(200);
    expect(list.body.items[0]).toMatchObject({ id: body.id, from: '2026-02-01', everyDays: 1 });
  });

  it('makes no forecast from what came afterwards: changing the future changes none of them', async () => {
    const asked = { horizons: [3], from: '2026-02-01', to: '2026-02-20' };
    const before = (await run(asked).expect(201)).body.points as Point[];
    await test
      .as(chef)
      .put(`/v1/services/${SERVICE}/covers/2026-02-14/outcome`)
      .send({ covers: 150 })
      .expect(200);
    const after = (await run(asked).expect(201)).body.points as Point[];
    const known = (points: readonly Point[]) =>
      points
        .filter((p) => p.origin <= '2026-02-14')
        .map(({ mean, serviceDate }) => [serviceDate, mean]);
    expect(known(after)).toEqual(known(before));
    expect(after).not.toEqual(before);
  });

  it('scores what people put in place of the forecast, from as many days ahead as they said it', async () => {
    await test.database.prisma.coversOverride.create({
      data: {
        id: 'over_past',
        siteId: SITE,
        serviceId: SERVICE,
        serviceDate: new Date('2026-02-10T00:00:00Z'),
        covers: 40,
        reason: 'A coach party',
        enteredBy: 'Cleo',
        enteredAt: new Date('2026-02-07T09:00:00Z'),
      },
    });
    const { body } = await run({ horizons: [1, 7], from: '2026-02-01', to: '2026-02-20' });
    const [near, far] = body.scores as Score[];
    expect(near?.overridden.services).toBe(1);
    const actual =
      (body.points as Point[]).find((p) => p.serviceDate === '2026-02-10')?.actual ?? 0;
    expect(near?.overridden.override.wape).toBeCloseTo(Math.abs(40 - actual) / actual, 9);
    expect(far?.overridden.services).toBe(0);
  });

  it.each([
    [{ horizons: [] }, '/horizons'],
    [{ horizons: [61] }, '/horizons'],
    [{ horizons: [1.5] }, '/horizons'],
    [{ from: '2026-03-02', to: '2026-03-01' }, '/to'],
    [{ to: '2026-03-10' }, '/to'],
    [{ from: '2025-09-01', to: '2026-03-01' }, '/from'],
    [{ from: '2020-01-01', to: '2020-01-31' }, '/from'],
    [{ everyDays: 0 }, '/everyDays'],
  ])('asked for what cannot be (%j) is refused at %s and keeps nothing', async (body, pointer) => {
    const before = await count();
    const refused = await run(body).expect(400);
    expect(refused.body.issues[0].pointer).toContain(pointer);
    expect(await count()).toBe(before);
  });

  it('of a time without covers on record says so', async () => {
    const body = { from: '2025-06-01', to: '2025-06-30', horizons: [1] };
    const refused = await run(body).expect(422);
    expect(refused.body.type).toContain('missing-data');
  });

  it('is of a service of that very site, and not for purchasing or another site', async () => {
    await run({ serviceId: OTHER_DINNER }).expect(404);
    const path = `/v1/sites/${SITE}/backtests`;
    await test.as(PURCHASING).post(path).send({ serviceId: SERVICE }).expect(403);
    const { body } = await run({ horizons: [1] }).expect(201);
    await test.as(chefOf('site_other')).get(`/v1/backtests/${body.id}`).expect(404);
  });
});
