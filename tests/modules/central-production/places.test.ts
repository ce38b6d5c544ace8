import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { MAKER, productionBody, routeBody, SHELL, SITE } from '../../helpers/two-kitchens.ts';
import { fillKitchen } from '../../helpers/demo-site.ts';
import { chefOf, LEAD, startTestApp, type TestApp } from '../../helpers/test-app.ts';

// Nobody fixed where shells are made: the kitchen of demo-site (Molo) for itself, or Serafina for it.
// Serafina has a dinner of its own of the same dish.
let test: TestApp;
let ruleId = '';
beforeAll(async () => {
  test = await startTestApp();
  await fillKitchen(test);
  const { prisma } = test.database;
  await prisma.site.update({ where: { id: MAKER }, data: { name: 'Serafina' } });
  await prisma.site.update({ where: { id: SITE }, data: { name: 'Molo' } });
  await test.as(LEAD).post('/v1/transfer-routes').send(routeBody()).expect(201);
  const rule = await test
    .as(LEAD)
    .post('/v1/central-productions')
    .send(productionBody({ mode: 'decide', restMadeHere: false }))
    .expect(201);
  ruleId = rule.body.id as string;
});
afterAll(() => test.close());

const ruleNow = async () =>
  (await test.as(LEAD).get(`/v1/central-productions/${ruleId}`).expect(200)).body;
const decide = (actor = LEAD) =>
  test.as(actor).post(`/v1/central-productions/${ruleId}/decision`).send();
const workOut = (siteId: string) =>
  test.as(chefOf(siteId)).post(`/v1/sites/${siteId}/prep-plans`).send({ days: 7 }).expect(201);
const asked = () => test.database.prisma.transfer.count({ where: { status: 'planned' } });
const peopleAt = (siteId: string, people: number) =>
  test.database.prisma.site.update({
    where: { id: siteId },
    data: {
      hours: [1, 2, 3, 4, 5, 6, 7].map((weekday) => ({
        weekday,
        opens: '06:00',
        closes: '23:00',
        people,
      })),
    },
  });

