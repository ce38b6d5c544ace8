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

const put = (date: string, what: string, body: object) =>
  test.as(chef).put(`/v1/services/${SERVICE}/covers/${date}/${what}`).send(body).expect(200);
const forecasts = async (from: string, to: string) =>
  (
    await test
      .as(chef)
      .get(`/v1/sites/${SITE}/covers-forecasts?from=${from}&to=${to}&serviceId=${SERVICE}`)
      .expect(200)
  ).body.items;
const series = () =>
  test.database.prisma.forecastSeries.findUniqueOrThrow({ where: { serviceId: SERVICE } });

describe('walk-ins, no-shows and cancellations on record', () => {
  it('are learned by the series, said with the next forecast, and shown beside what was expected', async () => {
    const wednesday = addDays(TODAY, 1);
    const before = (await forecasts(wednesday, wednesday))[0].forecast.guests;
    expect(before).toEqual({ cancelledFraction: 0, noShowFraction: 0.05, walkIns: null });
    const days = Array.from({ length: 14 }, (_, i) => addDays(TODAY, i - 14));
    for (const day of days) {
      const { covers } = await test.database.prisma.serviceOutcome.findFirstOrThrow({
        where: { serviceId: SERVICE, serviceDate: new Date(`${day}T00:00:00Z`) },
      });
      await put(day, 'outcome', { covers, walkIns: 6, noShows: 9, cancelled: 8 });
    }
    const after = (await forecasts(wednesday, wednesday))[0].forecast.guests;
    expect(after.walkIns).toBeCloseTo(6, 9);
    expect(after.noShowFraction).toBeGreaterThan(0.1);
    expect(after.cancelledFraction).toBeGreaterThan(0.01);
    const [shown] = await forecasts(days[3] ?? '', days[3] ?? '');
    expect(shown.actual).toMatchObject({ walkIns: 6, noShows: 9, cancelled: 8 });
  });

  it('leave the series as it is when a plan reads the same history', async () => {
    const before = await series();
    await test.as(chef).post(`/v1/sites/${SITE}/prep-plans`).send({ days: 3 }).expect(201);
    const after = await series();
    expect(after.learnedAt).toEqual(before.learnedAt);
    expect(after.historyHash).toBe(before.historyHash);
  });
});
