import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { fillKitchen } from '../../helpers/demo-site.ts';
import { chefOf, LEAD, PURCHASING, startTestApp, type TestApp } from '../../helpers/test-app.ts';
import { MAKER, productionBody, routeBody, SHELL, SITE } from '../../helpers/two-kitchens.ts';

let test: TestApp;
beforeAll(async () => {
  test = await startTestApp();
  await fillKitchen(test);
});
afterAll(() => test.close());
beforeEach(async () => {
  await test.database.prisma.centralProduction.deleteMany();
  await test.database.prisma.transferRoute.deleteMany();
});

const addRoute = (body: object = routeBody()) =>
  test.as(LEAD).post('/v1/transfer-routes').send(body);
const addRule = (body: object = productionBody()) =>
  test.as(LEAD).post('/v1/central-productions').send(body);
const audit = (subjectId: string) =>
  test.database.prisma.auditEvent.findMany({ where: { subjectId }, orderBy: { id: 'asc' } });

describe('a way between two sites', () => {
  it('is kept with its trips of two weeks, and said to whoever is at one of its ends', async () => {
    const made = await addRoute(
      routeBody({
        weekdays: [2, 5],
        noTripDates: ['2026-03-13'],
        massLimit: { value: 40, unit: 'kg' },
        containerLimit: 12,
        costPerTrip: { amount: '18.50', currency: 'EUR' },
      }),
    ).expect(201);
    expect(made.body).toMatchObject({
      massLimit: { value: 40_000, unit: 'g' },
      containerLimit: 12,
      costPerTrip: { amount: '18.5', currency: 'EUR' },
      noTrips: [{ leaveDate: '2026-03-13', reason: 'no-trip' }],
    });
    expect(made.body.trips[0]).toEqual({
      leaveDate: '2026-03-10',
      leavesAt: '2026-03-10T13:00:00Z',
      arrivesAt: '2026-03-10T14:30:00Z',
    });
    for (const actor of [chefOf(SITE), chefOf(MAKER), PURCHASING]) {
      const seen = await test.as(actor).get('/v1/transfer-routes').expect(200);
      expect(seen.body.items).toHaveLength(1);
    }
    const other = await test.as(chefOf('site_far')).get('/v1/transfer-routes').expect(200);
    expect(other.body.items).toEqual([]);
    expect((await audit(made.body.id)).map(({ action }) => action)).toEqual(['create']);
  });

  it.each([
    [{ toSiteId: MAKER }, '/toSiteId'],
    [{ toSiteId: 'site_none' }, '/toSiteId'],
    [{ weekdays: [] }, '/weekdays'],
    [{ weekdays: [1, 1] }, '/weekdays'],
    [{ arrivesAt: '13:00' }, '/arrivesAt'],
    [{ minimumContainers: 5, containerLimit: 4 }, '/minimumContainers'],
    [{ massLimit: { value: 3, unit: 'l' } }, '/massLimit/unit'],
    [{ noTripDates: ['2026-02-30'] }, '/noTripDates/0'],
  ])('is refused with its field: %j', async (wrong, pointer) => {
    const answer = await addRoute(routeBody(wrong));
    expect(answer.status).toBeGreaterThanOrEqual(400);
    expect(answer.status).toBeLessThan(500);
    expect(answer.body.issues?.[0]?.pointer).toBe(pointer);
    expect(await test.database.prisma.transferRoute.count()).toBe(0);
  });

  it('is one between two sites; taken away it can be set up again', async () => {
    const made = await addRoute().expect(201);
    await addRoute().expect(409);
    await test.as(LEAD).delete(`/v1/transfer-routes/${made.body.id}`).expect(204);
    const again = await addRoute(routeBody({ leavesAt: '08:00' })).expect(201);
    expect(again.body.id).toBe(made.body.id);
    expect(again.body.leavesAt).toBe('08:00');
  });

  it('is changed only as it was read, and keeps its two sites', async () => {
    const { body } = await addRoute().expect(201);
    const put = (rev: number, more: object) =>
      test
        .as(LEAD)
        .put(`/v1/transfer-routes/${body.id}`)
        .set('if-match', `"${rev}"`)
        .send(routeBody(more));
    await put(1, { leavesAt: '09:00' }).expect(200);
    await put(1, { leavesAt: '10:00' }).expect(412);
    await put(2, { fromSiteId: SITE, toSiteId: MAKER }).expect(400);
  });

  it('stays while something is made at one end for the other', async () => {
    const { body } = await addRoute().expect(201);
    await addRule().expect(201);
    await test.as(LEAD).delete(`/v1/transfer-routes/${body.id}`).expect(409);
  });
});