describe('where a component is made, when the lead leaves it to be worked out', () => {
  it('is made by every site for itself until it has been worked out', async () => {
    expect(await ruleNow()).toMatchObject({
      mode: 'decide',
      decision: null,
      place: { maker: null, receivers: [] },
    });
  });

  it('is worked out with the first plan of a site it concerns, and the plan follows it', async () => {
    await peopleAt(SITE, 0);
    await workOut(SITE);
    const { decision, place } = await ruleNow();
    expect(decision).toMatchObject({ why: 'less-short', leftOut: [] });
    expect(place).toEqual({
      maker: { id: MAKER, name: 'Serafina' },
      receivers: [{ id: SITE, name: 'Molo' }],
    });
    expect(decision.words).toMatch(/^Made at Serafina for Molo: .* batches short; /);
    expect(await asked()).toBeGreaterThan(0);
    const plan = await test.services.prep.currentPlan(LEAD, MAKER);
    const tasks = await Promise.all(
      plan.summary.taskIds.map((id) => test.services.prep.task(LEAD, id)),
    );
    expect(tasks.some((task) => task.recipeId === SHELL)).toBe(true);
  });

  it('says of every place what it costs each site, and why in figures that add up', async () => {
    const { decision } = await ruleNow();
    expect(decision.places).toHaveLength(2);
    for (const [i, place] of decision.places.entries()) {
      const of = (part: string): number =>
        place.sites.reduce(
          (sum: number, site: Record<string, number>) => sum + (site[part] ?? 0),
          0,
        );
      expect(place.totalMin).toBeCloseTo(of('workMin') + of('planMin') + of('carryingMin'), 6);
      expect(place.shortBatches).toBeCloseTo(of('shortBatches'), 6);
      const why = await test
        .as(LEAD)
        .get(`/v1/central-productions/${ruleId}/decision/explanation?place=${i}`)
        .expect(200);
      expect(why.body.value).toBeCloseTo(place.totalMin, 6);
    }
    await test
      .as(LEAD)
      .get(`/v1/central-productions/${ruleId}/decision/explanation?place=2`)
      .expect(404);
  });

  it('is not weighed again by the next plan of the day', async () => {
    const before = (await ruleNow()).decision.decidedAt;
    test.clock.set('2026-03-10T06:30:00Z');
    await workOut(SITE);
    expect((await ruleNow()).decision.decidedAt).toBe(before);
  });

  it('is weighed again when a lead asks, moves back, and the plans follow', async () => {
    await peopleAt(SITE, 3);
    await peopleAt(MAKER, 0);
    const answer = await decide().expect(200);
    expect(answer.body.decision.why).toBe('less-short');
    expect(answer.body.place.maker).toBeNull();
    expect(await asked()).toBe(0);
    const trail = await test.database.prisma.auditEvent.findMany({
      where: { subjectId: ruleId, action: 'decide place' },
    });
    expect(trail).toHaveLength(2);
  });

  it('is weighed again at night', async () => {
    await peopleAt(MAKER, 2);
    await peopleAt(SITE, 0);
    test.clock.set('2026-03-11T03:30:00Z');
    await test.services.nightWork.run({ kind: 'site', key: SITE, date: '2026-03-11' });
    const { decision, place } = await ruleNow();
    expect(decision).toMatchObject({
      decidedBy: 'night work',
      decidedAt: '2026-03-11T03:30:00.000Z',
    });
    expect(place.maker?.id).toBe(MAKER);
    expect(await asked()).toBeGreaterThan(0);
  });

  it('leaves a possible maker out, and says why, when it gets something from the site itself', async () => {
    await test
      .as(LEAD)
      .post('/v1/transfer-routes')
      .send(routeBody({ fromSiteId: SITE, toSiteId: MAKER }))
      .expect(201);
    await test
      .as(LEAD)
      .post('/v1/central-productions')
      .send(
        productionBody({
          componentId: 'rcp_curd',
          siteIds: [MAKER],
          makerSiteIds: [SITE],
          fromDate: '2026-03-11',
          container: { name: 'tub', amount: { value: 1, unit: 'kg' } },
        }),
      )
      .expect(422);
    await test.database.prisma.centralProduction.update({
      where: { id: ruleId },
      data: {
        decision: {
          makerSiteId: null,
          receiverSiteIds: [],
          decidedAt: '2026-03-01T00:00:00Z',
          decidedBy: 'x',
          why: 'stands',
          places: [],
          leftOut: [],
        },
      },
    });
    await test
      .as(LEAD)
      .post('/v1/central-productions')
      .send(
        productionBody({
          componentId: 'rcp_curd',
          siteIds: [MAKER],
          makerSiteIds: [SITE],
          fromDate: '2026-03-11',
          container: { name: 'tub', amount: { value: 1, unit: 'kg' } },
        }),
      )
      .expect(201);
    const answer = await decide().expect(200);
    expect(answer.body.place.maker).toBeNull();
    expect(answer.body.decision).toMatchObject({
      why: 'only-one',
      leftOut: [
        {
          makerSiteId: MAKER,
          reason: 'It gets something itself from the sites it would make this for.',
        },
      ],
    });
  });

  it('is not for a chef to have weighed, nor for a rule with a fixed maker', async () => {
    await decide(chefOf(SITE)).expect(403);
    const { items } = (await test.as(LEAD).get('/v1/central-productions').expect(200)).body;
    const fixed = items.find((one: { mode: string }) => one.mode === 'fixed');
    await test.as(LEAD).post(`/v1/central-productions/${fixed.id}/decision`).send().expect(409);
    await test.as(LEAD).post('/v1/central-productions/cpr_none/decision').send().expect(404);
  });
});
