import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { SERVICE, SITE } from '../../helpers/demo-site.ts';
import { chefOf, PURCHASING, type TestApp } from '../../helpers/test-app.ts';
import { startWithHistory } from './history-fixture.ts';

let test: TestApp;
const chef = chefOf(SITE);
const FRIDAY = '2026-03-13';
const path = (date = FRIDAY) => `/v1/services/${SERVICE}/covers/${date}/override`;
const put = (body: object, date = FRIDAY) => test.as(chef).put(path(date)).send(body);
const sitting = async (date = FRIDAY) => {
  const answer = await test
    .as(chef)
    .get(`/v1/sites/${SITE}/covers-forecasts?from=${date}&to=${date}&serviceId=${SERVICE}`)
    .expect(200);
  return answer.body.items[0];
};
const plan = async () =>
  (await test.as(chef).post(`/v1/sites/${SITE}/prep-plans`).send({ days: 5 }).expect(201)).body;
const plannedOn = (
  body: { services: { serviceId: string; serviceDate: string }[] },
  date: string,
) =>
  body.services.find((s) => s.serviceId === SERVICE && s.serviceDate === date) as unknown as {
    covers: { expected: number; forecastId: string; overrideId: string | null; node: string };
  };
const count = () => test.database.prisma.coversOverride.count();

beforeAll(async () => {
  test = await startWithHistory();
});
afterAll(() => test.close());

describe('covers that a person puts in place of the forecast', () => {
  it('are planned with instead, while the forecast stays beside them', async () => {
    const before = await sitting();
    const kept = await put({ covers: 70, reason: 'The choir festival, told by the town' }).expect(
      200,
    );
    expect(kept.body.forecastMean).toBe(before.forecast.mean);
    const after = await sitting();
    expect(after.forecast.mean).toBe(before.forecast.mean);
    expect(after.planned.mean).toBeCloseTo(70, 6);
    expect(after.override).toMatchObject({ covers: 70, enteredBy: 'Cleo Chef' });
    const body = await plan();
    const planned = plannedOn(body, FRIDAY);
    expect(planned.covers.expected).toBeCloseTo(70, 6);
    expect(planned.covers.overrideId).toBe(kept.body.id);
    const why = await test
      .as(chef)
      .get(`/v1/prep-plans/${body.id}/explanation?node=${encodeURIComponent(planned.covers.node)}`)
      .expect(200);
    expect(JSON.stringify(why.body.nodes)).toContain('The choir festival, told by the town');
  });

  it('leave the forecast that the plan names readable as it was', async () => {
    const body = await plan();
    const { forecastId, expected } = plannedOn(body, '2026-03-12').covers;
    await test
      .as(chef)
      .put(`/v1/services/${SERVICE}/covers/2026-03-12/snapshots/2026-03-10T05:00:00Z`)
      .send({ booked: 58 })
      .expect(201);
    expect((await sitting('2026-03-12')).forecast.id).not.toBe(forecastId);
    const named = await test.as(chef).get(`/v1/covers-forecasts/${forecastId}`).expect(200);
    expect(named.body.planned.mean).toBe(expected);
  });

  it('sent again change nothing; another figure takes their place and both stay on record', async () => {
    const before = await count();
    await put({ covers: 70, reason: 'The choir festival, told by the town' }).expect(200);
    expect(await count()).toBe(before);
    await put({ covers: 75, reason: 'Two choirs more' }).expect(200);
    expect(await count()).toBe(before + 1);
    expect((await sitting()).override.covers).toBe(75);
    const trail = await test.database.prisma.auditEvent.findMany({ where: { action: 'override' } });
    expect(trail.map((e) => (e.detail as { covers: number }).covers)).toEqual([70, 75]);
  });

  it.each([
    [{ covers: -1, reason: 'None will come' }, FRIDAY, '/covers'],
    [{ covers: 12.5, reason: 'A half guest' }, FRIDAY, '/covers'],
    [{ covers: 121, reason: 'Standing room' }, FRIDAY, '/covers'],
    [{ covers: 40 }, FRIDAY, '/reason'],
    [{ covers: 40, reason: ' ' }, FRIDAY, '/reason'],
    [{ covers: 40, reason: 'Yesterday' }, '2026-03-09', '/serviceDate'],
    [{ covers: 40, reason: 'Next year' }, '2027-03-09', '/serviceDate'],
    [{ covers: 40, reason: 'No such day' }, '2026-02-30', '/serviceDate'],
  ])(
    'that cannot be (%j on %s) are refused at %s, and nothing changes',
    async (body, date, pointer) => {
      const before = await count();
      const refused = await put(body, date).expect(400);
      expect(refused.body.issues[0].pointer).toContain(pointer);
      expect(await count()).toBe(before);
    },
  );

  it('are for lead, chef and admin of the site', async () => {
    const body = { covers: 40, reason: 'Not mine' };
    await test.as(PURCHASING).put(path()).send(body).expect(403);
    await test.as(chefOf('site_other')).put(path()).send(body).expect(404);
    await test.as(chefOf('site_other')).delete(path()).expect(404);
  });

  it('are scored against what came, beside the forecast they replaced', async () => {
    test.clock.set('2026-03-14T05:30:00Z');
    await test
      .as(chef)
      .put(`/v1/services/${SERVICE}/covers/${FRIDAY}/outcome`)
      .send({ covers: 72 })
      .expect(200);
    const { body } = await test
      .as(chef)
      .get(`/v1/sites/${SITE}/covers-overrides?from=${FRIDAY}&to=${FRIDAY}`)
      .expect(200);
    expect(body.items).toHaveLength(1);
    const [one] = body.items;
    expect(one.daysBefore).toBe(3);
    expect(one.score.overrideError).toBe(3);
    expect(one.score.forecastError).toBeCloseTo(one.forecastMean - 72, 9);
    expect(one.score.closer).toBe('override');
    await test.as(chef).delete(path()).expect(404);
  });

  it('taken back let the forecast stand again', async () => {
    await put({ covers: 20, reason: 'Road closed' }, '2026-03-16').expect(200);
    expect((await sitting('2026-03-16')).planned.mean).toBeCloseTo(20, 6);
    await test.as(chef).delete(path('2026-03-16')).expect(204);
    const after = await sitting('2026-03-16');
    expect(after.override).toBeNull();
    expect(after.planned.mean).toBe(after.forecast.mean);
    await test.as(chef).delete(path('2026-03-16')).expect(404);
  });
});
