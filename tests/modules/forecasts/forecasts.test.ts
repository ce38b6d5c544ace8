import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { evaluate, type ExplanationNode } from '../../../api/core/explanation/index.ts';
import { unwrap } from '../../../api/core/shared/index.ts';
import { SERVICE, SITE } from '../../helpers/demo-site.ts';
import { chefOf, LEAD, PURCHASING, type TestApp } from '../../helpers/test-app.ts';
import { LUNCH, OTHER_DINNER, startWithHistory, TODAY } from './history-fixture.ts';

let test: TestApp;
const chef = chefOf(SITE);
const get = async (path: string) => (await test.as(chef).get(`/v1${path}`).expect(200)).body;
const forecasts = (query = '') => get(`/sites/${SITE}/covers-forecasts${query}`);
interface Sitting {
  readonly serviceId: string;
  readonly serviceDate: string;
  readonly forecast: { readonly id: string; readonly mean: number };
}
const sitting = async (serviceDate: string, serviceId = SERVICE) => {
  const { items } = await forecasts(`?from=${serviceDate}&to=${serviceDate}`);
  return items.find((one: Sitting) => one.serviceId === serviceId);
};
const putSnapshot = (serviceDate: string, takenAt: string, booked: number) =>
  test
    .as(chef)
    .put(`/v1/services/${SERVICE}/covers/${serviceDate}/snapshots/${takenAt}`)
    .send({ booked });
const seriesRow = (serviceId: string) =>
  test.database.prisma.forecastSeries.findUniqueOrThrow({ where: { serviceId } });
const keptCount = (serviceId: string) =>
  test.database.prisma.coversForecast.count({ where: { serviceId } });

beforeAll(async () => {
  test = await startWithHistory();
});
afterAll(() => test.close());

describe('the covers expected', () => {
  it('come with a range that widens from level to level, and name model, bookings, history and weights', async () => {
    const { items, today } = await forecasts();
    expect(today).toBe(TODAY);
    expect(items).toHaveLength(56);
    for (const { forecast } of items) {
      const covers = forecast.quantiles.map((q: { covers: number }) => q.covers);
      expect([...covers].sort((a: number, b: number) => a - b)).toEqual(covers);
      expect(forecast.quantiles.map((q: { level: number }) => q.level)).toEqual([
        0.05, 0.1, 0.25, 0.5, 0.75, 0.9, 0.95,
      ]);
      const sum = forecast.terms.reduce(
        (a: number, t: { value: number; factor: number }) => a + t.value * t.factor,
        0,
      );
      expect(sum).toBeCloseTo(forecast.mean, 6);
    }
    const booked = await sitting('2026-03-11');
    expect(booked.booked).toBe(22);
    expect(booked.forecast.inputs).toMatchObject({
      snapshotId: 'snap_1',
      learnedTo: '2026-03-09',
      servicesLearned: 84,
    });
    expect(booked.forecast.modelVersion).toMatch(/\S/);
    const weights = Object.values<number>(booked.forecast.weights);
    expect(weights.reduce((a, w) => a + w, 0)).toBeCloseTo(1, 9);
  });

  it('stay the kept ones until something new is known', async () => {
    const before = await keptCount(SERVICE);
    const [first, second] = [await forecasts(), await forecasts()];
    expect(second).toEqual(first);
    expect(await keptCount(SERVICE)).toBe(before);
  });

  it('are explained so that the mean can be worked out from the explanation alone', async () => {
    const { forecast } = await sitting('2026-03-11');
    const body = await get(`/covers-forecasts/${forecast.id}/explanation`);
    expect(unwrap(evaluate({ nodes: body.nodes as ExplanationNode[] }, body.node))).toBe(
      body.value,
    );
    expect(body.value).toBeCloseTo(forecast.mean, 9);
    expect(JSON.stringify(body.nodes)).toContain('snap_1');
  });

  it('of sittings gone by show what came beside them', async () => {
    const { items } = await forecasts('?from=2026-03-01&to=2026-03-09');
    expect(items).toHaveLength(18);
    expect(items[0]).toMatchObject({ forecast: null, actual: { closed: false } });
  });

  it.each([
    ['?from=2026-03-12&to=2026-03-10', '/querystring/to'],
    ['?from=2026-03-10&to=2026-09-10', '/querystring/to'],
    ['?from=2026-07-01&to=2026-07-20', '/querystring/to'],
    ['?from=2026-02-30', '/querystring/from'],
  ])('are refused for the dates %s, with the field', async (query, pointer) => {
    const path = `/v1/sites/${SITE}/covers-forecasts${query}`;
    const refused = await test.as(chef).get(path).expect(400);
    expect(refused.body.issues[0].pointer).toContain(pointer.split('/').at(-1));
  });

  it('are not shown to a chef of another site', async () => {
    const { forecast } = await sitting('2026-03-11');
    const stranger = test.as(chefOf('site_other'));
    await stranger.get(`/v1/sites/${SITE}/covers-forecasts`).expect(403);
    await stranger.get(`/v1/covers-forecasts/${forecast.id}`).expect(403);
  });
});

describe('the portions expected', () => {
  it('are those of the dishes on the menu, with their range and their share', async () => {
    const { items } = await get(`/sites/${SITE}/portions-forecasts?from=${TODAY}&to=2026-03-12`);
    const dinner = items.find((one: Sitting) => one.serviceId === SERVICE);
    expect(dinner.dishes).toHaveLength(1);
    const [tart] = dinner.dishes;
    expect(tart).toMatchObject({
      name: 'Lemon tart',
      share: { stated: 0.5, menuLineId: 'ml_tart' },
    });
    expect(tart.mean).toBeCloseTo(dinner.covers * tart.share.portionsPerCover, 6);
    const again = await get(`/sites/${SITE}/portions-forecasts?from=${TODAY}&to=2026-03-12`);
    expect(again.items).toEqual(items);
  });
});