describe('a rule of who makes a component for whom', () => {
  beforeEach(async () => {
    await addRoute().expect(201);
  });

  it('is set by a lead and read by the sites concerned', async () => {
    const made = await addRule(
      productionBody({ keeping: { minutes: 2880, after: 'transfer' } }),
    ).expect(201);
    expect(made.body).toMatchObject({
      component: { id: SHELL, name: 'Tart shell' },
      place: { maker: { id: MAKER }, receivers: [{ id: SITE }] },
      container: { holds: { value: 12, unit: '{each}' } },
      keeping: { minutes: 2880, after: 'transfer' },
      decision: null,
      enteredBy: 'Lena Lead',
    });
    for (const actor of [chefOf(SITE), chefOf(MAKER)]) {
      await test.as(actor).get(`/v1/central-productions/${made.body.id}`).expect(200);
    }
    await test.as(chefOf('site_far')).get(`/v1/central-productions/${made.body.id}`).expect(404);
    await test.as(chefOf(SITE)).post('/v1/central-productions').send(productionBody()).expect(403);
    expect((await audit(made.body.id)).map(({ action }) => action)).toEqual(['create']);
  });

  it.each([
    [{ componentId: 'rcp_tart' }, '/componentId'],
    [{ componentId: 'rcp_none' }, '/componentId'],
    [{ makerSiteIds: [MAKER, SITE] }, '/makerSiteIds'],
    [{ makerSiteIds: ['site_none'] }, '/makerSiteIds/0'],
    [{ siteIds: [MAKER] }, '/siteIds'],
    [{ siteIds: [SITE, SITE] }, '/siteIds/1'],
    [{ siteIds: [MAKER], makerSiteIds: [SITE] }, '/siteIds/0'],
    [{ fromDate: '2026-03-09' }, '/fromDate'],
    [{ endsBefore: '2026-03-10' }, '/endsBefore'],
    [{ container: { name: 'box', amount: { value: 2, unit: 'kg' } } }, '/container/amount'],
    [{ keeping: { minutes: 0, after: 'making' } }, '/keeping/minutes'],
    [{ reason: '' }, '/reason'],
  ])('is refused with its field: %j', async (wrong, pointer) => {
    const answer = await addRule(productionBody(wrong));
    expect(answer.status).toBeGreaterThanOrEqual(400);
    expect(answer.status).toBeLessThan(500);
    expect(answer.body.issues?.[0]?.pointer).toBe(pointer);
    expect(await test.database.prisma.centralProduction.count()).toBe(0);
  });

  it('is not for a maker with ingredients of its own, whose allergens nobody else would be told', async () => {
    await test.database.prisma.siteOverride.create({
      data: {
        id: 'sov_own',
        siteId: MAKER,
        recipeId: SHELL,
        what: 'ingredient',
        targetKey: 'line:ing_butter:1',
        label: 'Butter',
        ingredientId: 'ing_flour',
        fromDate: new Date('2026-03-01T00:00:00Z'),
        reason: 'the valley dairy',
        status: 'standing',
        allergens: [],
        enteredBy: 'usr_x',
        enteredAt: new Date('2026-03-01T00:00:00Z'),
      },
    });
    const refused = await addRule().expect(409);
    expect(refused.body.issues[0].pointer).toBe('/makerSiteIds/0');
    await test.database.prisma.siteOverride.deleteMany();
    await addRule().expect(201);
    const own = await test.as(LEAD).post(`/v1/sites/${MAKER}/recipe-overrides`).send({
      recipeId: SHELL,
      what: 'ingredient',
      lineId: 'line_shell-1',
      ingredientId: 'ing_flour',
      fromDate: '2026-03-10',
      reason: 'the valley dairy',
    });
    expect(own.status).toBe(409);
    expect(own.body.issues[0].pointer).toBe('/ingredientId');
    expect(await test.database.prisma.siteOverride.count()).toBe(0);
  });

  it('needs to know what a container weighs where the way has a limit of weight', async () => {
    await test.database.prisma.transferRoute.updateMany({ data: { massLimitG: 5000 } });
    const unknown = await addRule().expect(400);
    expect(unknown.body.detail).toMatch(/What Tart shell weighs is not known/);
    await test.database.prisma.recipeVersion.updateMany({
      where: { recipeId: SHELL },
      data: { pieceMassG: 450 },
    });
    await addRule().expect(400); // 12 × 450 g is more than 5 kg.
    await test.database.prisma.recipeVersion.updateMany({
      where: { recipeId: SHELL },
      data: { pieceMassG: 30 },
    });
    await addRule().expect(201);
  });

  it('is one for a component, a site and a date', async () => {
    const first = await addRule(productionBody({ endsBefore: '2026-04-01' })).expect(201);
    const clash = await addRule(productionBody({ fromDate: '2026-03-20' })).expect(409);
    expect(clash.body.context.productionId).toBe(first.body.id);
    await addRule(productionBody({ fromDate: '2026-04-01' })).expect(201);
    // Moved onto the second one's dates it is refused too.
    await test
      .as(LEAD)
      .put(`/v1/central-productions/${first.body.id}`)
      .set('if-match', '"1"')
      .send(productionBody({ endsBefore: '2026-04-02' }))
      .expect(409);
  });

  it('does not let sites make for each other in a circle', async () => {
    await addRoute(routeBody({ fromSiteId: SITE, toSiteId: MAKER })).expect(201);
    await addRule().expect(201);
    const back = await addRule(
      productionBody({
        componentId: 'rcp_curd',
        siteIds: [MAKER],
        makerSiteIds: [SITE],
        container: { name: 'tub', amount: { value: 2, unit: 'kg' } },
      }),
    );
    expect(back.status).toBe(422);
    expect(back.body.detail).toMatch(/in a circle/);
    expect(await test.database.prisma.centralProduction.count()).toBe(1);
  });

  it('ends by its date, and past dates stay as they were', async () => {
    const made = await addRule().expect(201);
    const put = (rev: number, more: object) =>
      test
        .as(LEAD)
        .put(`/v1/central-productions/${made.body.id}`)
        .set('if-match', `"${rev}"`)
        .send(productionBody(more));
    test.clock.set('2026-03-12T06:00:00Z');
    await put(1, { fromDate: '2026-03-13' }).expect(400);
    await put(1, { endsBefore: '2026-03-11' }).expect(400);
    await put(1, { componentId: 'rcp_curd' }).expect(400);
    const ended = await put(1, { endsBefore: '2026-03-12' }).expect(200);
    expect(ended.body.endsBefore).toBe('2026-03-12');
    await put(1, { endsBefore: null }).expect(412);
    test.clock.set('2026-03-10T05:30:00Z');
    expect((await audit(made.body.id)).map(({ action }) => action)).toEqual(['create', 'update']);
  });
});
