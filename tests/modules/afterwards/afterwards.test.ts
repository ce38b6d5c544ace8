import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { DISH, fillKitchen, SERVICE, SITE } from '../../helpers/demo-site.ts';
import { chefOf, startTestApp, SYSTEM, type TestApp } from '../../helpers/test-app.ts';

let test: TestApp;
const chef = chefOf(SITE);

// 10 March: one curd of 1200 g is made, the shells are given up; ten tarts are sold, and on the
// 11th 100 g of curd are thrown away and 50 g are missing.
beforeAll(async () => {
  test = await startTestApp();
  await fillKitchen(test);
  await test.services.prep.workOut(SYSTEM, SITE, 3);
  const { prisma } = test.database;
  const first = (recipeId: string) =>
    prisma.prepTask.findFirstOrThrow({ where: { recipeId }, orderBy: { startBy: 'asc' } });
  const curd = await first('rcp_curd');
  const shell = await first('rcp_shell');
  const act = (id: string, what: string, body: object) =>
    test.as(chef).post(`/v1/prep-tasks/${id}/${what}`).send(body).expect(200);
  await act(curd.id, 'finish', { made: { value: 1200, unit: 'g' } });
  await act(shell.id, 'abandon', { reason: 'The oven failed' });
  test.clock.set('2026-03-11T08:00:00Z');
  await test
    .as(chef)
    .put(`/v1/services/${SERVICE}/covers/2026-03-10/sales/${DISH}`)
    .send({ portions: 10, soldOutAt: '2026-03-10T20:00:00Z' })
    .expect(200);
  const item = { itemKind: 'component', itemId: 'rcp_curd' };
  await test
    .as(chef)
    .post(`/v1/sites/${SITE}/waste`)
    .send({ ...item, amount: { value: 100, unit: 'g' }, reason: 'spilled', note: 'tray slipped' })
    .expect(201);
  await test
    .as(chef)
    .post(`/v1/sites/${SITE}/stock-counts`)
    .send({ counts: [{ ...item, amount: { value: 450, unit: 'g' } }] })
    .expect(201);
});
afterAll(() => test.close());

const report = (query: string) => test.as(chef).get(`/v1/sites/${SITE}/afterwards?${query}`);

describe('the days afterwards', () => {
  it('say what was made, sold, thrown away and missing, by cause and in people’s words', async () => {
    const { body } = await report('from=2026-03-10&to=2026-03-11').expect(200);
    const of = (name: string) =>
      body.lines.find((line: { component: { name: string } }) => line.component.name === name);
    expect(of('Lemon curd')).toMatchObject({
      made: { value: 1200, unit: 'g' },
      sold: { value: 600 },
      wasted: { value: 100 },
      wastedBy: [{ reason: 'spilled', amount: { value: 100 } }],
      drift: { value: -50 },
    });
    const shells = of('Tart shell').shortBy.find((s: { cause: string }) => s.cause === 'given-up');
    expect(shells).toMatchObject({ words: ['The oven failed'] });
    expect(shells.amount.value).toBeGreaterThan(0);
    expect(body.soldOut).toMatchObject([{ dish: 'Lemon tart', service: 'Dinner' }]);
  });

  it('set the surplus of whole batches that the plan expected beside what was thrown away', async () => {
    const { body } = await report('from=2026-03-10&to=2026-03-11').expect(200);
    const curd = body.lines.find(
      (line: { component: { id: string } }) => line.component.id === 'rcp_curd',
    );
    expect(curd.plannedSurplus.value).toBeGreaterThan(0);
    expect(curd.wasteBeyondExpected.value).toBeCloseTo(
      curd.wasted.value - curd.expectedWaste.value,
      6,
    );
    expect(body.daysWithoutPlan).toEqual([]);
  });

  it('of days before there was a plan say so', async () => {
    const { body } = await report('from=2026-03-07&to=2026-03-08').expect(200);
    expect(body).toMatchObject({ lines: [], daysWithoutPlan: ['2026-03-07', '2026-03-08'] });
  });

  it.each([
    ['from=2026-03-11&to=2026-03-10', '/query/to'],
    ['from=2026-03-10&to=2026-03-12', '/query/to'],
    ['from=2025-01-01&to=2026-03-10', '/query/from'],
  ])('refuse %s', async (query, pointer) => {
    const { body } = await report(query).expect(400);
    expect(body.issues[0].pointer).toBe(pointer);
  });

  it('of another site are closed', async () => {
    await test.as(chefOf('site_other')).get(`/v1/sites/${SITE}/afterwards`).expect(403);
  });
});