describe('a booking snapshot that arrives', () => {
  it('refits nothing and works out only its own sitting; other series are not touched', async () => {
    await forecasts();
    await test.as(LEAD).get('/v1/sites/site_other/covers-forecasts').expect(200);
    const others = [LUNCH, OTHER_DINNER];
    const before = await Promise.all(others.map(seriesRow));
    const own = await seriesRow(SERVICE);
    const counts = await Promise.all([SERVICE, ...others].map(keptCount));
    const old = await sitting('2026-03-14');
    test.clock.set('2026-03-10T06:00:00Z');
    await putSnapshot('2026-03-14', '2026-03-10T05:55:00Z', 61).expect(201);
    expect(await Promise.all(others.map(seriesRow))).toEqual(before);
    expect(await seriesRow(SERVICE)).toEqual(own);
    const after = await Promise.all([SERVICE, ...others].map(keptCount));
    expect(after).toEqual([(counts[0] ?? 0) + 1, ...counts.slice(1)]);
    const fresh = await sitting('2026-03-14');
    expect(fresh.booked).toBe(61);
    expect(fresh.forecast.mean).toBeGreaterThan(old.forecast.mean);
    // What was said before can still be read.
    expect((await get(`/covers-forecasts/${old.forecast.id}`)).forecast.mean).toBe(
      old.forecast.mean,
    );
  });

  it('sent again changes nothing', async () => {
    const before = await keptCount(SERVICE);
    await putSnapshot('2026-03-14', '2026-03-10T05:55:00Z', 61).expect(200);
    expect(await keptCount(SERVICE)).toBe(before);
  });

  it('late and out of order does not put an older figure in place of a newer one', async () => {
    await putSnapshot('2026-03-14', '2026-03-08T05:55:00Z', 12).expect(201);
    expect((await sitting('2026-03-14')).booked).toBe(61);
  });

  it('from the future, or above what the room can hold, is refused and changes no forecast', async () => {
    const before = await keptCount(SERVICE);
    const future = await putSnapshot('2026-03-14', '2026-03-12T05:55:00Z', 20).expect(400);
    expect(future.body.issues[0].pointer).toBe('/takenAt');
    const much = await putSnapshot('2026-03-14', '2026-03-10T05:56:00Z', 900).expect(400);
    expect(much.body.issues[0].pointer).toBe('/booked');
    expect(await keptCount(SERVICE)).toBe(before);
  });
});

describe('an outcome', () => {
  it('moves its own series on; one corrected afterwards has it learned anew', async () => {
    const others = [LUNCH, OTHER_DINNER];
    const before = await Promise.all(others.map(seriesRow));
    test.clock.set('2026-03-11T05:30:00Z');
    const put = (covers: number) =>
      test.as(chef).put(`/v1/services/${SERVICE}/covers/${TODAY}/outcome`).send({ covers });
    await put(35).expect(200);
    const moved = await seriesRow(SERVICE);
    expect(moved.learnedTo?.toISOString().slice(0, 10)).toBe(TODAY);
    expect(moved.servicesLearned).toBe(85);
    await put(53).expect(200);
    const corrected = await seriesRow(SERVICE);
    expect(corrected.servicesLearned).toBe(85);
    expect(corrected.historyHash).not.toBe(moved.historyHash);
    expect(await Promise.all(others.map(seriesRow))).toEqual(before);
  });
});

describe('a plan of a later day', () => {
  it('moves the series on from what was kept: nothing is learned again', async () => {
    await test.as(chef).post(`/v1/sites/${SITE}/prep-plans`).send({ days: 3 }).expect(201);
    const before = await seriesRow(SERVICE);
    test.clock.set('2026-03-13T05:30:00Z');
    await test.as(chef).post(`/v1/sites/${SITE}/prep-plans`).send({ days: 3 }).expect(201);
    expect(await seriesRow(SERVICE)).toEqual(before);
    await test
      .as(chef)
      .put(`/v1/services/${SERVICE}/covers/2026-03-12/outcome`)
      .send({ covers: 41 })
      .expect(200);
    const after = await seriesRow(SERVICE);
    expect(after.historyFrom).toEqual(before.historyFrom);
    expect(after.servicesLearned).toBe(before.servicesLearned + 1);
  });
});

describe('the full run', () => {
  it('learns every series, keeps four weeks of sittings, and lends a new service what its sisters show', async () => {
    const run = await test.as(LEAD).post('/v1/forecast-runs').send({}).expect(200);
    expect(run.body).toMatchObject({ sites: 2, series: 3, sittings: 84, groups: 1 });
    const made = await test.services.sites.createService('site_other', {
      name: 'dinner',
      startsAt: '19:00',
      endsAt: '22:00',
      weekdays: [1, 2, 3, 4, 5, 6, 7],
      seats: 50,
      activeFrom: null,
      activeTo: null,
    });
    const { body } = await test
      .as(LEAD)
      .get(`/v1/sites/site_other/covers-forecasts?serviceId=${made.id}`)
      .expect(200);
    expect(body.items).toHaveLength(28);
    expect(body.items[0].forecast.method).toBe('group-level');
    expect(body.items[0].forecast.mean).toBeGreaterThan(20);
  });

  it('is for lead and admin, and refuses a site that is not there', async () => {
    await test.as(chef).post('/v1/forecast-runs').send({}).expect(403);
    await test.as(PURCHASING).post('/v1/forecast-runs').send({}).expect(403);
    await test
      .as(LEAD)
      .post('/v1/forecast-runs')
      .send({ siteIds: ['site_none'] })
      .expect(404);
  });
});
