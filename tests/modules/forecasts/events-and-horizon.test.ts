import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { addDays } from '../../../api/core/calendar/index.ts';
import { SERVICE, SITE } from '../../helpers/demo-site.ts';
import { chefOf, type TestApp } from '../../helpers/test-app.ts';
import { startWithHistory, TODAY } from './history-fixture.ts';

let test: TestApp;
const chef = chefOf(SITE);
beforeAll(async () => {
  test = await startWithHistory();
});
afterAll(() => test.close());

const ask = (from: string, to: string) =>
  test
    .as(chef)
    .get(`/v1/sites/${SITE}/covers-forecasts?from=${from}&to=${to}&serviceId=${SERVICE}`);
const meanOn = async (date: string): Promise<number> =>
  (await ask(date, date).expect(200)).body.items[0].forecast.mean;
const tell = (serviceDate: string, reason: string, factor: number) =>
  test
    .as(chef)
    .post(`/v1/sites/${SITE}/covers-events`)
    .send({ serviceId: SERVICE, serviceDate, kind: 'factor', factor, reason })
    .expect(201);
const keptForecasts = () => test.database.prisma.coversForecast.count();

describe('an event told ahead', () => {
  const stated = addDays(TODAY, 10);

  it('with nothing like it in the past brings as many times the usual as a person states', async () => {
    const plain = await meanOn(stated);
    const event = await tell(stated, 'Boat show', 1.4);
    expect((await meanOn(stated)) / plain).toBeCloseTo(1.4, 9);
    await test.as(chef).delete(`/v1/covers-events/${event.body.id}`).expect(204);
    expect(await meanOn(stated)).toBeCloseTo(plain, 9);
  });

  it('whose words stand on days gone by is moved by what came then', async () => {
    // Six Saturdays carried the words and went like any Saturday: half as many again is doubtful.
    const saturdays = Array.from({ length: 6 }, (_, i) => addDays('2026-03-07', -7 * i));
    for (const date of saturdays) await tell(date, 'Late market', 1.5);
    const ahead = addDays('2026-03-07', 14);
    const plain = await meanOn(ahead);
    await tell(ahead, 'late market', 1.5);
    const uplift = (await meanOn(ahead)) / plain;
    expect(uplift).toBeGreaterThan(1);
    expect(uplift).toBeLessThan(1.35);
  });
});

describe('a forecast past the horizon', () => {
  it('is refused with field and reason and keeps nothing; the last day allowed is answered', async () => {
    const last = addDays(TODAY, 120);
    await ask(last, last).expect(200);
    const before = await keptForecasts();
    for (const [from, to] of [
      [addDays(TODAY, 121), addDays(TODAY, 121)],
      [last, addDays(TODAY, 121)],
    ] as const) {
      const refused = await ask(from, to).expect(400);
      expect(refused.headers['content-type']).toMatch(/^application\/problem\+json/);
      expect(refused.body.issues).toEqual([
        { pointer: '/querystring/to', message: 'A forecast reaches 120 days ahead.' },
      ]);
    }
    expect(await keptForecasts()).toBe(before);
  });

  it('of portions is refused in the same way after two weeks', async () => {
    const path = `/v1/sites/${SITE}/portions-forecasts?from=${TODAY}&to=${addDays(TODAY, 14)}`;
    const refused = await test.as(chef).get(path).expect(400);
    expect(refused.body.issues[0]).toEqual({
      pointer: '/querystring/to',
      message: 'Ask for at most 14 days at a time.',
    });
  });
});
